"""Two squares to be measured before anything is cut: 100 mm and 4 in."""

from collections.abc import Iterator

from nesting.drawings.print.page import Look, Mark, Point, Words, line, rectangle

#: Sides of the squares in millimetres, with what is written in each.
METRIC_MM = 100.0
INCHES_MM = 101.6

_LINE = Look(0.2)
_TICK = 2.0


def metric_square(at: Point) -> Iterator[Mark]:
    """The square of 100 mm, its least corner at a point, with centimetres along two sides."""
    yield from _square(at, METRIC_MM, 10, "this square must measure 100 mm each way")


def inch_square(at: Point) -> Iterator[Mark]:
    """The square of 4 in, its least corner at a point, with half inches along two sides."""
    yield from _square(at, INCHES_MM, 8, "this square must measure 4 in each way")


def ruler(at: Point, height: float = 1.6) -> Iterator[Mark]:
    """A line of 50 mm from a point to the right, for a quick look on every sheet."""
    x, y = at
    yield line(at, (x + 50, y), _LINE)
    for step in range(6):
        yield line((x + 10 * step, y), (x + 10 * step, y + _TICK), _LINE)
    yield Words((x + 51.5, y + height / 2), height, "50 mm")


def _square(at: Point, side: float, parts: int, text: str) -> Iterator[Mark]:
    x, y = at
    yield rectangle(x, y, side, side, _LINE)
    for i in range(1, parts):
        along = i * side / parts
        yield line((x + along, y), (x + along, y + _TICK), _LINE)
        yield line((x, y + along), (x + _TICK, y + along), _LINE)
    yield Words((x + 8, y + side / 2), 2.4, text)
