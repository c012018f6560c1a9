"""Compiled loops of the guided search; the tests compare them with plain versions.

A *table* holds the depth of overlap of two poses for every offset between them
in whole cells (depths are in cells, and negative where the poses are apart).
Pieces lie at multiples of 1/Q of a cell; between cells the depth is
interpolated. A copy of each table is split by phase: offset (u, v) is stored at
[u % S, v % S, u // S, v // S], so that a coarse map with stride S reads
contiguous memory.
"""

from typing import NamedTuple

import numpy as np
from numba import njit

from nesting.packing.random_kernels import draw

#: Coarse stride in cells.
S = 4

#: Positions per cell.
Q = 8

#: Number of coarse minima that are refined, of all poses together.
KEEP = 4

#: Cells on each side of a coarse minimum among which it is refined.
AROUND = 2

#: How many cells a piece may move along the strip, each way: three widths of the strip.
REACH = 384


class Depths(NamedTuple):
    """Tables of all pairs of poses.

    ``plain`` holds the tables (u, v), ``phased`` the same by phase with 0 in
    place of negative depths; both are flat. The table of pose b around pose a
    begins at ``start[a, b]`` and has ``size[a, b]`` coarse cells; its first
    cell is the offset ``origin[a, b]``.
    """

    plain: np.ndarray
    phased: np.ndarray
    start: np.ndarray
    size: np.ndarray
    origin: np.ndarray


class Crowd(NamedTuple):
    """Pose and position of each piece (n,), in 1/Q of a cell, and weight of each pair (n, n)."""

    pose: np.ndarray
    x: np.ndarray
    y: np.ndarray
    weight: np.ndarray


class Room(NamedTuple):
    """Working arrays of the loops, and the random state (1,).

    A coarse map (flat), the neighbours (n, 6), the costs of the least cells
    and the cells, the costs of a small square of positions (flat).
    """

    map: np.ndarray
    near: np.ndarray
    found: np.ndarray
    at: np.ndarray
    patch: np.ndarray
    random: np.ndarray


@njit(cache=True, nogil=True)
def deepen(table, origin, planes, pitch):
    """Fill the table (u, v) of one contact with the depths within single pairs of parts.

    The depth of one pair of convex parts is the least distance to the edge of
    a half-plane (if apart: minus the greatest). The table keeps the greatest
    depth over all pairs, and its old value where no pair is near.
    """
    _, starts, boxes, normals, offsets, lengths = planes
    for g in range(len(starts) - 1):
        first = max(0, np.int64(np.floor(boxes[g, 0] / pitch)) - origin[0] - 1)
        last = min(table.shape[0], np.int64(np.ceil(boxes[g, 2] / pitch)) - origin[0] + 2)
        low = max(0, np.int64(np.floor(boxes[g, 1] / pitch)) - origin[1] - 1)
        high = min(table.shape[1], np.int64(np.ceil(boxes[g, 3] / pitch)) - origin[1] + 2)
        for u in range(first, last):
            dx = (u + origin[0]) * pitch
            for v in range(low, high):
                dy = (v + origin[1]) * pitch
                known = table[u, v] * pitch
                depth = np.inf
                for h in range(starts[g], starts[g + 1]):
                    inward = (offsets[h] - normals[h, 0] * dx - normals[h, 1] * dy) / lengths[h]
                    if inward < depth:
                        depth = inward
                        if depth <= known:
                            break
                if depth > known:
                    table[u, v] = depth / pitch


@njit(cache=True, nogil=True, inline="always")
def between(plain, first, columns, right, up):
    """Depth interpolated between four cells of a table, ``first`` and beyond; 0 when apart."""
    at, one = np.uintp(first), np.uintp(1)
    after = at + np.uintp(columns)
    lower = (1 - right) * plain[at] + right * plain[after]
    upper = (1 - right) * plain[at + one] + right * plain[after + one]
    return max(0.0, (1 - up) * lower + up * upper)


@njit(cache=True, nogil=True, inline="always")
def depth_at(depths, a, b, dx, dy):
    """Depth of pose ``b`` in pose ``a`` at an offset in 1/Q of a cell; 0 when apart."""
    u = dx - depths.origin[a, b, 0] * Q
    v = dy - depths.origin[a, b, 1] * Q
    if u < 0 or v < 0:
        return 0.0
    k, m = u // Q, v // Q
    rows, columns = depths.size[a, b, 0] * S, depths.size[a, b, 1] * S
    if k + 1 >= rows or m + 1 >= columns:
        return 0.0
    right, up = (u - k * Q) / Q, (v - m * Q) / Q
    return between(depths.plain, depths.start[a, b] + k * columns + m, columns, right, up)


