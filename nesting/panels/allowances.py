"""The allowances that the cut line of a panel includes, as people read them."""

from nesting.panels.panel import Panel
from nesting.units import format_length

#: What is done with the edges of a panel that says nothing of them.
_SEAM = "seam"


def by_sort(panel: Panel) -> dict[str, int]:
    """The allowance of each sort of edge that the panel has, in the order of its edges."""
    if not panel.edges:
        return {_SEAM: panel.allowance}
    return {edge.sort: edge.allowance for edge in panel.edges}


def in_words(panel: Panel, units: str) -> str:
    """Sorts of edges with their allowances: ``seam 1 cm, zip 2 cm``; nothing where none has any."""
    widths = by_sort(panel)
    if not any(widths.values()):
        return ""
    return ", ".join(f"{sort} {format_length(width, units)}" for sort, width in widths.items())
