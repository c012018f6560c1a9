"""Panels as cells: convex panels with more than six sides cannot fill cloth.

Lemma. Let n convex bodies lie in a rectangle without overlapping. Then they
can be enlarged to convex polygons that still lie in it without overlapping
and have at most max(3n - 6, n - 1) + 3n + 1 sides together (6n - 5 when n is 3
or more).

Proof. Take enlarged bodies of greatest total area. Each is the polygon cut out
of the rectangle by a separating line for every other body, since this polygon
contains the body and overlaps no other. If a side is not on the rectangle,
another body touches it between its ends, since otherwise a flat triangle could
be added there. No body touches two sides of another in this way: both are
convex, so the first would pass through the inside of the second. Draw a line
from body to body for each such touch, and from a body to an edge of the
rectangle for each side on it: this is a planar graph of the bodies and the four
edges. Lines between bodies count for two sides at most, and there are at most
3n - 6 of them (n - 1 when n is 2 or 1). The other lines count for one side.
Both kinds together are at most 3(n + 4) - 6, less the five lines that the edges
of the rectangle can have among themselves.

So the area of the cloth is at least the least total area of polygons around
the panels that have no more than this many sides together. This is the theorem
of L. Fejes Tóth (1950) on packings in a hexagon, counted for a mixture and for
few panels; see also Edelsbrunner, Robison and Shen (1990) on covering convex
sets with polygons (both cited from memory). Discs then waste as much as
hexagons around them: 9.3 per cent.
"""

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np

from nesting.geometry.decomposition import Ring
from nesting.geometry.outline import twice_area
from nesting.packing.bounds.figures import Figure
from nesting.packing.bounds.lines import Floats, Integers
from nesting.packing.running import uninterrupted

#: Most sides of a polygon that are considered: one with more is taken to waste nothing.
_SIDES = 12

#: Greatest step between the directions considered, in radians.
_STEP = math.radians(2)

#: Directions that differ by less than this count as one, in radians.
_PARALLEL = 1e-6

#: Share of the waste that is subtracted to allow for floating-point rounding.
_ROUNDING = 1e-6

#: With more kinds of panel than this the effort is not worth while.
_KINDS = 12


def least_cells(
    figures: Sequence[Figure], copies: Integers, stop: Callable[[], bool] = uninterrupted
) -> float:
    """Least area that the cells of all panels need, in square half grid units.

    Kinds that are not examined before the ``stop`` count as if they wasted nothing.
    """
    bodies = {figure.kind: figure.body for figure in figures}
    area = sum(int(n) * twice_area(bodies[kind]) for kind, n in enumerate(copies)) / 2
    if len(bodies) > _KINDS or max(map(len, bodies.values())) <= 6:
        return area
    n = int(copies.sum())
    sides = max(3 * n - 6, n - 1) + 3 * n + 1
    none = np.zeros(_SIDES - 2)
    waste = [none if stop() else least_waste(bodies[kind]) for kind in range(len(copies))]
    return area + _shared_waste(waste, copies, sides) * (1 - _ROUNDING)