@njit(cache=True, nogil=True)
def coarse_map(grid, i, a, fx, fy, nx, ny, crowd, depths):
    """Weighted depth of piece ``i`` in pose ``a`` at every coarse cell of phase (fx, fy).

    ``grid`` is flat, its rows ``ny`` long.
    """
    grid[: nx * ny] = 0.0
    for j in range(len(crowd.pose)):
        p = crowd.pose[j]
        qx, qy = depths.size[p, a, 0], depths.size[p, a, 1]
        u = fx - (crowd.x[j] + Q // 2) // Q - depths.origin[p, a, 0]
        shift_x = u // S
        first, last = max(0, -shift_x), min(nx, qx - shift_x)
        v = fy - (crowd.y[j] + Q // 2) // Q - depths.origin[p, a, 1]
        shift_y = v // S
        low, high = max(0, -shift_y), min(ny, qy - shift_y)
        if j == i or first >= last or low >= high:
            continue
        w = np.float32(crowd.weight[i, j])
        plane = depths.start[p, a] + ((u - shift_x * S) * S + (v - shift_y * S)) * qx * qy
        for k in range(first, last):
            # Unsigned indices cannot count from the end, so the loop vectorises.
            cost = np.uintp(k * ny + low)
            depth = np.uintp(plane + (k + shift_x) * qy + low + shift_y)
            for m in range(np.uintp(high - low)):
                grid[cost + m] += w * depths.phased[depth + m]


@njit(cache=True, nogil=True)
def least_cells(grid, a, fx, fy, nx, ny, begin, found, at):
    """Merge a coarse map of pose ``a`` into the KEEP least cells, scanned from row ``begin``.

    ``found`` holds their costs in ascending order, ``at`` (KEEP, 3) the pose and cell of each.
    """
    worst = np.float32(found[KEEP - 1])
    for r in range(nx):
        k = (r + begin) % nx
        row = np.uintp(k * ny)
        least = np.float32(np.inf)
        for m in range(np.uintp(ny)):
            least = min(least, grid[row + m])
        if least >= worst:
            continue
        for m in range(ny):
            c = grid[row + np.uintp(m)]
            if c < worst:
                t = KEEP - 1
                while t > 0 and found[t - 1] > c:
                    found[t] = found[t - 1]
                    at[t, 0], at[t, 1], at[t, 2] = at[t - 1, 0], at[t - 1, 1], at[t - 1, 2]
                    t -= 1
                found[t], at[t, 0], at[t, 1], at[t, 2] = c, a, fx + k * S, fy + m * S
                worst = np.float32(found[KEEP - 1])


@njit(cache=True, nogil=True)
def neighbours(i, a, x0, x1, y0, y1, crowd, depths, near):
    """Find the pieces whose tables cover positions x0..x1, y0..y1 of pose ``a``.

    Fills ``near`` (n, 6) with the piece, where its table begins along and
    across in 1/Q of a cell, its cells along and across, and its first entry.
    Returns how many there are.
    """
    count = 0
    for j in range(len(crowd.pose)):
        p = crowd.pose[j]
        u = crowd.x[j] + depths.origin[p, a, 0] * Q
        rows = depths.size[p, a, 0] * S
        if j == i or x1 < u or x0 >= u + rows * Q:
            continue
        v = crowd.y[j] + depths.origin[p, a, 1] * Q
        columns = depths.size[p, a, 1] * S
        if y1 >= v and y0 < v + columns * Q:
            near[count, 0], near[count, 1], near[count, 2] = j, u, v
            near[count, 3], near[count, 4], near[count, 5] = rows, columns, depths.start[p, a]
            count += 1
    return count


@njit(cache=True, nogil=True)
def cheapest_near(i, a, most, px, py, radius, step, best, crowd, depths, room):
    """The cheapest position on a lattice of ``step`` around (px, py), if cheaper than ``best``."""
    reach = radius * step
    near, patch = room.near, room.patch
    count = neighbours(i, a, px - reach, px + reach, py - reach, py + reach, crowd, depths, near)
    side = 2 * radius + 1
    patch[: side * side] = 0.0
    for t in range(count):
        weight = crowd.weight[i, near[t, 0]]
        first_u, first_v = px - reach - near[t, 1], py - reach - near[t, 2]
        for r in range(side):
            u = first_u + r * step
            k = u // Q
            if k < 0 or k + 1 >= near[t, 3]:
                continue
            right = (u - k * Q) / Q
            columns = near[t, 4]
            row = near[t, 5] + k * columns
            for c in range(side):
                v = first_v + c * step
                m = v // Q
                if m < 0 or m + 1 >= columns:
                    continue
                up = (v - m * Q) / Q
                depth = between(depths.plain, row + m, columns, right, up)
                patch[np.uintp(r * side + c)] += weight * depth
    best_x, best_y = px, py
    for r in range(side):
        for c in range(side):
            x, y = px - reach + r * step, py - reach + c * step
            if patch[r * side + c] < best and 0 <= x <= most[0] and 0 <= y <= most[1]:
                best, best_x, best_y = patch[r * side + c], x, y
    return best, best_x, best_y


@njit(cache=True, nogil=True)
def settle(i, choices, most, crowd, depths, room):
    """Move piece ``i`` to its cheapest pose and position within REACH; tell whether it moved.

    ``most`` (poses, 2) is the greatest position of each pose along and
    across. Every coarse cell is tried; the best few of all poses are refined
    to cells, and the best of these to 1/Q of a cell.
    """
    pose, x, y, _ = crowd
    # Not literals, since numba would compile the callee again for each literal argument.
    cell, spot, square, ring = np.int64(Q), np.int64(0), np.int64(AROUND), np.int64(1)
    a = pose[i]
    best, px, py = cheapest_near(i, a, most[a], x[i], y[i], spot, cell, np.inf, crowd, depths, room)
    room.found[:] = np.inf
    for b in choices:
        if b < 0 or most[b, 0] < 0:
            continue
        first = min(max(0, x[i] // Q - REACH), most[b, 0] // Q)
        columns = min(most[b, 0] // Q, x[i] // Q + REACH) - first + 1
        rows = most[b, 1] // Q + 1
        fx, fy = draw(room.random, min(S, columns)), draw(room.random, min(S, rows))
        nx, ny = (columns - fx + S - 1) // S, (rows - fy + S - 1) // S
        fx += first
        coarse_map(room.map, i, b, fx, fy, nx, ny, crowd, depths)
        least_cells(room.map, b, fx, fy, nx, ny, draw(room.random, nx), room.found, room.at)
    for t in range(KEEP):
        if room.found[t] == np.inf or best == 0.0:
            break
        before, b, u, v = best, room.at[t, 0], room.at[t, 1] * Q, room.at[t, 2] * Q
        best, u, v = cheapest_near(i, b, most[b], u, v, square, cell, best, crowd, depths, room)
        if best < before:
            a, px, py = b, u, v
    step = cell // 2
    while step > 0 and best > 0.0:
        best, px, py = cheapest_near(i, a, most[a], px, py, ring, step, best, crowd, depths, room)
        step //= 2
    moved = a != pose[i] or px != x[i] or py != y[i]
    pose[i], x[i], y[i] = a, px, py
    return moved


@njit(cache=True, nogil=True)
def measure(i, depth, crowd, depths):
    """Write the depths between piece ``i`` and all others into ``depth`` (n, n), symmetric."""
    pose, x, y, _ = crowd
    for j in range(len(pose)):
        if j != i:
            a, b = max(i, j), min(i, j)
            d = depth_at(depths, pose[a], pose[b], x[b] - x[a], y[b] - y[a])
            depth[i, j], depth[j, i] = d, d


@njit(cache=True, nogil=True)
def total(depth):
    """Sum of ``depth`` (n, n) over all pairs."""
    summed = 0.0
    for i in range(len(depth)):
        for j in range(i):
            summed += depth[i, j]
    return summed


@njit(cache=True, nogil=True)
def overlaps(depth, crowd, depths):
    """Write the depth of every pair into ``depth`` (n, n), symmetric; return the sum over pairs."""
    for i in range(len(depth)):
        measure(i, depth, crowd, depths)
    return total(depth)


@njit(cache=True, nogil=True)
def deepest(row):
    """The greatest in a row of depths (n,); 0 when all are apart."""
    most = 0.0
    for depth in row:
        most = max(most, depth)
    return most


@njit(cache=True, nogil=True)
def reweigh(weight, floor, depth):
    """Raise the weight of pairs that overlap, the deepest most; let the others decay."""
    most = deepest(depth.ravel())
    for i in range(len(depth)):
        for j in range(len(depth)):
            if depth[i, j] > 0.0:
                weight[i, j] *= 1.0 + 0.5 * (0.3 + depth[i, j] / most)
            else:
                weight[i, j] = max(floor[i, j], 0.95 * weight[i, j])


@njit(cache=True, nogil=True)
def sweep(order, choices, most, depth, crowd, depths, room):
    """One pass: settle every overlapping piece in random order; return the total depth.

    ``depth`` (n, n) holds the depth of every pair and is kept up to date.
    """
    for k in range(len(order) - 1, 0, -1):
        r = draw(room.random, k + 1)
        order[k], order[r] = order[r], order[k]
    for i in order:
        if deepest(depth[i]) > 0.0 and settle(i, choices[i], most, crowd, depths, room):
            measure(i, depth, crowd, depths)
    return total(depth)
