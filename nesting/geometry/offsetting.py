"""Growing an outline outward: seam allowances, and half the gap between panels.

Offsetting is done by the Clipper library on a grid 1024 times finer than
ours. Corners are mitred; a corner so sharp that its mitre would reach further
than ``MITRE_LIMIT`` times the growth (the point of a gore) is squared off at
exactly the growth beyond it.
"""

import math
from collections.abc import Iterator, Sequence
from contextlib import suppress
from itertools import count

import pyclipper

from nesting.geometry.outline import Outline
from nesting.tolerances import MITRE_LIMIT

Point = tuple[float, float]

#: Steps of the offsetting grid in one grid unit.
_FINER = 1024

#: Grid units that a point may lie inside a line and still count as on it:
#: one step of the finer grid.
_ROUNDING = 1 / _FINER


def grown(outline: Outline, by: int) -> Outline:
    """The outline grown outward by a length, its corners on the grid again.

    It holds every point within ``by`` of the outline (the Minkowski sum with
    a disc of that radius), to a hundredth of a grid unit; on straight edges
    it exceeds that by no more than the rounding outward to the grid. Bays
    that close when they are grown are filled.

    Raises
    ------
    ValueError
        When ``by`` is negative.
    """
    if by < 0:
        msg = f"an outline can be grown by 0 or more: {by}"
        raise ValueError(msg)
    if by == 0:
        return outline
    # Rounded outward, the sides of a bay that all but closes may cross: a little more closes it.
    for more in count():
        with suppress(ValueError):
            return Outline(_outside(_offset(outline, by + more)))
    raise AssertionError  # once all its bays are filled, an outline crosses nothing


def _offset(outline: Outline, by: int) -> list[Point]:
    """The outer ring at a distance from an outline, as Clipper draws it."""
    offset = pyclipper.PyclipperOffset(MITRE_LIMIT)
    fine = [(x * _FINER, y * _FINER) for x, y in outline.points]
    offset.AddPath(fine, pyclipper.JT_MITER, pyclipper.ET_CLOSEDPOLYGON)
    ring = max(offset.Execute(by * _FINER), key=lambda ring: abs(pyclipper.Area(ring)))
    return [(x / _FINER, y / _FINER) for x, y in ring]


def _outside(ring: Sequence[Point]) -> tuple[tuple[int, int], ...]:
    """Grid points, one for each corner of an anticlockwise ring, that hold the ring.

    Each is the nearest grid point that lies outside both edges of its corner,
    so that every new edge lies outside the old one.
    """
    before, after = (ring[-1], *ring[:-1]), (*ring[1:], ring[0])
    return tuple(
        _corner(point, _outward(a, point), _outward(point, b))
        for a, point, b in zip(before, ring, after, strict=True)
    )


def _outward(start: Point, end: Point) -> Point:
    """Unit normal on the right of an edge: outward on an anticlockwise ring."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy)
    return dy / length, -dx / length


def _corner(point: Point, one: Point, other: Point) -> tuple[int, int]:
    """Nearest grid point that is outside two lines through a point."""
    for candidates in _around(point):
        outside = [
            (math.dist(point, (x, y)), x, y)
            for x, y in candidates
            if one[0] * (x - point[0]) + one[1] * (y - point[1]) >= -_ROUNDING
            and other[0] * (x - point[0]) + other[1] * (y - point[1]) >= -_ROUNDING
        ]
        if outside:
            return min(outside)[1:]
    raise AssertionError  # the search above has no end


def _around(point: Point) -> Iterator[list[tuple[int, int]]]:
    """Grid points about a point, in ever larger squares."""
    x, y = round(point[0]), round(point[1])
    for reach in count(1):
        span = range(-reach, reach + 1)
        yield [(x + i, y + j) for i in span for j in span]
