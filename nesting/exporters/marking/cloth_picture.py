"""A lay drawn small for paper: the cloth in rows, every panel with its number.

A long lay is cut into rows of equal length, one below the other, as a page of
text is. Under each row a ruler counts from the cut end.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import shapely

from nesting.drawings.lettering import roomiest
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
from nesting.exporters.marking.labels import FreeCloth, Letters, letters, words
from nesting.exporters.marking.unsound import flaw_name, hatching, unsound_places
from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.layouts.mirroring import Face, cloth_seen, figure_seen, marking_sequence
from nesting.units import format_length, points_to_mm, to_grid, to_mm

#: Steps of the ruler, in millimetres, by unit; marks are at least so far apart on paper.
_METRIC_STEPS = (10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000, 50_000)
_INCH_STEPS = tuple(25.4 * inches for inches in (1, 2, 3, 6, 12, 24, 36, 72, 180, 360, 720, 1800))
_MARKS_APART = 14.0

#: What a row needs besides the cloth: the ruler below it and a blank.
RULER = 6.5
_BLANK = 4.5

#: More rows than this are never needed: a cloth is not that long for its width.
_MOST_ROWS = 40

_CLOTH = (0.35, 0.0)
_PANEL = (0.3, 0.0)
_EDGE = (0.15, 0.5)
_GRAIN = (0.15, 0.5)
_FLAW = (0.2, 0.0)
_SPLICE = (0.35, 0.0)

#: Distance between the lines across a flaw, on paper.
_HATCH = 0.9


@dataclass(frozen=True)
class Fit:
    """How a lay is shown in a box: one to ``scale``, in ``rows``."""

    scale: float
    rows: int


class ClothPicture:
    """The lay of one cloth, ready to be drawn at any scale, as it is seen on the table."""

    def __init__(self, lay: ClothLay, units: str, face: Face = Face.UP) -> None:
        self.lay = cloth_seen(lay, face)
        self.cloth = figure_seen(lay, face)
        self.unsound = unsound_places(lay, units, face)
        self.placed = marking_sequence(lay, face)
        self.units = units
        self.length = to_mm(lay.cloth_length)
        self.width = to_mm(lay.cloth.width)
        self._known: dict[tuple[object, ...], tuple[tuple[str, str], Letters]] = {}

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
        heights = sorted(self._number_heights)
        return heights[len(heights) // 10] / fit.scale >= least

    @cached_property
    def _number_heights(self) -> list[float]:
        """How high the number of each panel can be at full size."""
        known: dict[tuple[object, int, int], float] = {}
        keys = [
            (placed.panel, placed.turn, len(str(number)))
            for number, placed in enumerate(self.placed, start=1)
        ]
        for number, (key, placed) in enumerate(zip(keys, self.placed, strict=True), start=1):
            if key not in known:
                known[key] = _number_height(str(number), placed)
        return [known[key] for key in keys]

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
        marks = (*self._cloth_marks(scale), *self._panel_marks(scale), *self._flaw_marks(scale))
        edge = scale
        return Figure((-edge, -edge, self.length + edge, self.width + edge), marks)

    def _cloth_marks(self, scale: float) -> Iterator[Mark]:
        cloth = self.lay.cloth
        end, used = to_mm(cloth.end_allowance), to_mm(self.lay.used_length)
        ring = points_to_mm(self.cloth.body)
        yield Stroke(ring, Look(0.0, fill=0.93), closed=True)
        reach = cloth.end_allowance + self.lay.used_length
        for inner in self._inside(cloth.end_allowance, reach):
            yield Stroke(inner, Look(0.0, fill=0.985), closed=True)
        dashed = _look(_EDGE, scale, (2 * scale, scale))
        measured = self.cloth.measured[1:]
        edges = (self.cloth.selvedges[0], *measured) if measured else self.cloth.selvedges
        for edge in edges if cloth.selvedge else ():
            yield Stroke(points_to_mm(edge), dashed)
        yield line((end + used, 0.0), (end + used, self.width), dashed)
        for hole in self.cloth.holes:
            look = _look(_CLOTH, scale, fill=1.0)
            yield Stroke(points_to_mm(hole.points), look, closed=True)
        yield Stroke(ring, _look(_CLOTH, scale), closed=True)

    def _inside(self, start: int, end: int) -> Iterator[tuple[Point, ...]]:
        """The cloth that panels may lie on, from one x to another, flaws and holes included."""
        low, high = self.lay.cloth.selvedge, self.lay.cloth.width - self.lay.cloth.selvedge
        if not (self.cloth.measured or self.lay.on.outline):
            yield points_to_mm(((start, low), (end, low), (end, high), (start, high)))
            return
        inside = shapely.intersection(self.cloth.usable, shapely.box(start, 0, end, high + low))
        for part in shapely.get_parts(inside):
            if isinstance(part, shapely.Polygon):
                yield points_to_mm((x, y) for x, y in part.exterior.coords[:-1])

    def _flaw_marks(self, scale: float) -> Iterator[Mark]:
        """Flaws, over the panels that may have them, and splices."""
        look = _look(_FLAW, scale)
        for flaw in self.cloth.flaws:
            ring = points_to_mm(flaw.outline.points)
            yield Stroke(ring, look, closed=True)
            for stroke in hatching(shapely.Polygon(ring), _HATCH * scale):
                yield Stroke(stroke, look)
        for splice in self.cloth.splices:
            dashes = (3 * scale, scale, 0.6 * scale, scale)
            yield Stroke(points_to_mm(splice), _look(_SPLICE, scale, dashes))

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
        width, height = (end - start) / scale, self.width / scale
        row, origin = shapely.box(x, low, x + width, low + height), (x - start / scale, low)
        shown = [
            (number, placed, _on_paper(placed, origin, scale))
            for number, placed in enumerate(self.placed, start=1)
            if to_mm(placed.outline.bounds[2]) > start and to_mm(placed.outline.bounds[0]) < end
        ]
        over = shapely.box(x, low, x + width, low + height + _BLANK - 0.5)
        flaws = self._flaws_on_paper(row, origin, scale)
        taken = [*(figure for _, _, figure in shown), *(figure for _, figure in flaws)]
        free = FreeCloth(over, taken)
        beside = []
        for number, placed, figure in shown:
            found = self._letters_of(number, placed, figure, origin, row, scale)
            for content, lettering in found.texts:
                free.keep(content, lettering)
                yield words(content, lettering)
            if not found.texts:
                beside.append((str(number), found.end))
        for content, inside in beside:
            yield from free.beside(content, inside)
        for name, figure in flaws:
            inside_flaw = figure.representative_point()
            yield from free.beside_a_flaw(name, (inside_flaw.x, inside_flaw.y))

    def _flaws_on_paper(
        self, row: shapely.Polygon, origin: Point, scale: float
    ) -> list[tuple[str, shapely.Polygon]]:
        """The flaws of a row with their names, each as far as it lies there."""
        found = []
        for number, flaw in enumerate(self.cloth.flaws, start=1):
            ring = _placed_on_paper(points_to_mm(flaw.outline.points), origin, scale)
            figure = shapely.Polygon(ring)
            if figure.intersection(row).area > 0:
                found.append((flaw_name(number), _largest_part(figure, row)))
        return found

    def _letters_of(
        self,
        number: int,
        placed: PlacedPanel,
        figure: shapely.Polygon,
        origin: Point,
        row: shapely.Polygon,
        scale: float,
    ) -> Letters:
        """The texts on a panel or its part in a row; whole equal ones differ by a shift only."""
        texts = str(number), placed.label
        arrow = [_placed_on_paper(stroke, origin, scale) for stroke in _arrow(placed)]
        x0, y0, x1, _ = figure.bounds
        if x0 < row.bounds[0] - 1e-6 or x1 > row.bounds[2] + 1e-6:
            return letters(*texts, _largest_part(figure, row), arrow)
        key = (placed.panel, placed.turn, *map(len, texts), scale)
        if key not in self._known:
            self._known[key] = texts, letters(*texts, figure, arrow).moved(-x0, -y0)
        other, found = self._known[key]
        return found.numbered(*texts, other).moved(x0, y0)

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


def _look(
    line_look: tuple[float, float],
    scale: float,
    dashes: tuple[float, ...] = (),
    fill: float | None = None,
) -> Look:
    width, grey = line_look
    return Look(width * scale, grey, dashes, fill)


def _number_height(number: str, placed: PlacedPanel) -> float:
    figure = _on_paper(placed, (0.0, 0.0), 1.0)
    ring, middle = figure.exterior.coords[:-1], shapely.maximum_inscribed_circle(figure).coords[0]
    most = max(figure.bounds[2] - figure.bounds[0], figure.bounds[3] - figure.bounds[1])
    at = (middle[0], middle[1])
    return roomiest(number, at, ring, most, _arrow(placed)).height


def _arrow(placed: PlacedPanel) -> tuple[tuple[Point, ...], ...]:
    """The strokes of the grain arrow on the cloth, in millimetres."""
    tail, head = points_to_mm(placed.on_cloth(placed.panel.grain))
    return grain_arrow(tail, head)


def _on_paper(placed: PlacedPanel, origin: Point, scale: float) -> shapely.Polygon:
    """The outline of a panel on the page."""
    return shapely.Polygon(_placed_on_paper(points_to_mm(placed.outline.points), origin, scale))


def _placed_on_paper(points: tuple[Point, ...], origin: Point, scale: float) -> tuple[Point, ...]:
    return tuple((origin[0] + u / scale, origin[1] + v / scale) for u, v in points)


def _largest_part(figure: shapely.Polygon, row: shapely.Polygon) -> shapely.Polygon:
    """The largest part of a panel that lies in a row."""
    parts = shapely.get_parts(figure.buffer(0).intersection(row))
    return max((p for p in parts if isinstance(p, shapely.Polygon)), key=lambda part: part.area)
