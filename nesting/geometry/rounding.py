"""Rings in millimetres as outlines on the grid that lie wholly inside them, or around them.

A ring whose points are all on the grid keeps them. Any other is moved by a
grid unit before its points are rounded, so that no rounding crosses its line.
"""

from collections.abc import Sequence
from contextlib import suppress
from itertools import count
from typing import TYPE_CHECKING, Final

from nesting.geometry.curves import Point
from nesting.geometry.outline import Outline
from nesting.units import GRID_PER_MM

if TYPE_CHECKING:
    import shapely

#: Grid units within which a point counts as on the grid; floats are not exact.
_ON_GRID: Final = 1e-6


def rounded_within(ring_mm: Sequence[Point]) -> Outline:
    """The outline inside a simple ring; the greatest, if narrow places of the ring close.

    Raises
    ------
    ValueError
        When the ring is too narrow to hold an outline.
    """
    return _rounded(ring_mm, -1)


def rounded_around(ring_mm: Sequence[Point]) -> Outline:
    """The outline around a simple ring; bays that are nearly closed are filled."""
    return _rounded(ring_mm, 1)


def _rounded(ring_mm: Sequence[Point], side: int) -> Outline:
    import shapely  # noqa: PLC0415 - orders are read without loading it

    ring = [(x * GRID_PER_MM, y * GRID_PER_MM) for x, y in ring_mm]
    whole = [(round(x), round(y)) for x, y in ring]
    off = max(abs(x - i) + abs(y - j) for (x, y), (i, j) in zip(ring, whole, strict=True))
    if off <= _ON_GRID:
        with suppress(ValueError):  # floats may part two sides that touch on the grid
            return Outline(tuple(whole))
    drawn = shapely.Polygon(ring)
    for distance in count(1):
        moved = _largest(drawn.buffer(side * distance, join_style="mitre"))
        if moved.is_empty:
            msg = "the ring is too narrow to hold an outline"
            raise ValueError(msg)
        points = tuple((round(x), round(y)) for x, y in moved.exterior.coords[:-1])
        found = shapely.Polygon(points)
        inner, outer = (found, drawn) if side < 0 else (drawn, found)
        if found.is_valid and found.area and outer.covers(inner):
            return Outline(points)
    raise AssertionError  # far enough inward nothing is left, and outward every bay is filled


def _largest(figure: "shapely.Geometry") -> "shapely.Polygon":
    parts: list[shapely.Polygon] = list(getattr(figure, "geoms", [figure]))
    return max(parts, key=lambda part: part.area)
