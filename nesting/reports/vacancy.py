"""The largest upright rectangles that fit between outlines.

A *vacancy* is a rectangle along x and y whose inside meets no outline; a
*maximal* vacancy cannot grow in any direction. *Columns* are strips of the
region, side by side along x.

Two sides of a maximal vacancy lie where columns meet. Columns are divided at
both ends of every outline, at its upright edges, and finely in between.
Outlines are sliced as finely, and a slice fills its full height in every column
that it touches. So a vacancy never meets an outline. It is exact between
upright edges, and beside a slanted edge it is short by at most a slice and a
column.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely

from nesting.geometry.outline import Outline
from nesting.geometry.transforms import shifted

#: A place within this distance of a whole number (grid units) counts as that number.
_ROUNDING = 1e-6

Span = tuple[int, int]


@dataclass(frozen=True, slots=True, order=True)
class Box:
    """An upright rectangle between two corners, in grid units."""

    x0: int
    y0: int
    x1: int
    y1: int

    @property
    def area(self) -> int:
        """Area in square grid units."""
        return (self.x1 - self.x0) * (self.y1 - self.y0)

    def holds(self, side: int) -> bool:
        """Whether a square of this side fits into the box."""
        return min(self.x1 - self.x0, self.y1 - self.y0) >= side

    def without(self, other: "Box") -> tuple["Box", ...]:
        """The maximal boxes within this one that lie clear of another."""
        x0, y0, x1, y1 = self.x0, self.y0, self.x1, self.y1
        if other.x0 >= x1 or other.x1 <= x0 or other.y0 >= y1 or other.y1 <= y0:
            return (self,)
        beside = (
            Box(x0, y0, other.x0, y1),
            Box(other.x1, y0, x1, y1),
            Box(x0, y0, x1, other.y0),
            Box(x0, other.y1, x1, y1),
        )
        return tuple(box for box in beside if box.x1 > box.x0 and box.y1 > box.y0)


def vacancies(region: Box, outlines: Sequence[Outline], side: int, step: int) -> Iterator[Box]:
    """Vacancies that do not overlap, largest first, each the largest that is left.

    When a vacancy is taken, each maximal vacancy that overlaps it is replaced
    by the maximal ones that remain of it. That keeps the list complete, as in
    the maximal rectangles algorithm of Jylänki (A thousand ways to pack the
    bin, 2010).

    Parameters
    ----------
    region, outlines
        Where to look, and the outlines there (grid units).
    side
        Least extent of a vacancy along x and along y; positive.
    step
        Greatest length of a column and of a slice.
    """
    free = set(_maximal(_columns(region, outlines, side, step)))
    free = {box for box in free if box.holds(side)}
    while free:
        largest = max(free, key=lambda box: (box.area, -box.x0, -box.y0))
        yield largest
        free = {rest for box in free for rest in box.without(largest) if rest.holds(side)}


@dataclass(frozen=True, slots=True)
class _Column:
    x0: int
    x1: int
    free: tuple[Span, ...]


def _columns(region: Box, outlines: Sequence[Outline], side: int, step: int) -> list[_Column]:
    """The region in columns, each with its free spans that are at least ``side`` tall."""
    edges = _edges(region, outlines, step)
    filled: list[list[Span]] = [[] for _ in edges[1:]]
    for slab in _all_slabs(outlines, step):
        first = max(bisect_right(edges, slab.x0) - 1, 0)
        for column in filled[first : bisect_left(edges, slab.x1)]:
            column.append((slab.y0, slab.y1))
    return [
        _Column(x0, x1, tuple(_gaps(spans, region, side)))
        for (x0, x1), spans in zip(pairwise(edges), filled, strict=True)
    ]


def _edges(region: Box, outlines: Iterable[Outline], step: int) -> list[int]:
    """Where columns meet: at the cuts of outlines, and no further apart than ``step``."""
    cuts = {region.x0, region.x1}
    for outline in outlines:
        cuts.update(x for x in _cuts(outline.points) if region.x0 < x < region.x1)
    return _subdivide(cuts, step)


def _cuts(ring: tuple[Span, ...]) -> set[int]:
    """Both ends of an outline along x, and its upright edges."""
    xs = [x for x, _ in ring]
    return {min(xs), max(xs), *(a for a, b in pairwise((*xs, xs[0])) if a == b)}


def _subdivide(cuts: Iterable[int], step: int) -> list[int]:
    """The cuts in order, with more between those that are further apart than ``step``."""
    coarse = sorted(cuts)
    return [x for a, b in pairwise(coarse) for x in range(a, b, step)] + coarse[-1:]


def _all_slabs(outlines: Iterable[Outline], step: int) -> Iterator[Box]:
    """Boxes that cover all outlines; equal outlines are sliced only once."""
    known: dict[tuple[Span, ...], list[Box]] = {}
    for outline in outlines:
        x, y, _, _ = outline.bounds
        ring = shifted(outline.points, -x, -y)
        if ring not in known:
            known[ring] = list(_slabs(ring, step))
        for slab in known[ring]:
            yield Box(slab.x0 + x, slab.y0 + y, slab.x1 + x, slab.y1 + y)


def _slabs(ring: tuple[Span, ...], step: int) -> Iterator[Box]:
    """Boxes around the slices of an outline, each at most ``step`` long, rounded outward."""
    edges = np.array(_subdivide(_cuts(ring), step))
    strips = shapely.box(edges[:-1], 0, edges[1:], max(y for _, y in ring))
    slices = shapely.intersection(shapely.Polygon(ring), strips)
    parts, of = shapely.get_parts(slices, return_index=True)
    for i, (x0, y0, x1, y1) in zip(of, shapely.bounds(parts), strict=True):
        if x1 > x0:
            low, high = np.floor(y0 + _ROUNDING), np.ceil(y1 - _ROUNDING)
            yield Box(int(edges[i]), int(low), int(edges[i + 1]), int(high))


def _gaps(spans: list[Span], region: Box, side: int) -> Iterator[Span]:
    """The free spans between the filled spans of a column that are at least ``side`` tall."""
    low = region.y0
    for bottom, top in [*sorted(spans), (region.y1, region.y1)]:
        end = min(bottom, region.y1)
        if end - low >= side:
            yield low, end
        low = max(low, top)


def _maximal(columns: Sequence[_Column]) -> Iterator[Box]:
    """Every maximal vacancy, from each column as far as its spans stay free.

    A span that is also free in the column before belongs to a vacancy that
    begins there.
    """
    for i, start in enumerate(columns):
        before = columns[i - 1].free if i else ()
        spans = start.free
        for j in range(i, len(columns)):
            spans = tuple(span for span in spans if not _within(span, before))
            onward = columns[j + 1].free if j + 1 < len(columns) else ()
            for low, high in spans:
                if not _within((low, high), onward):
                    yield Box(start.x0, low, columns[j].x1, high)
            spans = tuple(_common(spans, onward))
            if not spans:
                break


def _within(span: Span, others: Iterable[Span]) -> bool:
    return any(low <= span[0] and span[1] <= high for low, high in others)


def _common(spans: Iterable[Span], others: Iterable[Span]) -> Iterator[Span]:
    for low, high in spans:
        for bottom, top in others:
            if max(low, bottom) < min(high, top):
                yield max(low, bottom), min(high, top)
