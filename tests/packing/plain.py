"""Slow and obvious twins of the compiled loops, written from what those say they do.

A depth table is a plain function of two poses and an offset in cells here;
where the compiled code picks among equals, the twins pick by the same rule,
so that results can be compared to the last bit.
"""

import numpy as np
import shapely

from nesting.packing.kernels import KEEP, S


def hulls(stage, a, b):
    """Minkowski sum of every part of pose ``a`` with the mirrored ones of ``b``: convex hulls."""
    return [
        shapely.MultiPoint([(p - q).tolist() for p in one for q in other]).convex_hull
        for one in _parts(stage.poses[a])
        for other in _parts(stage.poses[b])
    ]


def depths(sums, dx, dy):
    """How deep offsets (grid units) lie in the deepest of some convex sums, 0 outside all."""
    points = shapely.points(dx, dy)
    deepest = np.zeros(len(points))
    for one in sums:
        within = shapely.contains(one, points)
        deepest = np.maximum(deepest, within * shapely.distance(one.exterior, points))
    return deepest


def looked_up(tables, a, b, dx, dy):
    """The depth that the tables hold for an offset in cells; 0 beyond them."""
    u, v = int(dx - tables.origin[a, b, 0]), int(dy - tables.origin[a, b, 1])
    qx, qy = (int(q) for q in tables.size[a, b])
    if not (0 <= u < S * qx and 0 <= v < S * qy):
        return np.float32(0)
    first = int(tables.start[a, b])
    table = tables.depths[first : first + S * S * qx * qy].reshape(S, S, qx, qy)
    return table[u % S, v % S, u // S, v // S]


class Draws:
    """xorshift64* (Vigna 2016) in whole numbers without end, cut to 64 bits by hand."""

    MASK = 2**64 - 1

    def __init__(self, state):
        self.state = int(state)

    def below(self, n):
        """The next number below ``n``."""
        s = self.state
        s ^= s >> 12
        s ^= s << 25 & self.MASK
        s ^= s >> 27
        self.state = s
        return ((s * 2685821657736338717 & self.MASK) >> 33) % int(n)


def cost(tables, lying, weight, i, a, px, py):
    """Weighted depth of piece ``i`` in pose ``a`` at a position, among all others."""
    pose, x, y = lying
    return sum(
        float(weight[i, j]) * float(looked_up(tables, pose[j], a, px - x[j], py - y[j]))
        for j in range(len(pose))
        if j != i
    )


def coarse_map(tables, lying, weight, i, a, phase, count):
    """Weighted depth at every coarse cell, summed in single precision."""
    pose, x, y = lying
    grid = np.zeros(count, dtype=np.float32)
    for k, m in np.ndindex(*count):
        px, py = phase[0] + S * k, phase[1] + S * m
        for j in range(len(pose)):
            if j != i:
                deep = looked_up(tables, pose[j], a, px - x[j], py - y[j])
                grid[k, m] += np.float32(weight[i, j]) * deep
    return grid


def least_cells(grid, begin):
    """The KEEP least cells; among equals those first that are scanned first from row ``begin``."""
    rows = len(grid)
    scanned = sorted(np.ndindex(*grid.shape), key=lambda at: ((at[0] - begin) % rows, at[1]))
    return sorted(scanned, key=lambda at: grid[at])[:KEEP]


def settled(tables, lying, weight, i, choices, cells, draws):
    """Pose and position of piece ``i`` after it has moved to its cheapest."""
    pose, x, y = lying
    best = int(pose[i]), int(x[i]), int(y[i])
    least = cost(tables, lying, weight, i, *best)
    for a in choices:
        if a < 0 or cells[a, 0] <= 0:
            continue
        phase = [draws.below(min(S, cells[a, axis])) for axis in (0, 1)]
        count = [int(cells[a, axis] - phase[axis] + S - 1) // S for axis in (0, 1)]
        grid = coarse_map(tables, lying, weight, i, a, phase, count)
        for k, m in least_cells(grid, draws.below(count[0])):
            if least == 0:
                break
            for px in _around(phase[0] + S * k, cells[a, 0]):
                for py in _around(phase[1] + S * m, cells[a, 1]):
                    there = cost(tables, lying, weight, i, a, px, py)
                    if there < least:
                        least, best = there, (int(a), px, py)
    return best


def overlaps(tables, lying):
    """Depth of every pair, symmetric."""
    pose, x, y = lying
    n = len(pose)
    deep = np.zeros((n, n))
    for i in range(n):
        for j in range(i):
            deep[i, j] = deep[j, i] = looked_up(tables, pose[i], pose[j], x[j] - x[i], y[j] - y[i])
    return deep


def swept(tables, lying, weight, order, choices, cells, draws):
    """How everything lies after a pass over the pieces in a new random order."""
    pose, x, y = (values.copy() for values in lying)
    order = list(order)
    for k in range(len(order) - 1, 0, -1):
        r = draws.below(k + 1)
        order[k], order[r] = order[r], order[k]
    for i in order:
        if overlaps(tables, (pose, x, y))[i].any():
            found = settled(tables, (pose, x, y), weight, i, choices[i], cells, draws)
            pose[i], x[i], y[i] = found
    return pose, x, y


def reweighed(weight, floor, deep):
    """Prices after a pass: times 1 + 0.5 (0.3 + depth / deepest), or 0.95 down to the floor."""
    raised = weight * (1 + 0.5 * (0.3 + deep / deep.max()))
    return np.where(deep > 0, raised, np.maximum(floor, 0.95 * weight))


def _parts(pose):
    return np.split(pose.parts.vertices, pose.parts.starts[1:-1])


def _around(cell, cells):
    return range(max(0, cell - 2), min(int(cells) - 1, cell + 2) + 1)
