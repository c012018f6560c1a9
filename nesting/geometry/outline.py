"""A closed ring on the integer grid, the form of every cut line.

An *outline* is a simple polygon without holes on the integer grid. It runs
anticlockwise, does not repeat its first point and has no vertex on the
straight line between its neighbours. Its *least corner* is (least x, least y).
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain, pairwise
from typing import TypeVar

from nesting.units import GRID_PER_MM

Number = TypeVar("Number", int, float)

#: A float that exceeds a whole number by no more than this counts as that number.
_ROUNDING = 1e-6


@dataclass(frozen=True)
class Outline:
    """A simple anticlockwise polygon with integer vertices (grid units).

    Raises
    ------
    ValueError
        When the ring has no area or crosses itself.
    """

    points: tuple[tuple[int, int], ...]

    def __post_init__(self) -> None:
        points = _without_redundant(self.points)
        if len(points) < 3 or twice_area(points) == 0:
            msg = f"an outline needs an area: {len(self.points)} points enclose none"
            raise ValueError(msg)
        if twice_area(points) < 0:
            points = points[::-1]
        if not _is_simple(points):
            msg = f"an outline must not cross or touch itself: {points}"
            raise ValueError(msg)
        object.__setattr__(self, "points", points)

    @property
    def area2(self) -> int:
        """Twice the area, exact, in square grid units."""
        return twice_area(self.points)

    @property
    def area_mm2(self) -> float:
        """Area in square millimetres."""
        return self.area2 / (2 * GRID_PER_MM**2)

    @cached_property
    def bounds(self) -> tuple[int, int, int, int]:
        """Least x, least y, greatest x, greatest y."""
        xs, ys = zip(*self.points, strict=True)
        return min(xs), min(ys), max(xs), max(ys)

    @property
    def length(self) -> int:
        """Extent along x, the run of the roll."""
        return self.bounds[2] - self.bounds[0]

    @property
    def height(self) -> int:
        """Extent along y, across the roll."""
        return self.bounds[3] - self.bounds[1]


def rounded_outward(points_mm: Sequence[tuple[float, float]]) -> tuple[tuple[int, int], ...]:
    """Grid points of a ring in millimetres, each coordinate rounded away from the middle.

    The middle is that of the bounding box, so that a symmetric ring stays
    symmetric and its box never shrinks.
    """
    xs, ys = zip(*points_mm, strict=True)
    middle_x, middle_y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    return tuple((_away(x, middle_x), _away(y, middle_y)) for x, y in points_mm)


def _away(value_mm: float, middle_mm: float) -> int:
    value = value_mm * GRID_PER_MM
    up = value_mm >= middle_mm
    return math.ceil(value - _ROUNDING) if up else math.floor(value + _ROUNDING)


def twice_area(points: Sequence[tuple[Number, Number]]) -> Number:
    """Twice the area that a ring encloses, exact for integers; negative when it runs clockwise."""
    chords = pairwise(chain(points, points[:1]))
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in chords)


def _is_simple(points: Sequence[tuple[int, int]]) -> bool:
    import shapely  # noqa: PLC0415 - products are listed without loading it

    return bool(shapely.Polygon(points).is_valid)


def _without_redundant(points: Iterable[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    """The ring without repeated points and without points on a straight line."""
    ring = _without_repeats([(int(x), int(y)) for x, y in points])
    changed = True
    while changed and len(ring) >= 3:
        kept = [
            b
            for a, b, c in zip([ring[-1], *ring[:-1]], ring, [*ring[1:], ring[0]], strict=True)
            if (b[0] - a[0]) * (c[1] - b[1]) != (b[1] - a[1]) * (c[0] - b[0])
        ]
        changed = len(kept) < len(ring)
        ring = _without_repeats(kept)
    return tuple(ring)


def _without_repeats(ring: list[tuple[int, int]]) -> list[tuple[int, int]]:
    return [b for a, b in zip([*ring[-1:], *ring[:-1]], ring, strict=True) if a != b]
