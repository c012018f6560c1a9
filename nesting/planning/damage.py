"""A lay after cutting has begun: what is cut, what was spoiled, and the cloth that is left."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import count

import shapely

from nesting.cloth.stock import BOUGHT, ClothPiece, Flaw
from nesting.geometry.outline import Outline
from nesting.layouts.lay import ClothLay, PlacedPanel

#: Panels and flaws that share less than this (square grid units) only touch.
_TOUCHING = 1.0


@dataclass(frozen=True)
class Damage:
    """What happened to one lay.

    ``spoiled`` are labels of panels, ``flaws`` were found while cutting. Panels that
    lie wholly before ``cut_to`` are cut, all if it is None. Lengths are grid units.
    """

    spoiled: frozenset[str] = frozenset()
    flaws: tuple[Flaw, ...] = ()
    cut_to: int | None = None


@dataclass(frozen=True)
class Damaged:
    """A lay on a piece with an end, without the ``lost`` panels, which must be cut again.

    Panels that are not cut yet lie still too unless they ``may_move``.
    """

    lay: ClothLay
    lost: tuple[PlacedPanel, ...]
    may_move: bool


def after(lays: Sequence[ClothLay], damages: Mapping[str, Damage]) -> tuple[Damaged, ...]:
    """The lays of one cloth after damage to some of their pieces, by the names of these.

    Nothing is cut yet of the other pieces, and what lies on them stays there. What
    was bought is from now on a piece with an end, which is paid for. Where a spoiled
    panel lay there is no cloth any more, if it was cut.
    """
    names = _free_names(lay.on.name for lay in lays)
    return tuple(_after(lay, damages.get(lay.on.name), names) for lay in lays)


def _free_names(taken: Iterable[str]) -> Iterator[str]:
    """Names for pieces that were bought: the first one without a number."""
    known = {*taken}
    return (
        name
        for number in count(1)
        if (name := BOUGHT if number == 1 else f"{BOUGHT} {number}") not in known
    )


def _after(lay: ClothLay, damaged: Damage | None, names: Iterator[str]) -> Damaged:
    damage = damaged or Damage(cut_to=0)
    ill = [shapely.Polygon(flaw.outline.points) for flaw in damage.flaws if not flaw.minor]
    lost, left, gone = [], [], []
    for placed in lay.placed:
        is_cut = damage.cut_to is None or placed.outline.bounds[2] <= damage.cut_to
        if placed.label in damage.spoiled:
            gone.append(Flaw(placed.outline, f"spoiled: {placed.label}"))
            lost.append(placed)
        elif _meets(placed.outline, ill):
            if is_cut:
                gone.append(Flaw(placed.outline, f"spoiled: {placed.label}"))
            lost.append(placed)
        else:
            left.append(replace(placed, is_cut=is_cut, is_new=False))
    piece = _with_an_end(lay, names)
    piece = replace(piece, flaws=(*piece.flaws, *damage.flaws, *gone))
    cloth = lay.cloth.as_sold.on(piece)
    left_over = replace(lay, cloth=cloth, piece=piece, placed=tuple(left))
    return Damaged(left_over, tuple(lost), may_move=damaged is not None)


def _meets(outline: Outline, flaws: Sequence[shapely.Polygon]) -> bool:
    panel = shapely.Polygon(outline.points)
    return any(panel.intersection(flaw).area > _TOUCHING for flaw in flaws)


def _with_an_end(lay: ClothLay, names: Iterator[str]) -> ClothPiece:
    if lay.on.length is not None:
        return lay.on
    return replace(lay.on, name=next(names), length=lay.buy_length, price=lay.cost)
