"""Compiled loops over the half-planes of laid pieces; the tests compare them with plain versions.

``lying`` is an arrangement (pose, x, y), ``planes`` are the `HalfPlanes` of all
pairs of poses, ``first`` and ``second`` hold the indices of the pieces of each pair.
"""

import numpy as np
from numba import njit


@njit(cache=True, nogil=True)
def all_free(first, second, lying, planes):
    """Tell exactly, on integers, whether all pairs of pieces (first, second) are apart."""
    pose, x, y = lying
    groups, starts, boxes, normals, offsets, _ = planes
    for k in range(len(first)):
        i, j = first[k], second[k]
        if pose[i] > pose[j]:
            i, j = j, i
        dx, dy = x[j] - x[i], y[j] - y[i]
        for g in range(groups[pose[i], pose[j], 0], groups[pose[i], pose[j], 1]):
            if dx <= boxes[g, 0] or dy <= boxes[g, 1] or dx >= boxes[g, 2] or dy >= boxes[g, 3]:
                continue
            apart = False
            for h in range(starts[g], starts[g + 1]):
                if normals[h, 0] * dx + normals[h, 1] * dy >= offsets[h]:
                    apart = True
                    break
            if not apart:
                return False
    return True


@njit(cache=True, nogil=True)
def clearest(first, second, lying, reach, planes, rows, pairs):
    """Find the half-plane with most clearance for each pair of parts that can meet.

    The parts are those of the pieces (first, second). Fills ``rows`` with
    indices of half-planes and ``pairs`` with the index of the pair of pieces;
    returns how many, or -1 if they do not fit in ``rows``. Pairs of parts that
    are clear by ``reach`` are left out. Where the pose of ``first`` is greater
    than that of ``second``, the half-planes are those of ``first`` around
    ``second``.
    """
    pose, x, y = lying
    groups, starts, boxes, normals, offsets, lengths = planes
    count = 0
    for k in range(len(first)):
        i, j = first[k], second[k]
        if pose[i] > pose[j]:
            i, j = j, i
        dx, dy = x[j] - x[i], y[j] - y[i]
        for g in range(groups[pose[i], pose[j], 0], groups[pose[i], pose[j], 1]):
            if (
                dx <= boxes[g, 0] - reach
                or dy <= boxes[g, 1] - reach
                or dx >= boxes[g, 2] + reach
                or dy >= boxes[g, 3] + reach
            ):
                continue
            most, best = -np.inf, 0
            for h in range(starts[g], starts[g + 1]):
                clear = (normals[h, 0] * dx + normals[h, 1] * dy - offsets[h]) / lengths[h]
                if clear > most:
                    most, best = clear, h
            if most < reach:
                if count == len(rows):
                    return -1
                rows[count], pairs[count] = best, k
                count += 1
    return count