def least_waste(ring: Ring) -> Floats:
    """Least area between a convex ring and any polygon of 3, 4... sides around it.

    The directions of sides are only distinguished up to a step of a fan of
    directions. Between two sides the area counts that lies between the nearest
    directions they may have. A polygon is a closed walk around the fan.
    """
    pocket = _pockets(ring)
    count = len(pocket)
    arc = np.full((count, count + 1), np.inf)
    arc[:, 0] = 0
    arc[:, 1:] = np.roll(pocket, -1, axis=0)
    walks = [arc]
    while 2 * len(walks) < _SIDES:
        walks.append(_joined(walks[-1], arc))
    return np.array(
        [_closed(walks[k // 2 - 1], walks[k - k // 2 - 1]) for k in range(3, _SIDES + 1)]
    )


def _pockets(ring: Ring) -> Floats:
    """Area between a convex ring and its tangents in two directions of its fan.

    Row a, column m: from direction a to the m-th after it; infinite where the
    tangents do not meet.
    """
    points = np.array(ring, dtype=float) - np.mean(ring, axis=0)
    angle, first, last = _fan(points)
    count, corners = len(angle), len(points)
    normal = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    tangent = np.stack([-normal[:, 1], normal[:, 0]], axis=1)
    reach = (normal * points[first % corners]).sum(axis=1)
    swept = np.concatenate([[0], np.cumsum(_cross(points, np.roll(points, -1, axis=0)))])
    start, ahead = np.indices((count, count))
    end, around = (start + ahead) % count, (start + ahead) // count
    turn = angle[end] - angle[start] + 2 * math.pi * around
    meets = (turn > _PARALLEL) & (turn < math.pi - _PARALLEL)
    sine = np.sin(np.where(meets, turn, 1))
    along = (reach[end] - reach[start] * np.cos(turn)) / sine
    apex = reach[start][..., None] * normal[start] + along[..., None] * tangent[start]
    near, far = points[last[start] % corners], points[first[end] % corners]
    chain = _swept(swept, first[end] + corners * around) - _swept(swept, last[start])
    pocket = (_cross(near, apex) + _cross(apex, far) - chain) / 2
    return np.where(turn <= _PARALLEL, 0, np.where(meets, np.maximum(pocket, 0), np.inf))


def _fan(points: Floats) -> tuple[Floats, Integers, Integers]:
    """Directions once around, with the first and the last corner that each tangent touches.

    Corner numbers go on past the last corner. The fan holds the outward
    normals of all edges and has no step greater than ``_STEP``.
    """
    edges = np.roll(points, -1, axis=0) - points
    normals = np.unwrap(np.arctan2(-edges[:, 0], edges[:, 1]))
    after = np.append(normals[1:], normals[0] + 2 * math.pi)
    fan = []
    for edge, (angle, following) in enumerate(zip(normals, after, strict=True)):
        fan.append((angle, edge, edge + 1))
        steps = math.ceil((following - angle) / _STEP)
        between = angle + (following - angle) * np.arange(1, steps) / max(steps, 1)
        fan.extend((inner, edge + 1, edge + 1) for inner in between)
    angle, first, last = zip(*fan, strict=True)
    return np.array(angle), np.array(first), np.array(last)


def _swept(swept: Floats, corner: Integers) -> Floats:
    """Twice the area swept around the middle, from the first corner of the ring to another."""
    corners = len(swept) - 1
    return np.asarray(swept[corner % corners] + swept[-1] * (corner // corners))


def _joined(first: Floats, second: Floats) -> Floats:
    """Least sum of a walk of the first kind followed by one of the second, by directions passed."""
    count = len(first)
    joined = np.full_like(first, np.inf)
    around = np.vstack([second, second])
    for passed in range(count + 1):
        onward = around[passed : passed + count, : count + 1 - passed]
        walk = first[:, passed : passed + 1] + onward
        np.minimum(joined[:, passed:], walk, out=joined[:, passed:])
    return joined


def _closed(first: Floats, second: Floats) -> float:
    """Least sum of two walks that together go once around."""
    count = len(first)
    start, passed = np.indices((count, count + 1))
    return float((first + second[(start + passed) % count, count - passed]).min())


def _shared_waste(waste: Sequence[Floats], copies: Integers, sides: int) -> float:
    """Least waste of all cells when ``sides`` sides are shared out among them.

    On its lower convex hull, waste falls more and more slowly with the number
    of sides, so it is best to give each side where it saves most.
    """
    spent, total = 0, 0.0
    savings: list[tuple[float, int]] = []
    for fall, n in zip(waste, copies, strict=True):
        hull = _lower_hull([(k, w) for k, w in enumerate([*fall, 0.0], start=3) if w < math.inf])
        spent += int(n) * hull[0][0]
        total += int(n) * hull[0][1]
        savings += [
            ((w0 - w1) / (k1 - k0), (k1 - k0) * int(n)) for (k0, w0), (k1, w1) in pairwise(hull)
        ]
    left = sides - spent
    for saving, most in sorted(savings, reverse=True):
        used = min(most, max(left, 0))
        total -= saving * used
        left -= used
    return max(total, 0.0)


def _lower_hull(points: Sequence[tuple[int, float]]) -> list[tuple[int, float]]:
    hull: list[tuple[int, float]] = []
    for k, w in points:
        while len(hull) > 1 and (hull[-1][1] - hull[-2][1]) * (k - hull[-2][0]) >= (
            w - hull[-2][1]
        ) * (hull[-1][0] - hull[-2][0]):
            hull.pop()
        hull.append((k, w))
    return hull


def _cross(a: Floats, b: Floats) -> Floats:
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])
