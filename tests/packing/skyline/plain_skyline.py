"""A plain version of the skyline rule, with one number for each grid unit across the strip."""

import numpy as np

from nesting.packing.skyline.kernels import GIVEN_UP


def fill(order, rule, rectangles, width, limit, most):
    """Places (x, y, way) by rectangle of those laid, and the area left over.

    Given up when more than ``most`` is lost, as the compiled loop does.
    """
    edge, rest, places, lost = np.zeros(width, dtype=int), list(order), {}, 0
    while rest:
        start, stop = _deepest(edge)
        at, room = edge[start], limit - edge[start]
        if room <= 0:
            break
        left = edge[start - 1] - at if start else room
        right = edge[stop] - at if stop < width else room
        fitting = [
            (-_points(length, height, stop - start, left, right, rule), rank, way)
            for rank, i in enumerate(rest)
            for way, (length, height) in enumerate(rectangles[i])
            if height <= stop - start and length <= room
        ]
        if not fitting:
            edge[start:stop] += min(left, right)
            lost += (stop - start) * min(left, right)
            if lost > most:
                return places, GIVEN_UP
            continue
        _, rank, way = min(fitting)
        i = rest.pop(rank)
        length, height = rectangles[i][way]
        at_right = length == right != left or (length not in (left, right) and left < right)
        low = stop - height if at_right else start
        places[i] = int(at), int(low), way
        edge[low : low + height] += length
    return places, sum(rectangles[i][0][0] * rectangles[i][0][1] for i in rest)


def _deepest(edge):
    """The first run of equal least edges."""
    start = stop = int(np.argmin(edge))
    while stop < len(edge) and edge[stop] == edge[start]:
        stop += 1
    return start, stop


def _points(length, height, gap, left, right, rule):
    fills, level = rule
    levels = [left, right].count(length)
    if height == gap:
        return fills + level * levels
    return level * min(levels, 1)
