"""Quarter turns and shifts, exact for integers and floats."""

from collections.abc import Iterable

from nesting.geometry.outline import Number, Outline

#: Cosine and sine of each turn, by degrees anticlockwise.
_COS_SIN = {0: (1, 0), 90: (0, 1), 180: (-1, 0), 270: (0, -1)}


def turned(points: Iterable[tuple[Number, Number]], turn: int) -> tuple[tuple[Number, Number], ...]:
    """Points turned anticlockwise about the origin by ``turn`` degrees.

    Raises
    ------
    KeyError
        When the turn is not 0, 90, 180 or 270.
    """
    cos, sin = _COS_SIN[turn]
    return tuple((x * cos - y * sin, x * sin + y * cos) for x, y in points)


def shifted(
    points: Iterable[tuple[Number, Number]], dx: Number, dy: Number
) -> tuple[tuple[Number, Number], ...]:
    """Points moved by (dx, dy)."""
    return tuple((x + dx, y + dy) for x, y in points)


def mirrored_in_x(points: Iterable[tuple[Number, Number]]) -> tuple[tuple[Number, Number], ...]:
    """Points mirrored in the x axis."""
    return tuple((x, -y) for x, y in points)


def outline_at(outline: Outline, turn: int, x: int = 0, y: int = 0) -> Outline:
    """The outline turned, then shifted so that its least corner is (x, y)."""
    points = turned(outline.points, turn)
    least_x, least_y = min(p[0] for p in points), min(p[1] for p in points)
    return Outline(shifted(points, x - least_x, y - least_y))


def from_least(outline: Outline) -> Outline:
    """The same ring, starting at its least point, so that equal rings compare equal."""
    first = outline.points.index(min(outline.points))
    return Outline(outline.points[first:] + outline.points[:first])
