"""Decides how a strip along several sides is cut in pieces.

With few pieces the joins fall at corners: so many corners as there are pieces
are chosen that the longest piece is as short as can be. Beyond that, sides are
divided into equal parts. Pieces of equal length with corners and bends at the
same places are one panel.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, combinations, pairwise
from typing import Final

from nesting.panels.parts.strips.strip import Side
from nesting.units import to_grid

#: With more corners than this, only the first ones are tried for joins.
_MOST_CORNERS: Final = 14

#: Millimetres below which a corner or a bend lies at the end of a piece.
_SAME_MM: Final = 1e-3


@dataclass(frozen=True)
class Pieces:
    """The pieces of a strip: the sides, or the parts of a side, that each one covers.

    ``parts`` tells for every side into how many it is divided.
    """

    sides: tuple[Side, ...]
    covers: tuple[tuple[int, ...], ...]
    parts: tuple[int, ...]

    @property
    def lengths_mm(self) -> list[float]:
        """Length of each piece."""
        return [self._length(cover) for cover in self.covers]

    def _length(self, cover: tuple[int, ...]) -> float:
        return sum(self.sides[i].length_mm / self.parts[i] for i in cover)

    def runs(self) -> list[tuple[tuple[int, ...], list[int]]]:
        """Sides with the pieces along them, between joins that fall on corners."""
        runs: list[tuple[tuple[int, ...], list[int]]] = []
        for index, cover in enumerate(self.covers):
            if runs and runs[-1][0] == cover:
                runs[-1][1].append(index)
            else:
                runs.append((cover, [index]))
        return runs

    def names(self, name: str) -> list[str]:
        """A name for every piece; equal pieces share a name.

        Alone, ``-long`` and ``-short`` for two of unlike length, numbered by
        falling length else.
        """
        likeness = [self._likeness(*each) for each in self._placed()]
        known = sorted(dict.fromkeys(likeness), key=lambda each: -each[0])
        if len(known) == 1:
            return [name] * len(likeness)
        unlike = len(known) == 2 and known[0][0] > known[1][0]
        endings = ("long", "short") if unlike else range(1, len(known) + 1)
        ending = dict(zip(known, endings, strict=True))
        return [f"{name}-{ending[each]}" for each in likeness]

    def _placed(self) -> Iterator[tuple[tuple[int, ...], int]]:
        """What each piece covers, with how many before it lie on the same side."""
        within = 0
        for before, cover in pairwise(((), *self.covers)):
            within = within + 1 if before == cover else 0
            yield cover, within

    def _likeness(self, cover: tuple[int, ...], within: int) -> tuple[int, ...]:
        """Length of a piece and the places of its corners and bends; equal pieces share these."""
        length = self._length(cover)
        spans = (self.sides[i].length_mm for i in cover)
        starts = list(accumulate(spans, initial=-within * length))
        bends = [
            start + bend
            for i, start in zip(cover, starts, strict=False)
            for bend in self.sides[i].bends_mm
            if _SAME_MM < start + bend < length - _SAME_MM
        ]
        return (to_grid(length), *(to_grid(at) for at in (*starts[1:-1], *bends)))

    def joins(self, start: str = "") -> list[str]:
        """Describes where the joins fall, in order from the strip's start.

        ``start`` is where its end is sewn to its start; nothing where they are not.
        """
        places, within = [start] if start else [], 0
        for before, after in pairwise(self.covers):
            if before == after:
                within += 1
                side = after[0]
                places.append(f"{within}/{self.parts[side]} of {self.sides[side].name}")
            else:
                within = 0
                places.append(corner(self.sides[before[-1]], self.sides[after[0]]))
        return places


def corner(one: Side, other: Side) -> str:
    """Describes the corner between two sides."""
    return f"the corner between {one.name} and {other.name}"


def cut_in_pieces(sides: Sequence[Side], pieces: int) -> Pieces:
    """Which sides, or parts of sides, each piece covers."""
    count = len(sides)
    if pieces >= count:
        parts = _shared_out(sides, pieces)
        covers = tuple((i,) for i in range(count) for _ in range(parts[i]))
        return Pieces(tuple(sides), covers, parts)
    corners = range(1, max(min(count, _MOST_CORNERS), pieces))
    inner = combinations(corners, pieces - 1)
    best = min(inner, key=lambda cuts: _longest(sides, (0, *cuts, count)))
    ends = (0, *best, count)
    return Pieces(tuple(sides), tuple(tuple(range(a, b)) for a, b in pairwise(ends)), (1,) * count)


def _longest(sides: Sequence[Side], ends: tuple[int, ...]) -> float:
    return max(sum(side.length_mm for side in sides[a:b]) for a, b in pairwise(ends))


def _shared_out(sides: Sequence[Side], pieces: int) -> tuple[int, ...]:
    """Equal parts of each side, so that the longest part is as short as can be."""
    parts = [1] * len(sides)
    for _ in range(pieces - len(sides)):
        longest = max(range(len(sides)), key=lambda i: round(sides[i].length_mm / parts[i], 6))
        parts[longest] += 1
    return tuple(parts)
