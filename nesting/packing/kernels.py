"""Compiled loops of the guided search; plain twins of them stand in the tests.

Positions are cells: whole multiples of the pitch. A *table* holds, for every
offset between two poses, how deep they overlap (in cells, 0 = free). Tables
are split by phase: offset (u, v) is stored at [u % S, v % S, u // S, v // S],
so that a coarse map with stride S reads contiguous memory.

Arguments that recur: ``pose, x, y`` (n,) say how each piece lies;
``tables`` is one flat array, ``start, size, origin`` (poses, poses[, 2]) find
the table of a pair of poses in it, its extent in coarse cells and the offset
of its first cell; ``weight`` (n, n) is the price of a pair's depth; ``random``
(1,) is the generator's state.
"""

import numpy as np
from numba import njit

#: Coarse stride in cells.
S = 4

#: Coarse minima that are refined.
KEEP = 3


@njit(cache=True, nogil=True)
def deepen(table, origin, normals, offsets, lengths, starts, pitch, slack):
    """Fill the table (S, S, qx, qy) of one contact.

    Depth in one pair of convex parts is the least distance to a half-plane's
    edge, less ``slack`` cells; the table keeps the greatest over all pairs.
    """
    qx, qy = table.shape[2], table.shape[3]
    for g in range(len(starts) - 1):
        for u in range(qx * S):
            dx = (u + origin[0]) * pitch
            for v in range(qy * S):
                dy = (v + origin[1]) * pitch
                known = (table[u % S, v % S, u // S, v // S] + slack) * pitch
                depth = np.inf
                for h in range(starts[g], starts[g + 1]):
                    inward = (offsets[h] - normals[h, 0] * dx - normals[h, 1] * dy) / lengths[h]
                    if inward < depth:
                        depth = inward
                        if depth <= known:
                            break
                if depth > known:
                    table[u % S, v % S, u // S, v // S] = depth / pitch - slack


@njit(cache=True, nogil=True, inline="always")
def draw(random, n):
    """Random whole number below ``n`` (xorshift64*, Vigna 2016)."""
    s = random[0]
    s ^= s >> np.uint64(12)
    s ^= s << np.uint64(25)
    s ^= s >> np.uint64(27)
    random[0] = s
    return np.int64(((s * np.uint64(2685821657736338717)) >> np.uint64(33)) % np.uint64(n))


@njit(cache=True, nogil=True, inline="always")
def depth_at(tables, start, size, origin, a, b, dx, dy):
    """Depth of pose ``b`` in pose ``a`` at an offset in cells."""
    u = dx - origin[a, b, 0]
    v = dy - origin[a, b, 1]
    qx, qy = size[a, b, 0], size[a, b, 1]
    if u < 0 or v < 0 or u >= qx * S or v >= qy * S:
        return np.float32(0.0)
    return tables[start[a, b] + (((u % S) * S + v % S) * qx + u // S) * qy + v // S]


@njit(cache=True, nogil=True)
def coarse_map(grid, i, a, fx, fy, nx, ny, pose, x, y, weight, tables, start, size, origin):
    """Weighted depth of piece ``i`` in pose ``a`` at every coarse cell of phase (fx, fy)."""
    grid[:nx, :ny] = 0.0
    for j in range(len(pose)):
        p = pose[j]
        qx, qy = size[p, a, 0], size[p, a, 1]
        u = fx - x[j] - origin[p, a, 0]
        shift_x = u // S
        first, last = max(0, -shift_x), min(nx, qx - shift_x)
        if j == i or first >= last:
            continue
        v = fy - y[j] - origin[p, a, 1]
        shift_y = v // S
        low, high = max(0, -shift_y), min(ny, qy - shift_y)
        w = np.float32(weight[i, j])
        plane = start[p, a] + ((u - shift_x * S) * S + (v - shift_y * S)) * qx * qy
        for k in range(first, last):
            row = plane + (k + shift_x) * qy + shift_y
            for m in range(low, high):
                grid[k, m] += w * tables[row + m]


@njit(cache=True, nogil=True)
def least_cells(grid, nx, ny, begin, found, at):
    """The KEEP least cells of a coarse map, scanned from row ``begin``, ascending."""
    found[:] = np.inf
    for r in range(nx):
        k = (r + begin) % nx
        for m in range(ny):
            c = grid[k, m]
            if c < found[KEEP - 1]:
                t = KEEP - 1
                while t > 0 and found[t - 1] > c:
                    found[t], at[t, 0], at[t, 1] = found[t - 1], at[t - 1, 0], at[t - 1, 1]
                    t -= 1
                found[t], at[t, 0], at[t, 1] = c, k, m


@njit(cache=True, nogil=True)
def neighbours(i, a, x0, x1, y0, y1, pose, x, y, size, origin, near):
    """Pieces whose tables meet positions x0..x1, y0..y1 of pose ``a``; returns how many."""
    count = 0
    for j in range(len(pose)):
        p = pose[j]
        u, v = x0 - x[j] - origin[p, a, 0], y0 - y[j] - origin[p, a, 1]
        if (
            j != i
            and u < size[p, a, 0] * S
            and u + x1 - x0 >= 0
            and v < size[p, a, 1] * S
            and v + y1 - y0 >= 0
        ):
            near[count] = j
            count += 1
    return count


@njit(cache=True, nogil=True)
def cost_at(i, a, px, py, limit, near, count, pose, x, y, weight, tables, start, size, origin):
    """Weighted depth of one position among ``near`` pieces; stops beyond ``limit``."""
    cost = 0.0
    for t in range(count):
        j = near[t]
        cost += weight[i, j] * depth_at(
            tables, start, size, origin, pose[j], a, px - x[j], py - y[j]
        )
        if cost >= limit:
            break
    return cost


@njit(cache=True, nogil=True)
def settle(i, choices, cells, grid, near, random, pose, x, y, weight, tables, start, size, origin):
    """Move piece ``i`` to its cheapest pose and position on the whole strip.

    ``cells`` (poses, 2) says how many positions each pose has along and
    across. Every coarse cell is tried, the best few are refined.
    """
    a, px, py = pose[i], x[i], y[i]
    count = neighbours(i, a, px, px, py, py, pose, x, y, size, origin, near)
    best = cost_at(
        i, a, px, py, np.inf, near, count, pose, x, y, weight, tables, start, size, origin
    )
    best_a, best_x, best_y = a, px, py
    found = np.empty(KEEP)
    at = np.empty((KEEP, 2), dtype=np.int64)
    for a in choices:
        if a < 0 or cells[a, 0] <= 0:
            continue
        fx, fy = draw(random, min(S, cells[a, 0])), draw(random, min(S, cells[a, 1]))
        nx = (cells[a, 0] - fx + S - 1) // S
        ny = (cells[a, 1] - fy + S - 1) // S
        coarse_map(grid, i, a, fx, fy, nx, ny, pose, x, y, weight, tables, start, size, origin)
        least_cells(grid, nx, ny, draw(random, nx), found, at)
        for t in range(KEEP):
            if found[t] == np.inf or best == 0.0:
                break
            x0 = max(0, fx + at[t, 0] * S - 2)
            x1 = min(cells[a, 0] - 1, fx + at[t, 0] * S + 2)
            y0 = max(0, fy + at[t, 1] * S - 2)
            y1 = min(cells[a, 1] - 1, fy + at[t, 1] * S + 2)
            count = neighbours(i, a, x0, x1, y0, y1, pose, x, y, size, origin, near)
            for px in range(x0, x1 + 1):
                for py in range(y0, y1 + 1):
                    c = cost_at(
                        i,
                        a,
                        px,
                        py,
                        best,
                        near,
                        count,
                        pose,
                        x,
                        y,
                        weight,
                        tables,
                        start,
                        size,
                        origin,
                    )
                    if c < best:
                        best, best_a, best_x, best_y = c, a, px, py
    pose[i], x[i], y[i] = best_a, best_x, best_y


@njit(cache=True, nogil=True)
def overlaps(depth, pose, x, y, tables, start, size, origin):
    """Depth of every pair into ``depth`` (n, n), symmetric; returns the sum over pairs."""
    total = 0.0
    for i in range(len(pose)):
        for j in range(i):
            d = depth_at(tables, start, size, origin, pose[i], pose[j], x[j] - x[i], y[j] - y[i])
            depth[i, j] = d
            depth[j, i] = d
            total += d
    return total


@njit(cache=True, nogil=True)
def reweigh(weight, floor, depth):
    """Raise the weight of pairs that overlap, the deepest most; let the others decay."""
    deepest = depth.max()
    for i in range(len(depth)):
        for j in range(len(depth)):
            if depth[i, j] > 0.0:
                weight[i, j] *= 1.0 + 0.5 * (0.3 + depth[i, j] / deepest)
            else:
                weight[i, j] = max(floor[i, j], 0.95 * weight[i, j])


@njit(cache=True, nogil=True)
def sweep(
    order,
    choices,
    cells,
    grid,
    near,
    random,
    pose,
    x,
    y,
    weight,
    depth,
    tables,
    start,
    size,
    origin,
):
    """One pass: every piece that overlaps, in random order, settles; returns the total depth."""
    n = len(pose)
    for k in range(n - 1, 0, -1):
        r = draw(random, k + 1)
        order[k], order[r] = order[r], order[k]
    for i in order:
        for j in range(n):
            if (
                j != i
                and depth_at(
                    tables, start, size, origin, pose[i], pose[j], x[j] - x[i], y[j] - y[i]
                )
                > 0.0
            ):
                settle(
                    i,
                    choices[i],
                    cells,
                    grid,
                    near,
                    random,
                    pose,
                    x,
                    y,
                    weight,
                    tables,
                    start,
                    size,
                    origin,
                )
                break
    return overlaps(depth, pose, x, y, tables, start, size, origin)
