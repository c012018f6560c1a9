"""A lay drawn small for paper: the cloth in rows, every panel with its number.

A long lay is cut into rows of equal length, one below the other, as a page of
text is. Under each row a ruler counts from the cut end.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import shapely

from nesting.drawings.lettering import fitted_height
from nesting.drawings.panel_marks import grain_arrow
from nesting.drawings.print.page import (
    Figure,
    Look,
    Mark,
    Point,
    Side,
    Stroke,
    View,
    Words,
    line,
)
from nesting.layouts.lay import ClothLay
from nesting.layouts.mirroring import Face, cloth_seen, marking_sequence
from nesting.units import format_length, points_to_mm, to_grid, to_mm

#: Steps of the ruler, in millimetres, by unit; marks are at least so far apart on paper.
_METRIC_STEPS = (10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000, 50_000)
_INCH_STEPS = tuple(25.4 * inches for inches in (1, 2, 3, 6, 12, 24, 36, 72, 180, 360, 720, 1800))
_MARKS_APART = 14.0

#: What a row needs besides the cloth: the ruler below it and a blank.
RULER = 6.5
_BLANK = 4.5

#: Capitals of a number are at most so high on paper, those of a label at least so high.
_NUMBER = 4.5
_LABEL = (1.1, 1.8)

#: A number is never lower than this, even where it covers the lines of its panel.
_LEAST_NUMBER = 1.2

#: More rows than this are never needed: a cloth is not that long for its width.
_MOST_ROWS = 40

_CLOTH = (0.35, 0.0)
_PANEL = (0.3, 0.0)
_EDGE = (0.15, 0.5)
_GRAIN = (0.15, 0.5)


@dataclass(frozen=True)
class Fit:
    """How a lay is shown in a box: one to ``scale``, in ``rows``."""

    scale: float
    rows: int


@dataclass(frozen=True)
class _Lettering:
    """Where the number of a panel stands; height and angle of it and of its label."""

    at: Point
    number: tuple[float, float]
    label: tuple[float, float]

    def on_paper(self, at: Point, scale: float) -> "_Lettering":
        """The lettering at a point of the page, one to ``scale``."""
        (number, turn), (label, slant) = self.number, self.label
        return _Lettering(at, (number / scale, turn), (label / scale, slant))


class ClothPicture:
    """The lay of one cloth, ready to be drawn at any scale, as it is seen on the table."""

    def __init__(self, lay: ClothLay, units: str, face: Face = Face.UP) -> None:
        self.lay = cloth_seen(lay, face)
        self.placed = marking_sequence(lay, face)
        self.units = units
        self.length = to_mm(lay.buy_length)
        self.width = to_mm(lay.cloth.width)

    def fit(self, width: float, height: float) -> Fit:
        """The largest scale at which the lay fits a box, in as many rows as that needs."""
        fits = []
        for rows in range(1, _MOST_ROWS + 1):
            tall = height + _BLANK - rows * (RULER + _BLANK)
            if tall > 0:
                scale = max(1.0, self.length / rows / width, rows * self.width / tall)
                fits.append(Fit(math.ceil(10 * scale) / 10, rows))
        return min(fits, key=lambda fit: fit.scale)

    def readable(self, fit: Fit, least: float) -> bool:
        """Whether nine of ten panel numbers have capitals of at least the given height."""
        heights = sorted(lettering.number[0] / fit.scale for lettering in self._letterings)
        return heights[len(heights) // 10] >= least

    def marks(self, corner: Point, fit: Fit) -> Iterator[Mark]:
        """The rows below an upper left corner."""
        figure = self._figure(fit.scale)
        x, top = corner
        step = self.length / fit.rows
        for row in range(fit.rows):
            low = top - self.width / fit.scale
            start, end = row * step, (row + 1) * step
            right = x + step / fit.scale
            at = (x - start / fit.scale, low)
            edge = 0.5 * _CLOTH[0]
            window = (x - edge, low - edge, right + edge, top + edge)
            yield View(figure, at, 1 / fit.scale, window=window)
            yield from self._row_letters(start, end, (x, low), fit.scale)
            yield from self._ruler((x, low), start, end, fit.scale)
            top = low - RULER - _BLANK

    def _figure(self, scale: float) -> Figure:
        """The whole cloth at true size, its lines as wide as they look at a scale."""
        marks = (*self._cloth_marks(scale), *self._panel_marks(scale))
        edge = scale
        return Figure((-edge, -edge, self.length + edge, self.width + edge), marks)

    def _cloth_marks(self, scale: float) -> Iterator[Mark]:
        cloth = self.lay.cloth
        length, width, selvedge = self.length, self.width, to_mm(cloth.selvedge)
        end, used = to_mm(cloth.end_allowance), to_mm(self.lay.used_length)
        ring = ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))
        yield Stroke(ring, Look(0.0, fill=0.93), closed=True)
        inner = ((end, selvedge), (end + used, selvedge))
        upper = ((end + used, width - selvedge), (end, width - selvedge))
        yield Stroke((*inner, *upper), Look(0.0, fill=0.985), closed=True)
        dashed = _look(_EDGE, scale, (2 * scale, scale))
        for y in (selvedge, width - selvedge) if selvedge else ():
            yield line((0.0, y), (length, y), dashed)
        yield line((end + used, 0.0), (end + used, width), dashed)
        yield Stroke(ring, _look(_CLOTH, scale), closed=True)

    def _panel_marks(self, scale: float) -> Iterator[Mark]:
        panel_look, grain_look = _look(_PANEL, scale, fill=1.0), _look(_GRAIN, scale)
        for placed in self.placed:
            yield Stroke(points_to_mm(placed.outline.points), panel_look, closed=True)
        for placed in self.placed:
            tail, head = points_to_mm(placed.on_cloth(placed.panel.grain))
            yield from (Stroke(stroke, grain_look) for stroke in grain_arrow(tail, head))

    def _row_letters(self, start: float, end: float, corner: Point, scale: float) -> Iterator[Mark]:
        """Number and label of every panel in a row, and again in each part of a divided one."""
        x, low = corner
        row = shapely.box(start, -self.width, end, 2 * self.width)
        for number, (placed, whole) in enumerate(
            zip(self.placed, self._letterings, strict=True), start=1
        ):
            near, far = to_mm(placed.outline.bounds[0]), to_mm(placed.outline.bounds[2])
            if far <= start or near >= end:
                continue
            found = whole
            if near < start or far > end:
                part = _largest_part(shapely.Polygon(points_to_mm(placed.outline.points)), row)
                found = _lettering(str(number), placed.label, part)
            at = (x + (found.at[0] - start) / scale, low + found.at[1] / scale)
            yield from _letters(str(number), placed.label, found.on_paper(at, scale))

    @cached_property
    def _letterings(self) -> tuple[_Lettering, ...]:
        """One for each panel; those of equal panels that lie alike differ by a shift only."""
        known: dict[tuple[object, int, int, int], _Lettering] = {}
        found = []
        for number, placed in enumerate(self.placed, start=1):
            key = (placed.panel, placed.turn, len(str(number)), len(placed.label))
            x, y = to_mm(placed.x), to_mm(placed.y)
            if key not in known:
                ring = [(u - x, v - y) for u, v in points_to_mm(placed.outline.points)]
                known[key] = _lettering(str(number), placed.label, shapely.Polygon(ring))
            one = known[key]
            found.append(_Lettering((one.at[0] + x, one.at[1] + y), one.number, one.label))
        return tuple(found)

    def _ruler(self, corner: Point, start: float, end: float, scale: float) -> Iterator[Mark]:
        """Distances from the cut end under a row, in the maker's unit."""
        x, y = corner
        look, top = Look(0.2, 0.3), y - 1.0
        steps = _INCH_STEPS if self.units == "in" else _METRIC_STEPS
        step = next((s for s in steps if s / scale >= _MARKS_APART), steps[-1])
        yield line((x, top), (x + (end - start) / scale, top), look)
        count = int(start // step)
        while count * step <= end + 1e-6:
            if count * step >= start - 1e-6:
                at = x + (count * step - start) / scale
                yield line((at, top), (at, top - 1.6), look)
                words = format_length(to_grid(count * step), self.units)
                yield Words((at + 0.6, top - 3.2), 1.5, words, Side.LEFT, grey=0.2)
            count += 1


def _largest_part(figure: shapely.Polygon, row: shapely.Polygon) -> shapely.Polygon:
    """The largest part of a panel that lies in a row."""
    parts = shapely.get_parts(figure.buffer(0).intersection(row))
    return max((p for p in parts if isinstance(p, shapely.Polygon)), key=lambda part: part.area)


def _lettering(number: str, label: str, figure: shapely.Polygon) -> _Lettering:
    middle = figure.centroid
    if not figure.contains(middle):
        middle = shapely.Point(shapely.maximum_inscribed_circle(figure).coords[0])
    x0, y0, x1, y1 = figure.bounds
    at, most, ring = (middle.x, middle.y), max(x1 - x0, y1 - y0), figure.exterior.coords[:-1]
    alone = fitted_height(number, at, ring, most)
    return _Lettering(at, alone, fitted_height(label, at, ring, most, lines=5.0))


def _letters(number: str, label: str, lettering: _Lettering) -> Iterator[Mark]:
    """The number above the middle and the label below, or where that is too small the number.

    The lettering is as large as it is on paper.
    """
    least, most = _LABEL
    (x, y), (height, angle) = lettering.at, lettering.label
    if height < least:
        yield from _alone(number, lettering)
        return
    small = min(height, most)
    large = min(2 * height, _NUMBER)
    up, down = 0.5 * large + 0.35 * small, 0.95 * small
    sin, cos = math.sin(math.radians(angle)), math.cos(math.radians(angle))
    for text, size, shift in ((number, large, up), (label, small, -down)):
        yield Words((x - shift * sin, y + shift * cos), size, text, Side.MIDDLE, angle)


def _alone(number: str, lettering: _Lettering) -> Iterator[Mark]:
    """A number in the middle of its panel, on white where the grain arrow passes."""
    height, angle = lettering.number
    height = max(min(height, _NUMBER), _LEAST_NUMBER)
    (x, y), dx, dy = lettering.at, 0.5 * height * len(number), 0.65 * height
    sin, cos = math.sin(math.radians(angle)), math.cos(math.radians(angle))
    corners = ((-dx, -dy), (dx, -dy), (dx, dy), (-dx, dy))
    ring = tuple((x + u * cos - v * sin, y + u * sin + v * cos) for u, v in corners)
    yield Stroke(ring, Look(0.0, fill=1.0), closed=True)
    yield Words((x, y), height, number, Side.MIDDLE, angle)


def _look(
    line_look: tuple[float, float],
    scale: float,
    dashes: tuple[float, ...] = (),
    fill: float | None = None,
) -> Look:
    width, grey = line_look
    return Look(width * scale, grey, dashes, fill)
