"""What is cut from one cloth, piece by piece, and the packing problem that follows from it.

A *panel copy* is one panel to be cut: copy 2 of the pouf, third gore. The list
keeps the order of the order file, so equal orders give equal problems.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from nesting.cloth.cloth import Cloth, Nap
from nesting.layouts.lay import PlacedPanel
from nesting.layouts.layout import Layout
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.panels.panel import GrainRule, Panel

if TYPE_CHECKING:
    from nesting.geometry.outline import Outline


@dataclass(frozen=True)
class PanelCopy:
    """One panel to be cut; ``copy`` and ``part`` count from 1, as in a `PlacedPanel`."""

    panel: Panel
    copy: int
    part: int


def allowed_turns(panel: Panel, cloth: Cloth) -> tuple[int, ...]:
    """Turns that grain and nap allow a panel on a cloth, degrees anticlockwise."""
    return cloth.turns(any_grain=panel.grain_rule is GrainRule.ANY)


def cutting_list(panels: Iterable[Panel]) -> tuple[PanelCopy, ...]:
    """Every piece to be cut, panel by panel, item copy by item copy."""
    return tuple(
        PanelCopy(panel, copy, part)
        for panel in panels
        for copy in range(1, panel.quantity + 1)
        for part in range(1, panel.per_item + 1)
    )


def packing_problem(cloth: Cloth, cuts: tuple[PanelCopy, ...]) -> Problem:
    """The packing problem of a cutting list, one piece for each cut.

    Panels of the same outline and turns share one shape. On a cloth that is
    laid up and down, the panels of one copy of an item are a bundle.
    """
    shapes: dict[tuple[Outline, tuple[int, ...]], int] = {}
    bundles: dict[tuple[str, int], int] = {}
    pieces = []
    for cut in cuts:
        key = (cut.panel.cut, allowed_turns(cut.panel, cloth))
        shape = shapes.setdefault(key, len(shapes))
        bundle = None
        if cloth.nap is Nap.UP_AND_DOWN:
            bundle = bundles.setdefault((cut.panel.item, cut.copy), len(bundles))
        pieces.append(Piece(shape, bundle))
    return Problem(
        width=cloth.usable_width,
        shapes=tuple(Shape(outline, turns) for outline, turns in shapes),
        pieces=tuple(pieces),
        gap=cloth.gap,
    )


def placed_panels(
    cloth: Cloth, cuts: tuple[PanelCopy, ...], layout: Layout
) -> tuple[PlacedPanel, ...]:
    """The panels where a layout puts them, measured from the cut end and the lower edge."""
    return tuple(
        PlacedPanel(
            panel=cut.panel,
            copy=cut.copy,
            part=cut.part,
            turn=place.turn,
            x=place.x - layout.start + cloth.end_allowance,
            y=place.y + cloth.selvedge,
        )
        for cut, place in zip(cuts, layout.placements, strict=True)
    )
