"""An outline as convex parts: constrained Delaunay triangles, merged while convex."""

import shapely

from nesting.geometry.outline import Outline

Ring = tuple[tuple[int, int], ...]


def convex_parts(outline: Outline) -> tuple[Ring, ...]:
    """Convex anticlockwise rings that tile the outline, vertices all its own.

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
    """Join neighbours until no two of them make a convex ring."""
    for i, first in enumerate(parts):
        for j in range(i + 1, len(parts)):
            joined = _joined(first, parts[j])
            if joined and _is_convex(joined):
                return _merged([*parts[:i], joined, *parts[i + 1 : j], *parts[j + 1 :]])
    return parts


def _joined(first: Ring, second: Ring) -> Ring | None:
    """The two rings as one across their shared edge, None when they share none."""
    for i in range(len(first)):
        a, b = first[i], first[(i + 1) % len(first)]
        if b in second and second[(second.index(b) + 1) % len(second)] == a:
            k = second.index(a)
            detour = second[k + 1 :] + second[: k - 1] if k else second[1:-1]
            return first[: i + 1] + detour + first[i + 1 :]
    return None


def _is_convex(ring: Ring) -> bool:
    n = len(ring)
    return all(
        _cross(ring[i], ring[(i + 1) % n], ring[(i + 2) % n]) >= 0 for i in range(n)
    )


def _cross(a: tuple[int, int], b: tuple[int, int], c: tuple[int, int]) -> int:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def _ring(triangle: shapely.Polygon) -> Ring:
    points = tuple((round(x), round(y)) for x, y in triangle.exterior.coords[:-1])
    return points if _cross(*points) > 0 else points[::-1]
