"""Random cuts, and what must hold for any order of them, computed without the planner."""

import math
from itertools import permutations, product

from hypothesis import strategies as st

from nesting.drawings.drawing import Path, Pen


def ring(x, y, length, height):
    """A rectangle as a closed cut."""
    return Path(
        Pen.CUT, ((x, y), (x + length, y), (x + length, y + height), (x, y + height)), closed=True
    )


def notch(x, y, dx, dy):
    """A short open cut."""
    return Path(Pen.NOTCH, ((x, y), (x + dx, y + dy)))


@st.composite
def lays(draw, most=8):
    """Panels side by side in cells of 100 mm; some have a cut-out, some a notch or two.

    Returns the paths in random order, and pairs of their indices of which the
    first must be made before the second.
    """
    cells = draw(
        st.sets(st.tuples(st.integers(0, 4), st.integers(0, 3)), min_size=1, max_size=most)
    )
    paths, pairs = [], []
    for column, row in sorted(cells):
        x, y = 100 * column + draw(st.integers(0, 20)), 100 * row + draw(st.integers(0, 20))
        length, height = draw(st.integers(30, 79)), draw(st.integers(30, 79))
        inside = []
        if draw(st.booleans()):
            inside.append(ring(x + 10, y + 10, 8, draw(st.integers(3, 12))))
        for along in draw(st.sets(st.integers(1, length - 1), max_size=2)):
            inside.append(notch(x + along, y, 0, 5))
        outline = len(paths)
        paths.append(ring(x, y, length, height))
        for each in inside:
            pairs.append((len(paths), outline))
            paths.append(each)
    turn = draw(st.permutations(range(len(paths))))  # the path at place i goes to place turn[i]
    mixed = [None] * len(paths)
    for at, path in zip(turn, paths, strict=True):
        mixed[at] = path
    return mixed, [(turn[first], turn[second]) for first, second in pairs]


def travel(paths, start):
    """Travel between cuts that are made in this order, each from its first point."""
    at, way = start, 0.0
    for path in paths:
        way += math.dist(at, path.points[0])
        at = path.points[0] if path.closed else path.points[-1]
    return way


def ways(path):
    """Every way of writing the same cut; a closed one keeps its direction."""
    points = path.points
    if path.closed:
        return [Path(path.pen, points[k:] + points[:k], closed=True) for k in range(len(points))]
    return [path, Path(path.pen, points[::-1])]


def least_travel(paths, pairs, start):
    """The least travel of all orders that keep the pairs, with cuts made in every way."""
    choices = [ways(path) for path in paths]
    return min(
        travel(made, start)
        for order in permutations(range(len(paths)))
        if all(order.index(a) < order.index(b) for a, b in pairs)
        for made in product(*(choices[i] for i in order))
    )


def nearest_first(paths, pairs, start):
    """Travel when the head always goes to the nearest point where a cut may begin.

    None where two places are equally near: then either order is right.
    """
    waiting, at, way = set(range(len(paths))), start, 0.0
    while waiting:
        ready = [i for i in waiting if not any(b == i and a in waiting for a, b in pairs)]
        entries = sorted(
            (math.dist(at, path.points[0]), i, k)
            for i in ready
            for k, path in enumerate(ways(paths[i]))
        )
        if len(entries) > 1 and math.isclose(entries[0][0], entries[1][0], abs_tol=1e-9):
            return None
        far, index, k = entries[0]
        made = ways(paths[index])[k]
        at, way = made.points[0 if made.closed else -1], way + far
        waiting.remove(index)
    return way
