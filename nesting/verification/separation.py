"""How deep outlines overlap and how near they come, computed by shapely alone.

Nothing here depends on cloth or on a unit, so that the same code can check
layouts from elsewhere.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import shapely

#: Bisections of a depth that is known within a factor of two: they find it to 0.4 per cent.
_HALVINGS: Final = 8

#: First guess at an unknown depth, as a share of the size of the polygon.
_FIRST_GUESS: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Overlap:
    """Two figures, by index, whose interiors meet; depth, area and a place of the overlap."""

    first: int
    second: int
    depth: float
    area: float
    at: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Nearness:
    """Two outlines, by index, their distance, and the middle of the shortest line between them."""

    first: int
    second: int
    distance: float
    at: tuple[float, float]


def overlaps(polygons: Sequence[shapely.Polygon], deeper_than: float = 0.0) -> Iterator[Overlap]:
    """Pairs of valid polygons that overlap deeper than a length, in index order.

    The depth of an overlap is the farthest that a point of either polygon lies
    inside the other: the greatest distance of a common point from the other's
    edge. Two outlines that a shift by d separates are nowhere deeper than d;
    of a needle's tip, the whole length inside counts. One polygon is deeper
    than d in another if and only if it meets the other shrunk by d, so the
    same test works for outlines of any shape.
    """
    shrunk = shapely.buffer(_array(polygons), -deeper_than, quad_segs=32)
    for first, second in _pairs(polygons, shrunk, "intersects"):
        yield from _overlap(polygons, polygons, (first, second), deeper_than)


def overlaps_with(
    polygons: Sequence[shapely.Polygon], bodies: Sequence[shapely.Geometry], deeper_than: float
) -> Iterator[Overlap]:
    """Pairs of a valid polygon and a body that overlap deeper than a length, in index order.

    Bodies may have holes and several parts. Depth is that of `overlaps`.
    """
    tree, shrunk = (
        shapely.STRtree(_array(bodies)),
        shapely.buffer(_array(bodies), -deeper_than, quad_segs=32),
    )
    within = tree.query(
        shapely.buffer(_array(polygons), -deeper_than, quad_segs=32), predicate="intersects"
    )
    around = shapely.STRtree(shrunk).query(_array(polygons), predicate="intersects")
    for first, second in np.unique(np.hstack((within, around)).T, axis=0):
        yield from _overlap(polygons, bodies, (int(first), int(second)), deeper_than)


def _overlap(
    polygons: Sequence[shapely.Polygon],
    others: Sequence[shapely.Geometry],
    pair: tuple[int, int],
    deeper_than: float,
) -> Iterator[Overlap]:
    """The overlap of two figures that overlap deeper than a length, if they have a common area."""
    one, other = polygons[pair[0]], others[pair[1]]
    common = shapely.intersection(one, other)
    if common.area > 0:
        depth = max(_depth(one, other, deeper_than), _depth(other, one, deeper_than))
        place = common.representative_point()
        yield Overlap(*pair, depth, common.area, (place.x, place.y))


def nearer_than(polygons: Sequence[shapely.Polygon], distance: float) -> Iterator[Nearness]:
    """Pairs of valid polygons at most a distance apart, in index order."""
    for first, second in _pairs(polygons, _array(polygons), "dwithin", distance=distance):
        line = shapely.shortest_line(polygons[first], polygons[second])
        middle = line.interpolate(0.5, normalized=True)
        yield Nearness(first, second, line.length, (middle.x, middle.y))


def _pairs(
    polygons: Sequence[shapely.Polygon], asked: Any, predicate: str, **how: float
) -> Iterator[tuple[int, int]]:
    """Pairs of different polygons for which the predicate holds in either order."""
    found = shapely.STRtree(polygons).query(asked, predicate=predicate, **how).T
    found = np.sort(found[found[:, 0] != found[:, 1]], axis=1)
    return ((int(first), int(second)) for first, second in np.unique(found, axis=0))


def _array(polygons: Sequence[shapely.Polygon]) -> Any:
    """The polygons as an array for shapely, which also works if there are none."""
    return np.array(polygons, dtype=object)


def _depth(polygon: shapely.Geometry, other: shapely.Geometry, known: float) -> float:
    """How deep ``polygon`` reaches into ``other``, found by shrinking the other.

    ``known`` is a depth that is certainly reached, or zero. Most overlaps are
    shallow, so the search doubles before it halves.
    """

    def reached(depth: float) -> bool:
        return bool(polygon.intersects(other.buffer(-depth, quad_segs=32)))

    low, high = 0.0, known or math.sqrt(other.area) * _FIRST_GUESS
    while reached(high):
        low, high = high, 2 * high
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if reached(middle) else (low, middle)
    return low
