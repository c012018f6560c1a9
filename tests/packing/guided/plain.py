"""Slow, plain versions of the compiled loops, written from their docstrings.

A depth table is a plain function of two poses and an offset in cells here;
where the compiled code chooses among equals, these follow the same rule,
so that results can be compared to the last bit.
"""

import numpy as np
import shapely

from nesting.packing.guided.kernels import AROUND, KEEP, REACH, Q, S


def hulls(stage, a, b):
    """Minkowski sum of every part of pose ``a`` with the mirrored ones of ``b``: convex hulls."""
    return [
        shapely.MultiPoint([(p - q).tolist() for p in one for q in other]).convex_hull
        for one in _parts(stage.poses[a])
        for other in _parts(stage.poses[b])
    ]


def depths(sums, dx, dy):
    """Depth of offsets (grid units) in the deepest of some convex sums; 0 outside all."""
    points = shapely.points(dx, dy)
    deepest = np.zeros(len(points))
    for one in sums:
        within = shapely.contains(one, points)
        deepest = np.maximum(deepest, within * shapely.distance(one.exterior, points))
    return deepest


def held(tables, a, b, u, v):
    """Entry of the table of ``b`` around ``a`` at an offset in whole cells; None beyond it."""
    depths = tables.depths
    u, v = int(u - depths.origin[a, b, 0]), int(v - depths.origin[a, b, 1])
    rows, columns = (int(q) * S for q in depths.size[a, b])
    if not (0 <= u < rows and 0 <= v < columns):
        return None
    return float(depths.plain[int(depths.start[a, b]) + u * columns + v])


def looked_up(tables, a, b, dx, dy):
    """The depth interpolated at an offset in 1/Q of a cell; 0 when apart or beyond the table."""
    u, v = int(dx // Q), int(dy // Q)
    right, up = int(dx % Q) / Q, int(dy % Q) / Q
    corners = [held(tables, a, b, u + i, v + j) for i, j in ((0, 0), (1, 0), (0, 1), (1, 1))]
    if None in corners:
        return 0.0
    lower = (1 - right) * corners[0] + right * corners[1]
    upper = (1 - right) * corners[2] + right * corners[3]
    return max(0.0, (1 - up) * lower + up * upper)


class Draws:
    """xorshift64* (Vigna 2016) in integers of any size, explicitly cut to 64 bits."""

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


def cost(tables, crowd, i, a, px, py):
    """Weighted depth of piece ``i`` in pose ``a`` at a position, among all others."""
    pose, x, y, weight = crowd
    return sum(
        float(weight[i, j]) * looked_up(tables, pose[j], a, px - x[j], py - y[j])
        for j in range(len(pose))
        if j != i
    )


def coarse_map(tables, crowd, i, a, phase, count):
    """Weighted depth at every coarse cell, others at their nearest cells, in single precision."""
    pose, x, y, weight = crowd
    grid = np.zeros(count, dtype=np.float32)
    for k, m in np.ndindex(*count):
        px, py = phase[0] + S * k, phase[1] + S * m
        for j in range(len(pose)):
            if j != i:
                u, v = px - (x[j] + Q // 2) // Q, py - (y[j] + Q // 2) // Q
                deep = held(tables, pose[j], a, u, v) or 0.0
                grid[k, m] += np.float32(weight[i, j]) * np.float32(max(0.0, deep))
    return grid


def least_cells(grid, begin):
    """The KEEP least cells; equal ones in the order they are scanned in from row ``begin``."""
    rows = len(grid)
    scanned = sorted(np.ndindex(*grid.shape), key=lambda at: ((at[0] - begin) % rows, at[1]))
    return sorted(scanned, key=lambda at: grid[at])[:KEEP]


def settled(tables, crowd, i, choices, most, draws, reach=REACH):
    """Pose and position of piece ``i`` after it has moved to its cheapest within reach."""
    best = int(crowd.pose[i]), int(crowd.x[i]), int(crowd.y[i])
    least = cost(tables, crowd, i, *best)
    found = []
    for a in choices:
        if a < 0 or most[a, 0] < 0:
            continue
        begin = min(max(0, int(crowd.x[i]) // Q - reach), int(most[a, 0]) // Q)
        end = min(int(most[a, 0]) // Q, int(crowd.x[i]) // Q + reach)
        cells = [end - begin + 1, int(most[a, 1]) // Q + 1]
        phase = [draws.below(min(S, cells[axis])) for axis in (0, 1)]
        count = [(cells[axis] - phase[axis] + S - 1) // S for axis in (0, 1)]
        phase[0] += begin
        grid = coarse_map(tables, crowd, i, a, phase, count)
        for k, m in least_cells(grid, draws.below(count[0])):
            found.append((grid[k, m], int(a), (phase[0] + S * k) * Q, (phase[1] + S * m) * Q))
    for _, *there in sorted(found, key=lambda each: each[0])[:KEEP]:
        if least > 0:
            least, best = _cheapest_around(tables, crowd, i, most, there, AROUND, Q, least, best)
    for step in (Q // 2, Q // 4, Q // 8):
        if least > 0:
            least, best = _cheapest_around(tables, crowd, i, most, best, 1, step, least, best)
    return best


def _cheapest_around(tables, crowd, i, most, centre, radius, step, least, best):
    """The first cheapest of a lattice of positions on the strip, or ``best`` if none is cheaper."""
    a, px, py = centre
    for r in range(-radius, radius + 1):
        for t in range(-radius, radius + 1):
            x, y = px + r * step, py + t * step
            there = cost(tables, crowd, i, a, x, y)
            if there < least and 0 <= x <= most[a, 0] and 0 <= y <= most[a, 1]:
                least, best = there, (a, x, y)
    return least, best


def overlaps(tables, crowd):
    """Depth of every pair, symmetric."""
    pose, x, y, _ = crowd
    n = len(pose)
    deep = np.zeros((n, n))
    for i in range(n):
        for j in range(i):
            deep[i, j] = deep[j, i] = looked_up(tables, pose[i], pose[j], x[j] - x[i], y[j] - y[i])
    return deep


def swept(tables, crowd, order, choices, most, draws):
    """Where everything lies after a pass over the pieces in a new random order."""
    crowd = type(crowd)(*(values.copy() for values in crowd))
    order = list(order)
    for k in range(len(order) - 1, 0, -1):
        r = draws.below(k + 1)
        order[k], order[r] = order[r], order[k]
    for i in order:
        if overlaps(tables, crowd)[i].any():
            found = settled(tables, crowd, i, choices[i], most, draws)
            crowd.pose[i], crowd.x[i], crowd.y[i] = found
    return crowd


def reweighed(weight, floor, deep):
    """Prices after a pass: times 1 + 0.5 (0.3 + depth / deepest), or 0.95 down to the floor."""
    raised = weight * (1 + 0.5 * (0.3 + deep / deep.max()))
    return np.where(deep > 0, raised, np.maximum(floor, 0.95 * weight))


def _parts(pose):
    return np.split(pose.parts.vertices, pose.parts.starts[1:-1])
