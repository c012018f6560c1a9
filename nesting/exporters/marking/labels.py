"""Numbers and labels on a lay drawn small: at least 2 mm high and clear of lines.

A panel has its number and label where both fit; else its number alone, which
the list names; else its number stands on free cloth beside it, with a leader
line that ends in a dot on the panel.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from nesting.drawings.lettering import ADVANCE, LEAST_HEIGHT_MM, Lettering, roomiest
from nesting.drawings.print.page import Look, Mark, Point, Side, Stroke, Words, line

#: Capitals of a number are at most so high on paper, and those of a label.
_NUMBER = 4.5
_LABEL = 2.2

#: A number of 2 capitals, a blank of 0.6 and a label of 1.
_STACKED = 3.6

#: Distances and directions in which a place beside a panel is looked for (mm).
_STEP = 1.5
_FARTHEST = 60.0
_NEAR_A_FLAW = 15.0
_WAYS = 24

_LEADER = Look(0.12, 0.2)
_DOT = Look(0.0, fill=0.0)
_DOT_RADIUS = 0.35


@dataclass(frozen=True)
class Letters:
    """Lines of text on a panel (content and lettering), and where a leader line ends."""

    texts: tuple[tuple[str, Lettering], ...]
    end: Point

    def moved(self, dx: float, dy: float) -> "Letters":
        """The same, elsewhere."""
        texts = tuple(
            (content, found._replace(at=(found.at[0] + dx, found.at[1] + dy)))
            for content, found in self.texts
        )
        return Letters(texts, (self.end[0] + dx, self.end[1] + dy))

    def numbered(self, number: str, label: str, other: tuple[str, str]) -> "Letters":
        """The same for a panel that lies alike, whose texts are as long as the ``other`` ones."""
        told = {other[0]: number, other[1]: label, "  ".join(other): f"{number}  {label}"}
        return Letters(tuple((told[text], found) for text, found in self.texts), self.end)


def letters(
    number: str, label: str, figure: shapely.Polygon, clear_of: Sequence[Sequence[Point]]
) -> Letters:
    """The texts inside a panel, all as large as on paper; none where nothing fits at 2 mm."""
    ring = figure.exterior.coords[:-1]
    middle = figure.centroid
    if not figure.contains(middle):
        middle = shapely.Point(_deep_inside(figure))
    at = (middle.x, middle.y)
    widest = max(label, 2 * number, key=len)
    stacked = roomiest(widest, at, ring, _LABEL, clear_of, lines=_STACKED)
    if stacked.height >= LEAST_HEIGHT_MM:
        return Letters(_stacked(number, label, stacked), at)
    both = f"{number}  {label}"
    for content, most in ((both, _LABEL), (number, _NUMBER)):
        found = roomiest(content, at, ring, most, clear_of)
        if found.height >= LEAST_HEIGHT_MM:
            return Letters(((content, found),), at)
    marks = shapely.MultiLineString([list(stroke) for stroke in clear_of])
    free = figure.buffer(0).difference(marks.buffer(_DOT_RADIUS))
    return Letters((), _deep_inside(free if free.area else figure))


def _deep_inside(figure: shapely.Geometry) -> Point:
    """The point that is farthest from the edge, to a tenth of a dot.

    GEOS divides by zero if it has to choose a tolerance itself for slivers.
    """
    x, y = shapely.maximum_inscribed_circle(figure, tolerance=_DOT_RADIUS / 10).coords[0]
    return x, y


def _stacked(number: str, label: str, found: Lettering) -> tuple[tuple[str, Lettering], ...]:
    """The number, twice as high, above the label."""
    height, angle, (x, y) = found
    sin, cos = math.sin(math.radians(angle)), math.cos(math.radians(angle))

    def shifted(up: float, size: float) -> Lettering:
        return Lettering(size, angle, (x - up * sin, y + up * cos))

    return (
        (number, shifted(0.8 * height, 2 * height)),
        (label, shifted(-1.3 * height, height)),
    )


def words(content: str, found: Lettering) -> Words:
    """A line of text as a mark of the page."""
    return Words(found.at, found.height, content, Side.MIDDLE, found.angle)


class FreeCloth:
    """The cloth of a row that no panel covers, where numbers stand beside their panels."""

    def __init__(self, row: shapely.Polygon, panels: Sequence[shapely.Polygon]) -> None:
        self._row = row
        self._panels = shapely.STRtree(panels)
        self._texts: list[shapely.Polygon] = []
        shapely.prepare(row)

    def keep(self, content: str, found: Lettering) -> None:
        """Keep the place of a text free of others and of leader lines."""
        self._texts.append(text_box(content, found))

    def beside(self, number: str, middle: Point) -> Iterator[Mark]:
        """The number on the nearest free cloth with its leader line.

        Where no cloth is free it stands on the panel itself, on white.
        """
        found = self._place(number, middle)
        if found is not None:
            yield from self._led(number, found, middle)
            return
        found = Lettering(LEAST_HEIGHT_MM, 0.0, middle)
        ring = text_box(number, found).exterior.coords[:-1]
        yield Stroke(tuple((x, y) for x, y in ring), Look(0.0, fill=1.0), closed=True)
        self.keep(number, found)
        yield words(number, found)

    def beside_a_flaw(self, name: str, middle: Point) -> Iterator[Mark]:
        """The name in the same way; nothing where no cloth near is free: the flaw is seen."""
        found = self._place(name, middle, _NEAR_A_FLAW)
        if found is not None:
            yield from self._led(name, found, middle)

    def _led(self, content: str, found: Lettering, middle: Point) -> Iterator[Mark]:
        yield from leader(text_box(content, found), middle)
        self.keep(content, found)
        yield words(content, found)

    def _place(self, content: str, middle: Point, farthest: float = _FARTHEST) -> Lettering | None:
        """The nearest free place for a text around a point, if there is any."""
        spots = np.array(middle) + _AROUND[: int(farthest / _STEP) * _WAYS]
        wide, tall = _half_box(content, LEAST_HEIGHT_MM)
        x, y = spots.T
        boxes = shapely.box(x - wide, y - tall, x + wide, y + tall)
        free = shapely.contains(self._row, boxes)
        free[self._panels.query(boxes, predicate="intersects")[0]] = False
        texts = np.array(self._texts)
        for index in np.flatnonzero(free):
            at = (float(x[index]), float(y[index]))
            way = shapely.union(boxes[index], shapely.LineString((at, middle)))
            if not shapely.intersects(texts, way).any():
                return Lettering(LEAST_HEIGHT_MM, 0.0, at)
        return None


def _around() -> Iterator[Point]:
    """Places around the origin, the nearest first."""
    for step in range(1, int(_FARTHEST / _STEP) + 1):
        for way in range(_WAYS):
            angle = math.tau * way / _WAYS
            yield _STEP * step * math.cos(angle), _STEP * step * math.sin(angle)


_AROUND = np.array(list(_around()))


def _half_box(content: str, height: float) -> tuple[float, float]:
    return ADVANCE * (len(content) + 1) * height / 2, 0.7 * height


def text_box(content: str, found: Lettering) -> shapely.Polygon:
    """The box around a text, half a letter longer at either end and a little higher."""
    height, angle, (x, y) = found
    wide, tall = _half_box(content, height)
    sin, cos = math.sin(math.radians(angle)), math.cos(math.radians(angle))
    corners = ((-wide, -tall), (wide, -tall), (wide, tall), (-wide, tall))
    return shapely.Polygon((x + u * cos - v * sin, y + u * sin + v * cos) for u, v in corners)


def leader(box: shapely.Polygon, middle: Point) -> Iterator[Mark]:
    """A thin line from a text to a dot in the panel."""
    (start, _) = shapely.shortest_line(box, shapely.Point(middle)).coords
    yield line((start[0], start[1]), middle, _LEADER)
    ways = [math.tau * i / 8 for i in range(8)]
    x, y = middle
    ring = tuple((x + _DOT_RADIUS * math.cos(t), y + _DOT_RADIUS * math.sin(t)) for t in ways)
    yield Stroke(ring, _DOT, closed=True)
