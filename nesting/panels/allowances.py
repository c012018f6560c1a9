"""Seam allowances of panels: which are too wide, and a text that lists them."""

from nesting.errors import Fault
from nesting.panels.drafting.draft import Draft
from nesting.panels.drafting.finished import EdgeSort, FinishedPanel
from nesting.panels.panel import Panel
from nesting.sentences import Length, Sentence, at_most
from nesting.units import format_length

#: The sort of every edge of a panel that lists no edges.
_SEAM = "seam"


def _by_sort(panel: Panel) -> dict[str, int]:
    """The allowance of each sort of edge that the panel has, in the order of its edges."""
    if not panel.edges:
        return {_SEAM: panel.allowance}
    return {edge.sort: edge.allowance for edge in panel.edges}


def allowance_text(panel: Panel, units: str) -> str:
    """Sorts of edges with their allowances: ``seam 1 cm, zip 2 cm``; empty if there are none."""
    widths = _by_sort(panel)
    if not any(widths.values()):
        return ""
    return ", ".join(f"{sort} {format_length(width, units)}" for sort, width in widths.items())


def allowance_faults(draft: Draft, allowance_mm: float) -> tuple[Fault, ...]:
    """Panels so narrow that the allowances of opposite edges would overlap inside.

    Folded panels are exempt. The place of a fault is ``seam_allowance``, or the
    key of the sort of edge whose allowance is too wide: ``hem_allowance``,
    ``zip_allowance``.
    """
    return tuple(filter(None, (_too_wide(draft, panel, allowance_mm) for panel in draft.panels)))


def _too_wide(draft: Draft, panel: FinishedPanel, allowance_mm: float) -> Fault | None:
    allowances = {
        draft.allowances_mm.get(sort, allowance_mm): sort for sort in map(panel.sort, panel.edges)
    }
    widest = max(allowances)
    if panel.folded or 2 * widest <= panel.narrowest_mm:
        return None
    own = allowances[widest] in draft.allowances_mm
    rule = 'must not be wider than half of the narrowest way across the finished panel "{}" ({})'
    return Fault(
        place=allowance_key(allowances[widest]) if own else "seam_allowance",
        rule=Sentence(rule, (panel.name, Length(round(panel.narrowest_mm, 1)))),
        value=Length(widest),
        remedy=Sentence("allow at most {}, or make it wider", (at_most(panel.narrowest_mm / 2),)),
    )


def allowance_key(sort: EdgeSort) -> str:
    """The order key that sets the allowance of a sort of edge."""
    return f"{sort.name.lower()}_allowance"
