"""From a product and its measurements to cut panels.

Finished shapes are rounded outward to the grid once; the cut line is the
stitch line grown by the seam allowance.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from nesting.geometry.offsetting import grown
from nesting.geometry.outline import Outline, rounded_outward
from nesting.geometry.transforms import shifted
from nesting.panels import notches
from nesting.panels.draft import Fact, FinishedPanel
from nesting.panels.panel import Notch, Panel
from nesting.panels.product import Product, Values
from nesting.panels.seams import SeamMeasure, measured
from nesting.units import GRID_PER_MM, to_grid

#: Share of the finished length that the grain arrow takes.
_ARROW = 0.6


@dataclass(frozen=True)
class Made:
    """The cut panels of one item, its seams measured, and what else is to be known."""

    panels: tuple[Panel, ...]
    seams: tuple[SeamMeasure, ...]
    facts: tuple[Fact, ...]


def make_panels(
    product: Product, values: Values, *, item: str, cloth: str, quantity: int, allowance_mm: float
) -> Made:
    """The cut panels of an item whose measurements have no faults.

    With an allowance of 0 the given size is the cut size: there is no stitch
    line and no notch.
    """
    draft = product.draft(values)
    allowance = to_grid(allowance_mm)
    ordered = partial(Panel, item=item, cloth=cloth, quantity=quantity, allowance=allowance)
    marked = notches.places(draft)
    panels = tuple(_cut(finished, marked, allowance, ordered) for finished in draft.panels)
    return Made(panels, measured(draft), draft.facts)


def _cut(
    finished: FinishedPanel, marked: notches.Marked, allowance: int, ordered: Callable[..., Panel]
) -> Panel:
    """One panel cut out with its allowance, the least corner of its cut line at the origin."""
    stitch = Outline(rounded_outward(finished.ring))
    cut = grown(stitch, allowance)
    dx, dy = -cut.bounds[0], -cut.bounds[1]
    return ordered(
        name=finished.name,
        per_item=finished.per_item,
        cut=Outline(shifted(cut.points, dx, dy)),
        stitch=Outline(shifted(stitch.points, dx, dy)) if allowance else None,
        notches=_shifted(_notches(finished, marked, cut, allowance), dx, dy),
        grain=_arrow(cut, allowance),
        label=_label(cut, allowance),
        grain_rule=finished.grain_rule,
    )


def _notches(
    finished: FinishedPanel, marked: notches.Marked, cut: Outline, allowance: int
) -> tuple[Notch, ...]:
    """Notches of every edge, in the frame in which the panel was drafted."""
    if not allowance:
        return ()
    return tuple(
        notches.notch(cut, (x * GRID_PER_MM, y * GRID_PER_MM), allowance)
        for name, edge in finished.edges.items()
        for at, double in sorted(marked.get((finished.name, name), ()))
        for x, y in notches.points(edge, at, double=double)
    )


def _shifted(made: tuple[Notch, ...], dx: int, dy: int) -> tuple[Notch, ...]:
    return tuple(Notch(*shifted((notch.foot, notch.tip), dx, dy)) for notch in made)


def _arrow(cut: Outline, allowance: int) -> tuple[tuple[int, int], tuple[int, int]]:
    """The grain line, centred, once the least corner is the origin."""
    middle, half = cut.length // 2, int((cut.length - 2 * allowance) * _ARROW / 2)
    return (middle - half, cut.height // 2), (middle + half, cut.height // 2)


def _label(cut: Outline, allowance: int) -> tuple[int, int]:
    """Half-way from the grain line to the upper stitch line."""
    return cut.length // 2, cut.height // 2 + (cut.height - 2 * allowance) // 4
