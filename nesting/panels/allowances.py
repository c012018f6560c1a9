"""Seam allowances of panels: which are too wide, and a text that lists them."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise, product

from nesting.errors import Fault
from nesting.panels.drafting.draft import Draft, SeamRole
from nesting.panels.drafting.finished import EdgeSort, FinishedPanel
from nesting.panels.panel import Panel
from nesting.sentences import Length, Sentence, at_most
from nesting.units import format_length

#: The sort of every edge of a panel that lists no edges.
_SEAM = "seam"

#: Millimetres by which sums of lengths may be off.
_SAME_MM = 1e-6


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

    The long edges of a strap are sewn to each other, so that their allowances lie
    on each other: together they need no more room than the wider one. Folded
    panels are exempt. The place of a fault is ``seam_allowance``, or the key of the
    sort of edge whose allowance is too wide: ``hem_allowance``, ``zip_allowance``.
    """
    return tuple(filter(None, (_too_wide(draft, panel, allowance_mm) for panel in draft.panels)))


@dataclass(frozen=True)
class _Across:
    """Two edges on opposite sides of a panel: the wider allowance, the other one, the way across.

    ``keys`` are what an order sets the two allowances by.
    """

    wide_mm: float
    less_mm: float
    keys: tuple[str, str]
    mm: float
    strap: bool

    @property
    def excess_mm(self) -> float:
        """By how much the allowances are too wide."""
        return self.wide_mm + (0.0 if self.strap else self.less_mm) - self.mm

    @property
    def most_mm(self) -> float:
        """The widest that the wider allowance may be."""
        if self.strap:
            return self.mm
        return self.mm / 2 if self.keys[0] == self.keys[1] else self.mm - self.less_mm


def _too_wide(draft: Draft, panel: FinishedPanel, allowance_mm: float) -> Fault | None:
    worst = max(_ways_across(draft, panel, allowance_mm), key=lambda way: way.excess_mm)
    if panel.folded or worst.excess_mm <= _SAME_MM:
        return None
    remedy = Sentence("allow at most {}, or make it wider", (at_most(worst.most_mm),))
    if worst.most_mm <= 0:
        remedy = Sentence("make both allowances narrower, or the panel wider", ())
    return Fault(worst.keys[0], _rule(panel, worst), Length(worst.wide_mm), remedy)


def _rule(panel: FinishedPanel, way: _Across) -> Sentence:
    shown = (panel.name, Length(round(way.mm, 1)))
    if way.strap:
        return Sentence('must not be wider than "{}" laid open ({})', shown)
    if way.keys[0] == way.keys[1]:
        words = "half of the narrowest way from such an edge across the finished panel"
        return Sentence(f'must not be wider than {words} "{{}}" ({{}})', shown)
    words = 'must not be wider than the finished panel "{}" ({}) less the {} of {} opposite it'
    return Sentence(words, (*shown, way.keys[1], Length(way.less_mm)))


def _ways_across(draft: Draft, panel: FinishedPanel, allowance_mm: float) -> Iterator[_Across]:
    """Each two edges that face away from each other, along the grain and across it."""
    widths = {name: draft.allowances_mm.get(panel.sort(name), allowance_mm) for name in panel.edges}
    for axis in (0, 1):
        places = [point[axis] for point in panel.ring]
        low, high = ([e for e in panel.edges if _faces(panel, e, axis, to)] for to in (-1, 1))
        for pair in product(low, high):
            wide, less = sorted(pair, key=lambda name: -widths[name])
            yield _Across(
                widths[wide],
                widths[less],
                (_key(draft, panel.sort(wide)), _key(draft, panel.sort(less))),
                max(places) - min(places),
                _sewn_as_strap(draft, panel, pair),
            )


def _faces(panel: FinishedPanel, edge: str, axis: int, to: int) -> bool:
    """Whether some of an edge looks out of the panel to the lesser (-1) or greater (1) places.

    The panel lies left of its edges: a step (dx, dy) looks out to (dy, -dx).
    """
    steps = pairwise(panel.edges[edge].points)
    outward = ((y1 - y0, x0 - x1)[axis] for (x0, y0), (x1, y1) in steps)
    return any(to * each > _SAME_MM for each in outward)


def _sewn_as_strap(draft: Draft, panel: FinishedPanel, pair: Iterable[str]) -> bool:
    uses = {(panel.name, edge) for edge in pair}
    return any(
        {(use.panel, use.edge) for use in (*seam.first, *seam.second)} == uses
        for seam in draft.seams
        if seam.role is SeamRole.STRAP
    )


def _key(draft: Draft, sort: EdgeSort) -> str:
    """The order key that sets the allowance of edges of this sort."""
    return allowance_key(sort) if sort in draft.allowances_mm else "seam_allowance"


def allowance_key(sort: EdgeSort) -> str:
    """The order key that sets the allowance of a sort of edge."""
    return f"{sort.name.lower()}_allowance"
