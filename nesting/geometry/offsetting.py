"""Grows outlines outward: by seam allowances, and by half the gap between panels.

The Clipper library offsets on a grid 1024 times finer than ours. Corners are
mitred. A corner so sharp that its mitre would reach further than
``MITRE_LIMIT`` times the growth (the point of a gore) is squared off at
exactly the growth from its vertex. Where each edge has its own growth, the
corners are computed here and Clipper only removes overlaps.
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

#: A point that lies this far (grid units) inside a line still counts as on it:
#: one step of the finer grid.
_ROUNDING = 1 / _FINER

#: Two edges whose turn has a smaller sine than this form a straight line.
_STRAIGHT = 1e-9


def grown(outline: Outline, by: int) -> Outline:
    """The outline grown outward by a length, with its corners on the grid.

    It contains every point within ``by`` of the outline (the Minkowski sum
    with a disc of that radius), to a hundredth of a grid unit; along straight
    edges it exceeds that only by the rounding outward to the grid. Bays that
    close as they grow are filled.

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
    # Rounding outward can make the sides of a bay that nearly closes cross; growing a little
    # more closes it.
    for more in count():
        with suppress(ValueError):
            return Outline(_outside(_offset(outline, by + more)))
    raise AssertionError  # the loop ends: an outline whose bays are all filled is simple


def grown_by_edge(ring: Sequence[tuple[int, int]], by: Sequence[int]) -> Outline:
    """An outline whose edges are each grown outward by a length of their own, on the grid.

    ``by[i]`` belongs to the edge from ``ring[i]`` to the next point of the
    anticlockwise ring. The result contains, for every edge, all points outside
    it within its growth, and around every corner all points within the lesser
    growth of its two edges. A convex corner lies where the two grown edges
    meet; if that is farther than ``MITRE_LIMIT`` growths away, it is squared
    off as in `grown`. Where two edges of different growth are nearly in line,
    the wider one ends at right angles at the corner.

    Raises
    ------
    ValueError
        When a growth is negative or the ring is not an outline.
    """
    if min(by) < 0:
        msg = f"an edge can be grown by 0 or more: {min(by)}"
        raise ValueError(msg)
    stitch = Outline(tuple(ring))
    if max(by) == 0:
        return stitch
    sides = [(p, q, d) for p, q, d in zip(ring, (*ring[1:], ring[0]), by, strict=True) if p != q]
    for more in count():
        raw = [
            point
            for (p, v, one), (_, q, other) in zip([sides[-1], *sides[:-1]], sides, strict=True)
            for point in _grown_corner(p, v, q, one + more, other + more)
        ]
        with suppress(ValueError):
            return Outline(_outside(_united(raw, stitch)))
    raise AssertionError  # as in `grown`


def _grown_corner(before: Point, at: Point, after: Point, one: float, other: float) -> list[Point]:
    """Points of the grown ring at a corner between edges grown by ``one`` and ``other``."""
    u, w = _outward(before, at), _outward(at, after)
    cos, sin = u[0] * w[0] + u[1] * w[1], u[0] * w[1] - u[1] * w[0]
    end, start = _along(at, u, one), _along(at, w, other)
    if sin <= 0 and cos > 0 and abs(sin) < _STRAIGHT:
        return [end, start]
    if sin <= 0:
        return [end, at, start]
    ahead, back = other - one * cos, one - other * cos
    if ahead < 0:
        return [end, _along(at, u, other / cos)]
    if back < 0:
        return [_along(at, w, one / cos), start]
    half = math.sqrt((1 + cos) / 2)
    if half >= 1 / MITRE_LIMIT:
        return [_along(end, (-u[1], u[0]), ahead / sin)]
    most, slope = max(one, other), math.sqrt(1 - half * half)
    reach_one, reach_other = (most - one * half) / slope, (most - other * half) / slope
    return [_along(end, (-u[1], u[0]), reach_one), _along(start, (w[1], -w[0]), reach_other)]


def _along(point: Point, way: Point, length: float) -> Point:
    return point[0] + length * way[0], point[1] + length * way[1]


def _united(raw: Sequence[Point], stitch: Outline) -> list[Point]:
    """Outer ring of the area that a raw grown ring winds around, united with the outline."""
    clipper = pyclipper.Pyclipper()
    for path in (raw, stitch.points):
        fine = [(round(x * _FINER), round(y * _FINER)) for x, y in path]
        clipper.AddPath(fine, pyclipper.PT_SUBJECT, True)
    rule = pyclipper.PFT_POSITIVE
    rings = clipper.Execute(pyclipper.CT_UNION, rule, rule)
    ring = max(rings, key=lambda ring: abs(pyclipper.Area(ring)))
    return [(x / _FINER, y / _FINER) for x, y in ring]


def _offset(outline: Outline, by: int) -> list[Point]:
    """The outer ring at a distance from an outline, as Clipper computes it."""
    offset = pyclipper.PyclipperOffset(MITRE_LIMIT)
    fine = [(x * _FINER, y * _FINER) for x, y in outline.points]
    offset.AddPath(fine, pyclipper.JT_MITER, pyclipper.ET_CLOSEDPOLYGON)
    ring = max(offset.Execute(by * _FINER), key=lambda ring: abs(pyclipper.Area(ring)))
    return [(x / _FINER, y / _FINER) for x, y in ring]


def _outside(ring: Sequence[Point]) -> tuple[tuple[int, int], ...]:
    """Grid points, one for each corner of an anticlockwise ring, whose ring contains it.

    Each is the grid point nearest to its corner that lies outside both of the
    corner's edges, so that every new edge lies outside the old one.
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
    raise AssertionError  # unreachable: `_around` never ends


def _around(point: Point) -> Iterator[list[tuple[int, int]]]:
    """Grid points around a point, in squares of increasing size."""
    x, y = round(point[0]), round(point[1])
    for reach in count(1):
        span = range(-reach, reach + 1)
        yield [(x + i, y + j) for i in span for j in span]
