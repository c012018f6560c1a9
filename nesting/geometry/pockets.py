"""What lies between an outline and its box: the outside of a hide, as outlines."""

from collections.abc import Iterator

from nesting.geometry.outline import Outline

_Point = tuple[int, int]


def pockets(outline: Outline) -> tuple[Outline, ...]:
    """Outlines that together cover the box of an outline, but not the outline itself.

    The outline touches all four sides of its box. Between two points at which it
    does, one after the other, it cuts one pocket off the box.
    """
    points, box = outline.points, outline.bounds
    touching = [index for index, point in enumerate(points) if _place_on(box, point) is not None]
    starts = zip(touching, [*touching[1:], touching[0] + len(points)], strict=True)
    found = []
    for first, last in starts:
        chain = [points[index % len(points)] for index in range(first, last + 1)]
        ring = (*reversed(chain), *_corners_between(box, chain[0], chain[-1]))
        if _encloses(ring):
            found.append(Outline(ring))
    return tuple(found)


def _encloses(ring: tuple[_Point, ...]) -> bool:
    """Whether a ring that begins and ends on the box has points off one line."""
    (x0, y0), (x1, y1) = ring[0], ring[1]
    return any((x1 - x0) * (y - y0) != (y1 - y0) * (x - x0) for x, y in ring[2:])


def _place_on(box: tuple[int, int, int, int], point: _Point) -> int | None:
    """How far anticlockwise along its box a point lies, from the least corner; None if inside."""
    (x0, y0, x1, y1), (x, y) = box, point
    length, height = x1 - x0, y1 - y0
    if y == y0:
        return x - x0
    if x == x1:
        return length + y - y0
    if y == y1:
        return length + height + x1 - x
    return 2 * length + height + y1 - y if x == x0 else None


def _corners_between(
    box: tuple[int, int, int, int], start: _Point, end: _Point
) -> Iterator[_Point]:
    """The corners of a box that are passed from one point on it to another, anticlockwise."""
    x0, y0, x1, y1 = box
    around = 2 * (x1 - x0 + y1 - y0)
    first, last = _place_on(box, start) or 0, _place_on(box, end) or 0
    span = (last - first) % around
    corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    ahead = sorted(((_place_on(box, corner) or 0) - first) % around for corner in corners)
    by_place = {((_place_on(box, corner) or 0) - first) % around: corner for corner in corners}
    return (by_place[place] for place in ahead if 0 < place < span)
