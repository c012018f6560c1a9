"""Compiled loops of the skyline search; the tests compare them with plain versions.

The *skyline* is the border between the laid pieces and the free cloth beyond,
as segments across the strip: segment k lies between ``low[k]`` and
``low[k + 1]``, and all cloth before ``edge[k]`` is used or lost there. The
*gap* is the segment with the least edge. Its walls reach to the edges of the
neighbouring segments or, at the edges of the strip, to the end of the strip.
"""

from typing import NamedTuple

import numpy as np
from numba import njit

from nesting.packing.random_kernels import draw

#: Returned instead of an area: greater than any area.
GIVEN_UP = 2**62

_NONE = -1


class Rule(NamedTuple):
    """Points that a rectangle gets for being as high as the gap, and as long as a wall of it."""

    fills: int
    level: int


class Rectangles(NamedTuple):
    """Rectangles with the gap between pieces added.

    ``ways`` (n,) is how many ways each can lie, 1 or 2; ``size`` (n, 2, 2)
    holds the length and height of each way.
    """

    size: np.ndarray
    ways: np.ndarray


class Lay(NamedTuple):
    """Where each rectangle lies and which way, arrays (n,); x is negative for those not laid."""

    x: np.ndarray
    y: np.ndarray
    way: np.ndarray


class Scratch(NamedTuple):
    """Working arrays of the loops: rectangles not laid yet, and the skyline, (n + 2,) each."""

    rest: np.ndarray
    low: np.ndarray
    edge: np.ndarray


@njit(cache=True, nogil=True)
def fill(order, rule, rectangles, width, limit, most, lay, scratch):
    """Fill the deepest gap with the rectangle that fits it best, again and again.

    Of those that fit equally well the first in ``order`` is taken. None ends
    beyond ``limit``. Returns the area left over, or GIVEN_UP if more than the
    area ``most`` is lost.
    """
    rest, low, edge = scratch
    for place in range(len(order)):
        rest[place], lay.x[place] = order[place], -1
    low[0], low[1], edge[0], segments = 0, width, 0, 1
    count, lost = len(order), 0
    while count > 0:
        k = 0
        for one in range(1, segments):
            if edge[one] < edge[k]:
                k = one
        gap, room = low[k + 1] - low[k], limit - edge[k]
        if room <= 0:
            break
        left = edge[k - 1] - edge[k] if k > 0 else room
        right = edge[k + 1] - edge[k] if k + 1 < segments else room
        r, way = best_fit(rest, count, rule, rectangles, gap, room, left, right)
        if r < 0:
            lost += gap * min(left, right)
            if lost > most:
                return GIVEN_UP
            edge[k] += min(left, right)
            segments = join(k, segments, low, edge)
        else:
            segments = put(rest[r], way, k, segments, left, right, rectangles, lay, low, edge)
            count -= 1
            for later in range(r, count):
                rest[later] = rest[later + 1]
    return area_of(rest, count, rectangles)


@njit(cache=True, nogil=True, inline="always")
def best_fit(rest, count, rule, rectangles, gap, room, left, right):
    """Index in ``rest`` and way of the rectangle with most points in a gap; (-1, 0) if none fits.

    ``room`` is the length up to the limit; ``left`` and ``right`` are the lengths of the walls.
    """
    fills, level = rule
    size, ways = rectangles
    best, best_r, best_way = _NONE, -1, 0
    for r in range(count):
        i = rest[r]
        for way in range(ways[i]):
            length, height = size[i, way, 0], size[i, way, 1]
            if height > gap or length > room:
                continue
            points = level * (length == left) + level * (length == right)
            if height == gap:
                points += fills
            elif length == left and length == right:
                points = level  # it lies at one of the walls
            if points > best:
                best, best_r, best_way = points, r, way
        if best == fills + 2 * level:
            break
    return best_r, best_way


@njit(cache=True, nogil=True, inline="always")
def put(i, way, k, segments, left, right, rectangles, lay, low, edge):
    """Lay a rectangle in gap k: at the wall it is level with, otherwise at the longer one."""
    length, height = rectangles.size[i, way, 0], rectangles.size[i, way, 1]
    at_right = length != left and (length == right or left < right)
    bottom = low[k + 1] - height if at_right else low[k]
    lay.x[i], lay.y[i], lay.way[i] = edge[k], bottom, way
    if height < low[k + 1] - low[k]:
        for one in range(segments, k, -1):
            low[one + 1], edge[one] = low[one], edge[one - 1]
        low[k + 1] = bottom if at_right else bottom + height
        k, segments = k + at_right, segments + 1
    edge[k] += length
    return join(k, segments, low, edge)


@njit(cache=True, nogil=True, inline="always")
def join(k, segments, low, edge):
    """Join segment k with neighbours of the same edge; return the number of segments left."""
    for one in (k + 1, k):
        if 0 < one < segments and edge[one - 1] == edge[one]:
            segments -= 1
            for next_one in range(one, segments + 1):
                low[next_one], edge[next_one] = low[next_one + 1], edge[next_one + 1]
    return segments


@njit(cache=True, nogil=True)
def area_of(some, count, rectangles):
    """Total area of the first ``count`` of some rectangles."""
    area = 0
    for r in range(count):
        i = some[r]
        area += rectangles.size[i, 0, 0] * rectangles.size[i, 0, 1]
    return area


@njit(cache=True, nogil=True)
def exchange(
    order, left_over, stale, trials, patience, rule, rectangles, width, limit, lay, scratch, random
):
    """Exchange two random rectangles of the order, and undo it if more area is left over.

    Ends when nothing is left over (the result is then in ``lay``), or after
    ``patience`` trials without gain. Returns the area left over, the trials
    since it last decreased, and the trials made.
    """
    n = len(order)
    spare = width * limit - area_of(order, n, rectangles)
    made = 0
    while made < trials and stale < patience and left_over > 0:
        made += 1
        i, j = draw(random, n), draw(random, n)
        order[i], order[j] = order[j], order[i]
        # If more cloth than this is lost, more area is left over than before.
        now = fill(order, rule, rectangles, width, limit, spare + left_over, lay, scratch)
        stale = 0 if now < left_over else stale + 1
        if now <= left_over:
            left_over = now
        else:
            order[i], order[j] = order[j], order[i]
    return left_over, stale, made
