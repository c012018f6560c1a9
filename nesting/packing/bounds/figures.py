"""Outlines in the form the bounds use: turned, doubled, and grown by half the gap.

Everything here is in *half grid units*, so that half the gap is a whole number.
If pieces in a strip of width W and length L are all at least ``gap`` apart,
the pieces grown by half the gap do not overlap and lie in a strip of W + gap
by L + gap. Figures are grown by a polygon inscribed in the disc, so they are
never larger than the true grown pieces.
"""

import math
from collections import Counter
from dataclasses import dataclass

import shapely

from nesting.geometry.decomposition import Ring, convex_parts
from nesting.geometry.outline import Outline, twice_area
from nesting.geometry.transforms import from_least, outline_at
from nesting.layouts.problem import Problem, Shape

#: Corners of the polygon inscribed in the disc of growth, a multiple of 4.
_CORNERS = 16


@dataclass(frozen=True)
class Figure:
    """A shape at one of its turns, its least corner at the origin.

    ``kind`` is the index of its kind of piece, in the order of ``kinds_of``.
    ``body`` is a convex ring grown by ``growth``: the figure itself if it is
    ``convex``, else its largest convex part.
    """

    kind: int
    ring: Ring
    body: Ring
    convex: bool
    growth: int

    @property
    def length(self) -> int:
        """Extent along x, before growth."""
        return max(x for x, _ in self.ring)

    @property
    def height(self) -> int:
        """Extent along y, before growth."""
        return max(y for _, y in self.ring)

    @property
    def is_box(self) -> bool:
        """Whether it is a rectangle along the axes."""
        return twice_area(self.ring) == 2 * self.length * self.height

    def flipped(self) -> "Figure":
        """The figure with x and y exchanged (a mirror image)."""
        ring, body = _flipped(self.ring), _flipped(self.body)
        return Figure(self.kind, ring, body, self.convex, self.growth)


def kinds_of(problem: Problem) -> Counter[Shape]:
    """The number of pieces of every kind; equal shapes are one kind."""
    return Counter(problem.shapes[piece.shape] for piece in problem.pieces)


def figures_of(problem: Problem) -> tuple[Figure, ...]:
    """Every figure that fits the width of the strip, without equal ones of the same kind."""
    found: dict[tuple[int, Outline], Figure] = {}
    for kind, shape in enumerate(kinds_of(problem)):
        for turn in shape.turns:
            outline = from_least(outline_at(shape.outline, turn))
            if outline.height <= problem.width and (kind, outline) not in found:
                found[kind, outline] = _figure(kind, outline, problem.gap)
    return tuple(found.values())


def _figure(kind: int, outline: Outline, gap: int) -> Figure:
    parts = convex_parts(outline)
    largest = Outline(max(parts, key=twice_area))
    body = inflated(_doubled(largest.points), gap)
    return Figure(kind, _doubled(outline.points), body, len(parts) == 1, gap)


def inflated(ring: Ring, radius: int) -> Ring:
    """A convex ring plus a polygon inscribed in the disc of a radius (Minkowski sum)."""
    if radius == 0:
        return ring
    sums = [(x + u, y + v) for x, y in ring for u, v in _inscribed(radius)]
    hull = shapely.geometry.polygon.orient(shapely.MultiPoint(sums).convex_hull)
    return tuple((round(x), round(y)) for x, y in hull.exterior.coords[:-1])


def _inscribed(radius: int) -> set[tuple[int, int]]:
    """Grid points within a radius of the origin, including those on the axes."""
    angles = [2 * math.pi * i / _CORNERS for i in range(_CORNERS)]
    return {(math.trunc(radius * math.cos(a)), math.trunc(radius * math.sin(a))) for a in angles}


def _doubled(ring: Ring) -> Ring:
    return tuple((2 * x, 2 * y) for x, y in ring)


def _flipped(ring: Ring) -> Ring:
    return tuple((y, x) for x, y in reversed(ring))
