"""Pieces of cloth laid end to end as one strip, and back.

The strip begins where panels may begin on the first piece, and y = 0 is the
lower selvedge line of every piece. Whatever panels may not lie on is a body
that lies still: a wall between two pieces, cloth that a narrower piece does not
have, the outside and the holes of an outline, a splice, a flaw.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType
from typing import Final

from nesting.cloth.cloth import Cloth
from nesting.cloth.stock import ClothPiece
from nesting.geometry.outline import Outline
from nesting.geometry.pockets import pockets
from nesting.geometry.transforms import shifted
from nesting.units import MM

#: Least thickness of a wall between two pieces.
_WALL: Final = MM

#: Half the width of the line of a splice.
_SPLICE: Final = 1


@dataclass(frozen=True)
class Stretch:
    """One piece of cloth on the strip; its x = 0 lies at ``start`` there.

    ``first`` and ``last`` are the x on the strip between which panels may lie;
    ``last`` is None for a roll that is as long as is needed.
    """

    piece: ClothPiece
    cloth: Cloth
    start: int
    first: int
    last: int | None

    def holds(self, x: int) -> bool:
        """Whether a panel that begins at x on the strip lies on this piece."""
        return self.first <= x and (self.last is None or x < self.last)


@dataclass(frozen=True)
class PieceStrip:
    """The pieces of a cloth in the order in which they lie on the strip.

    ``width`` is that of the strip; ``length`` is None if the last piece is as
    long as is needed. ``bodies`` are the outlines of what is not cloth and of
    flaws, ``minor`` those of flaws that hidden panels may have, ``still`` those of
    panels that stay where they are.
    """

    cloth: Cloth
    stretches: tuple[Stretch, ...]
    width: int
    length: int | None
    bodies: tuple[Outline, ...]
    minor: tuple[Outline, ...]
    still: tuple[Outline, ...] = ()

    def index_at(self, x: int) -> int:
        """The number of the piece on which a panel that begins at x on the strip lies."""
        return next(index for index, each in enumerate(self.stretches) if each.holds(x))


def strip_of(
    cloth: Cloth,
    pieces: Sequence[ClothPiece],
    reach: int = 0,
    still: Mapping[str, Sequence[Outline]] = MappingProxyType({}),
) -> PieceStrip:
    """Pieces of a cloth end to end; only the last may be as long as is needed.

    Its lay is no longer than ``reach``, which matters where other pieces are wider.
    ``still`` are outlines of panels that stay where they are, by the names of pieces.
    """
    stretches = tuple(_stretches(cloth, pieces))
    width = max(each.cloth.usable_width for each in stretches)
    walls = _walls(stretches, width)
    missing = (
        Outline(ring)
        for each in stretches
        for ring in _missing(each, width, each.first + reach if each.last is None else each.last)
    )
    flaws = [
        (flaw, _on_strip(flaw.outline, each)) for each in stretches for flaw in each.piece.flaws
    ]
    return PieceStrip(
        cloth,
        stretches,
        width,
        stretches[-1].last,
        bodies=(*walls, *missing, *(outline for flaw, outline in flaws if not flaw.minor)),
        minor=tuple(outline for flaw, outline in flaws if flaw.minor),
        still=tuple(
            _on_strip(outline, each)
            for each in stretches
            for outline in still.get(each.piece.name, ())
        ),
    )


def _stretches(cloth: Cloth, pieces: Sequence[ClothPiece]) -> Iterator[Stretch]:
    start: int | None = None
    for piece in pieces:
        own = cloth.on(piece)
        start = -own.end_allowance if start is None else start
        first = start + own.end_allowance
        if piece.length is None:
            yield Stretch(piece, own, start, first, None)
            return
        yield Stretch(piece, own, start, first, start + piece.length - own.end_allowance)
        start += piece.length + max(cloth.gap, _WALL)


def _walls(stretches: Sequence[Stretch], width: int) -> Iterator[Outline]:
    for left, right in pairwise(stretches):
        assert left.last is not None
        yield Outline(_box(left.last, 0, right.first, width))


def _missing(stretch: Stretch, width: int, last: int) -> Iterator[tuple[tuple[int, int], ...]]:
    """Rings on the strip of what is not cloth between the ends of a piece."""
    piece, across = stretch.piece, -stretch.cloth.selvedge
    for x0, x1, usable in _widths(stretch, last):
        if usable < width:
            yield from _boxes(x0, usable, x1, width)
    for splice in piece.splices:
        x = stretch.start + splice
        yield _box(x - _SPLICE, 0, x + _SPLICE, width)
    gone = (*pockets(piece.outline), *piece.holes) if piece.outline else ()
    for outline in gone:
        yield shifted(outline.points, stretch.start, across)


def _widths(stretch: Stretch, last: int) -> Iterator[tuple[int, int, int]]:
    """Parts of a piece, from x to x on the strip, each with its usable width."""
    piece, measured = stretch.piece, stretch.piece.widths
    edges = 2 * stretch.cloth.selvedge
    if not measured:
        yield stretch.first, last, piece.width - edges
        return
    at = [stretch.start + along for along, _ in measured]
    ends = [stretch.first, *at, last]
    wide = [measured[0][1], *(width for _, width in measured), measured[-1][1]]
    for (start, end), pair in zip(pairwise(ends), pairwise(wide), strict=True):
        x0, x1 = max(start, stretch.first), min(end, last)
        if x0 < x1:
            yield x0, x1, min(pair) - edges


def _on_strip(outline: Outline, stretch: Stretch) -> Outline:
    return Outline(shifted(outline.points, stretch.start, -stretch.cloth.selvedge))


def _boxes(x0: int, y0: int, x1: int, y1: int) -> Iterator[tuple[tuple[int, int], ...]]:
    """A long box in equal parts, so that the packer's tables of it stay small."""
    parts = -(-(x1 - x0) // y1)
    step = -(-(x1 - x0) // parts)
    for part in range(parts):
        yield _box(x0 + part * step, y0, min(x1, x0 + (part + 1) * step), y1)


def _box(x0: int, y0: int, x1: int, y1: int) -> tuple[tuple[int, int], ...]:
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1)
