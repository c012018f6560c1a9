"""An outline as convex parts: constrained Delaunay triangles, merged while convex."""

import shapely

from nesting.geometry.outline import Outline

Point = tuple[int, int]
Ring = tuple[Point, ...]


def convex_parts(outline: Outline) -> tuple[Ring, ...]:
    """Convex anticlockwise rings that tile the outline, using only its own vertices.

    Triangles of the constrained Delaunay triangulation are merged across a
    shared edge as long as the union stays convex (Hertel and Mehlhorn 1983,
    cited from memory: at most four times the least number of parts).
    """
    if _is_convex(outline.points):
        return (outline.points,)
    triangles = shapely.constrained_delaunay_triangles(shapely.Polygon(outline.points))
    parts = [_ring(triangle) for triangle in triangles.geoms]
    return tuple(_merged(sorted(parts)))


def _merged(parts: list[Ring]) -> list[Ring]:
    """Remove each diagonal whose two parts form one convex ring.

    One pass is enough: removing other diagonals only widens the corners at
    the ends of a diagonal that has to stay.
    """
    rings = dict(enumerate(parts))
    owner = {edge: k for k, ring in rings.items() for edge in _edges(ring)}
    for a, b in sorted(owner):
        if a < b and (b, a) in owner:
            first, second = owner[a, b], owner[b, a]
            joined = _starting_at(b, rings[first]) + _starting_at(a, rings[second])[1:-1]
            if _is_convex(joined):
                owner |= dict.fromkeys(_edges(rings.pop(second)), first)
                rings[first] = joined
    return list(rings.values())


def _starting_at(point: Point, ring: Ring) -> Ring:
    """The same ring, starting at one of its points."""
    i = ring.index(point)
    return ring[i:] + ring[:i]


def _edges(ring: Ring) -> list[tuple[Point, Point]]:
    return list(zip(ring, (*ring[1:], ring[0]), strict=True))


def _is_convex(ring: Ring) -> bool:
    n = len(ring)
    return all(_cross(ring[i], ring[(i + 1) % n], ring[(i + 2) % n]) >= 0 for i in range(n))


def _cross(a: Point, b: Point, c: Point) -> int:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def _ring(triangle: shapely.Polygon) -> Ring:
    points = tuple((round(x), round(y)) for x, y in triangle.exterior.coords[:-1])
    return points if _cross(*points) > 0 else points[::-1]
