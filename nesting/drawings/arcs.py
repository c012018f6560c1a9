"""Turns chords into the arcs they approximate, and arcs into chords.

A *bulge* is the tangent of a quarter of the angle that an arc sweeps,
positive anticlockwise, 0 for a straight line (DXF reference, LWPOLYLINE).
"""

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from nesting.drawings.drawing import Path
from nesting.tolerances import ARC_MM, CHORD_MM, FLOAT_MM, READ_MM

Point = tuple[float, float]

#: A vertex of a path, and the bulge of the line or arc from it to the next vertex.
Bend = tuple[float, float, float]

#: Fewer chords than this are left as they are, since any two lie on some arc.
_FEWEST: int = 3

#: No arc sweeps more than half a circle (a bulge of 1), except by rounding.
_WIDEST: float = 1.001


def with_arcs(path: Path) -> list[Bend]:
    """The vertices of a path, with arcs in place of the chords of smooth curves.

    Every vertex that an arc replaces lies within ``ARC_MM`` of it, and no arc
    is more than ``CHORD_MM`` + ``ARC_MM`` away from a chord, so a straight side
    between two corners stays straight. Each arc is as long as possible.
    """
    ring = [*path.points, path.points[0]] if path.closed else list(path.points)
    points = np.array(ring)
    bends: list[Bend] = []
    start, last = 0, len(ring) - 1
    while start < last:
        end, bulge = _longest(points, start, last)
        bends.append((*ring[start], bulge))
        start = end
    return bends if path.closed else [*bends, (*ring[last], 0.0)]


def _longest(points: NDArray[np.float64], start: int, last: int) -> tuple[int, float]:
    """Index where the longest arc from a vertex ends, and its bulge; or the end of one chord."""
    found, end = (start + 1, 0.0), start + _FEWEST
    while end <= last:
        bulge = _fit_bulge(points[start : end + 1])
        if bulge == 0.0:
            break
        found, end = (end, bulge), end + 1
    return found


def _fit_bulge(run: NDArray[np.float64]) -> float:
    """Bulge of the arc from the first to the last of some vertices; 0 if no arc fits."""
    centre = _centre(run[0], run[len(run) // 2], run[-1])
    if centre is None:
        return 0.0
    spokes = run - centre
    radii = np.hypot(spokes[:, 0], spokes[:, 1])
    radius, off = float(radii[0]), float(np.ptp(radii))
    chord = float(np.hypot(*np.diff(run, axis=0).T).max())
    steps = spokes[:-1, 0] * spokes[1:, 1] - spokes[:-1, 1] * spokes[1:, 0]
    one_way = bool((steps > 0).all() or (steps < 0).all())
    if off > ARC_MM or chord >= 2 * radius or not one_way:
        return 0.0
    rise = radius - math.sqrt(radius**2 - chord**2 / 4)
    bulge = math.tan(_sweep(spokes, steps[0] > 0) / 4)
    if rise + off > CHORD_MM + ARC_MM or not 0 < bulge <= _WIDEST:
        return 0.0
    return math.copysign(bulge, float(steps[0]))


def _sweep(spokes: NDArray[np.float64], anticlockwise: bool) -> float:
    """Angle from the first spoke to the last, in the direction of the vertices."""
    (x0, y0), (x1, y1) = spokes[0], spokes[-1]
    angle = math.atan2(x0 * y1 - y0 * x1, x0 * x1 + y0 * y1)
    return (angle if anticlockwise else -angle) % math.tau


def _centre(
    a: NDArray[np.float64], b: NDArray[np.float64], c: NDArray[np.float64]
) -> NDArray[np.float64] | None:
    """Centre of the circle through three points; None if they lie on a line."""
    (bx, by), (cx, cy) = b - a, c - a
    twice = 2 * (bx * cy - by * cx)
    if abs(twice) < FLOAT_MM:
        return None
    b2, c2 = bx * bx + by * by, cx * cx + cy * cy
    centre: NDArray[np.float64] = a + np.array([cy * b2 - by * c2, bx * c2 - cx * b2]) / twice
    return centre


def as_chords(bends: Sequence[Bend], *, closed: bool, within: float = READ_MM) -> list[Point]:
    """Points of vertices with arcs between them; no arc is further than ``within`` from a chord."""
    ends = [*bends, bends[0]] if closed else list(bends)
    points = [point for one, other in pairwise(ends) for point in _chords(one, other, within)]
    return points if closed else [*points, ends[-1][:2]]


def _chords(start: Bend, end: Bend, within: float) -> list[Point]:
    """Points of one arc, including its start but not its end."""
    (x0, y0, bulge), (x1, y1, _) = start, end
    chord = math.hypot(x1 - x0, y1 - y0)
    if bulge == 0 or chord == 0:
        return [(x0, y0)]
    sweep = 4 * math.atan(bulge)
    radius = chord / (2 * math.sin(sweep / 2))
    count = math.ceil(abs(sweep) / (2 * math.acos(1 - min(within / abs(radius), 1))))
    apothem = radius * math.cos(sweep / 2)
    centre_x = (x0 + x1) / 2 - apothem * (y1 - y0) / chord
    centre_y = (y0 + y1) / 2 + apothem * (x1 - x0) / chord
    first = math.atan2(y0 - centre_y, x0 - centre_x)
    angles = (first + sweep * i / count for i in range(1, count))
    r = abs(radius)
    return [(x0, y0), *((centre_x + r * math.cos(a), centre_y + r * math.sin(a)) for a in angles)]
