"""What is cut from one cloth, piece by piece, and the packing problem that follows from it.

A *panel copy* is one panel to be cut: copy 2 of the pouf, third gore. The list
keeps the order of the order file, so equal orders give equal problems.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from nesting.cloth.cloth import Cloth, Nap
from nesting.layouts.lay import PlacedPanel
from nesting.layouts.layout import Layout
from nesting.layouts.piece_strip import PieceStrip, Stretch
from nesting.layouts.problem import Body, Piece, Problem, Shape
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


def packing_problem(strip: PieceStrip, cuts: tuple[PanelCopy, ...]) -> Problem:
    """The packing problem of a cutting list, one piece for each cut.

    Panels of the same outline and turns share one shape, if both may have minor
    flaws or neither. On a cloth that is laid up and down, the panels of one copy
    of an item are a bundle.
    """
    cloth = strip.cloth
    shapes: dict[tuple[Outline, tuple[int, ...], bool], int] = {}
    bundles: dict[tuple[str, int], int] = {}
    pieces = []
    for cut in cuts:
        hidden = cut.panel.hidden and bool(strip.minor)
        key = (cut.panel.cut, allowed_turns(cut.panel, cloth), hidden)
        shape = shapes.setdefault(key, len(shapes))
        bundle = None
        if cloth.nap is Nap.UP_AND_DOWN:
            bundle = bundles.setdefault((cut.panel.item, cut.copy), len(bundles))
        pieces.append(Piece(shape, bundle))
    may_have_flaws = frozenset(index for (_, _, hidden), index in shapes.items() if hidden)
    minor = (Body(outline, open_to=may_have_flaws) for outline in strip.minor)
    still = (Body(outline, clearance=cloth.gap) for outline in strip.still)
    return Problem(
        width=strip.width,
        shapes=tuple(Shape(outline, turns) for outline, turns, _ in shapes),
        pieces=tuple(pieces),
        gap=cloth.gap,
        bodies=(*map(Body, strip.bodies), *minor, *still),
        length=strip.length,
    )


def placed_panels(
    strip: PieceStrip, cuts: tuple[PanelCopy, ...], layout: Layout
) -> tuple[tuple[PlacedPanel, ...], ...]:
    """The panels where a layout puts them, for each piece of the strip.

    Each place is measured from the cut end of its piece and its lower edge.
    """
    on: dict[int, list[PlacedPanel]] = {index: [] for index in range(len(strip.stretches))}
    for cut, place in zip(cuts, layout.placements, strict=True):
        x = place.x - layout.start
        index = strip.index_at(x)
        stretch = strip.stretches[index]
        y = place.y + stretch.cloth.selvedge
        on[index].append(
            PlacedPanel(cut.panel, cut.copy, cut.part, place.turn, x - stretch.start, y)
        )
    return tuple(
        _from_the_start(stretch, on[index]) for index, stretch in enumerate(strip.stretches)
    )


def _from_the_start(stretch: Stretch, placed: list[PlacedPanel]) -> tuple[PlacedPanel, ...]:
    """Panels on one piece; on a perfect roll they begin where panels may begin."""
    if stretch.last is not None or not stretch.piece.is_plain or not placed:
        return tuple(placed)
    blank = min(each.x for each in placed) - stretch.cloth.end_allowance
    return tuple(replace(each, x=each.x - blank) for each in placed)
