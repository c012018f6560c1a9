"""A lay drawn small for paper: the cloth in rows, every panel with its number.

A long lay is cut into rows of equal length, one below the other, as a page of
text is. Under each row a ruler counts from the cut end.
"""

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
    rectangle,
)
from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.layouts.mirroring import Face, cloth_seen, marking_sequence
from nesting.units import format_length, points_to_mm, to_grid, to_mm

#: Scales that people know, as the number of millimetres shown by one.
SCALES = (1, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 16, 20, 24, 25, 30, 32, 40, 48, 50, 60, 64, 75,
          80, 96, 100, 120, 125, 150, 200, 250, 300, 400, 500, 750, 1000, 2000, 5000)  # fmt: skip

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
    """Where the number of a panel stands, and how large it and its label may be on the cloth."""

    at: Point
    number: tuple[float, float]
    label: tuple[float, float]


class ClothPicture:
    """The lay of one cloth, ready to be drawn at any scale, as it is seen on the table."""

    def __init__(self, lay: ClothLay, units: str, face: Face = Face.UP) -> None:
        self.lay = cloth_seen(lay, face)
        self.placed = marking_sequence(lay, face)
        self.units = units
        self.length = to_mm(lay.buy_length)
        self.width = to_mm(lay.cloth.width)

    def fit(self, width: float, height: float) -> Fit:
        """The largest of the known scales at which the lay fits a box, with its rows."""
        for scale in SCALES:
            for rows in range(1, _MOST_ROWS + 1):
                wide = self.length / rows / scale
                tall = rows * (self.width / scale + RULER + _BLANK) - _BLANK
                if wide <= width and tall <= height:
                    return Fit(scale, rows)
        return Fit(SCALES[-1], 1)

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
        numbered = enumerate(zip(self.placed, self._letterings, strict=True), start=1)
        for number, (placed, lettering) in numbered:
            yield from _letters(str(number), placed, lettering, scale)

    @cached_property
    def _letterings(self) -> tuple[_Lettering, ...]:
        """One for each panel; those of equal panels that lie alike differ by a shift only."""
        known: dict[tuple[object, int, int, int], _Lettering] = {}
        found = []
        for number, placed in enumerate(self.placed, start=1):
            key = (placed.panel, placed.turn, len(str(number)), len(placed.label))
            x, y = to_mm(placed.x), to_mm(placed.y)
            if key not in known:
                known[key] = _lettering(str(number), placed, (-x, -y))
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


def _lettering(number: str, placed: PlacedPanel, shift: Point) -> _Lettering:
    ring = [(x + shift[0], y + shift[1]) for x, y in points_to_mm(placed.outline.points)]
    polygon = shapely.Polygon(ring)
    middle = polygon.centroid
    if not polygon.contains(middle):
        middle = shapely.Point(shapely.maximum_inscribed_circle(polygon).coords[0])
    at, most = (middle.x, middle.y), to_mm(max(placed.outline.length, placed.outline.height))
    alone = fitted_height(number, at, ring, most)
    label = fitted_height(placed.label, at, ring, most, lines=5.0)
    return _Lettering(at, alone, label)


def _letters(
    number: str, placed: PlacedPanel, lettering: _Lettering, scale: float
) -> Iterator[Mark]:
    """The number above the middle and the label below, or where that is too small the number."""
    least, most = (scale * height for height in _LABEL)
    x, y = lettering.at
    height, angle = lettering.label
    if height < least:
        yield from _alone(number, (x, y), lettering, scale)
        return
    small = min(height, most)
    large = min(2 * height, scale * _NUMBER)
    up, down = 0.5 * large + 0.35 * small, 0.95 * small
    for text, size, shift in ((number, large, up), (placed.label, small, -down)):
        at = (x - shift, y) if angle else (x, y + shift)
        yield Words(at, size, text, Side.MIDDLE, angle)


def _alone(number: str, at: Point, lettering: _Lettering, scale: float) -> Iterator[Mark]:
    """A number in the middle of its panel, on white where the grain arrow passes."""
    height, angle = lettering.number
    height = min(height, scale * _NUMBER)
    half = (0.5 * height * len(number), 0.65 * height)
    dx, dy = half[::-1] if angle else half
    yield rectangle(at[0] - dx, at[1] - dy, 2 * dx, 2 * dy, Look(0.0, fill=1.0))
    yield Words(at, height, number, Side.MIDDLE, angle)


def _look(
    line_look: tuple[float, float],
    scale: float,
    dashes: tuple[float, ...] = (),
    fill: float | None = None,
) -> Look:
    width, grey = line_look
    return Look(width * scale, grey, dashes, fill)
