"""Slow, obvious and exact geometry in fractions: what compiled and clever code is held to."""

from fractions import Fraction
from itertools import pairwise


def interiors_meet(first, second):
    """Tell whether two simple polygons, given as rings of integers, share an inner point.

    Every edge is cut where it meets the other outline. If the interiors meet,
    some piece of an edge runs through the other's interior, or two pieces
    coincide and have their polygons on the same side.
    """
    first, second = _anticlockwise(first), _anticlockwise(second)
    pieces, others = _cut(first, second), _cut(second, first)
    return (
        bool(set(pieces) & set(others))
        or any(_is_inside(_middle(piece), second) for piece in pieces)
        or any(_is_inside(_middle(piece), first) for piece in others)
    )


def moved(ring, dx, dy):
    """The ring shifted."""
    return tuple((x + dx, y + dy) for x, y in ring)


def _edges(ring):
    return list(pairwise((*ring, ring[0])))


def _anticlockwise(ring):
    twice = sum(_cross((0, 0), a, b) for a, b in _edges(ring))
    return tuple(ring) if twice > 0 else tuple(ring)[::-1]


def _cross(o, a, b):
    return (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])


def _cut(ring, knife):
    """Directed pieces of a ring's edges between the points where they meet another ring."""
    pieces = []
    for a, b in _edges(ring):
        shares = {Fraction(0), Fraction(1)}
        for c, d in _edges(knife):
            shares |= _shares(a, b, c, d)
        points = [_at(a, b, share) for share in sorted(shares)]
        pieces += list(pairwise(points))
    return pieces


def _shares(a, b, c, d):
    """How far along ab, from 0 to 1, the points are that it has in common with cd."""
    along = _cross((0, 0), (b[0] - a[0], b[1] - a[1]), (d[0] - c[0], d[1] - c[1]))
    if along == 0:
        if _cross(a, b, c) != 0:
            return set()
        axis = 0 if a[0] != b[0] else 1
        found = {Fraction(p[axis] - a[axis], b[axis] - a[axis]) for p in (c, d)}
    else:
        t = Fraction(_cross((0, 0), (c[0] - a[0], c[1] - a[1]), (d[0] - c[0], d[1] - c[1])), along)
        u = Fraction(_cross((0, 0), (c[0] - a[0], c[1] - a[1]), (b[0] - a[0], b[1] - a[1])), along)
        found = {t} if 0 <= u <= 1 else set()
    return {share for share in found if 0 <= share <= 1}


def _at(a, b, share):
    return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))


def _middle(piece):
    (x0, y0), (x1, y1) = piece
    return ((x0 + x1) / 2, (y0 + y1) / 2)


def _is_inside(point, ring):
    """Tell whether a point lies within a ring and not on it (crossings of a ray)."""
    inside = False
    for a, b in _edges(ring):
        side = _cross(a, b, point)
        if side == 0 and _between(point, a, b):
            return False
        if (a[1] > point[1]) != (b[1] > point[1]) and (side > 0) == (b[1] > a[1]):
            inside = not inside
    return inside


def _between(point, a, b):
    return all(min(a[k], b[k]) <= point[k] <= max(a[k], b[k]) for k in (0, 1))
