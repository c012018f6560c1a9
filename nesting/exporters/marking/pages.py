"""Printed pages for marking out by hand: where each panel lies, with a small picture.

For each piece of cloth a page with the whole lay, what to mark around if the piece
has flaws or is no rectangle, then a list in the order of marking: column by column
from the cut end, up one column and down the next.
"""

from collections.abc import Iterator, Sequence

from nesting.drawings.panel_marks import grain_arrow
from nesting.drawings.print import pdf
from nesting.drawings.print.page import (
    Figure,
    Look,
    Mark,
    Page,
    Point,
    Side,
    Stroke,
    View,
    Words,
    line,
    rectangle,
)
from nesting.drawings.print.paper import Paper, desk_paper
from nesting.drawings.print.typeface import LEADING, fitted, shortened, wrapped
from nesting.exporters.marking.cloth_picture import ClothPicture, Fit
from nesting.exporters.marking.face_note import banner
from nesting.layouts.lay import ClothLay, OrderLay, PlacedPanel
from nesting.layouts.mirroring import Face
from nesting.panels.cautions import BLADES_IN_SHORT
from nesting.units import Limit, format_length, to_mm

_MARGIN = 12.0
_HEAD = 11.0
_BANNER = 13.0
_COLUMN_HEADS = 11.0

#: Distance of two lines of the steps, and how much further the next step is.
_HOW_LINE, _HOW_APART = 4.4, 1.2

#: Height of what stands above the places to mark around, and of a line of theirs.
_PLACES_HEAD, _PLACE = 9.0, 6.0

#: Height of a row, and the box of its small picture.
_ROW = 17.0
_PICTURE = (30.0, 14.0)

#: Where the columns begin, from the left margin, and their headings in two lines.
_NUMBER, _SMALL, _NAME = 0.0, 13.0, 47.0
_MEASURES = (
    (99.0, "from cut end", "near"),
    (118.0, "", "far"),
    (140.0, "from lower edge", "near"),
    (159.0, "", "far"),
)
_TICK = 179.5

_RULE = Look(0.15, 0.6)
_BOX = Look(0.12, 0.6, (1, 0.8))
_CUT = Look(0.3)
_GRAIN = Look(0.2, 0.4)

_HOW = (
    "Square off the cut end and lay it at your left. Measure along the cloth from the cut end, and "
    "across the cloth from the lower edge, which is the edge next to you. The selvedge counts.",
    "Each panel lies in a box. Its near and far distances give the four sides of the box; they are "
    "rounded outward to a mark of the tape. Lay the template in the box with its arrow as in the "
    "picture, and chalk round it.",
    "Mark the panels in the order of their numbers, and tick each one when it is done. "
    "In a name such as pouf / gore / 2.4, the numbers are copy and part: the fourth gore of the "
    "second pouf.",
    BLADES_IN_SHORT,
)
_HOW_OUTLINE = (
    "Draw the box around the piece of cloth as in the picture: its left side stands for the cut "
    "end, and its lower side for the lower edge. Measure along and across from these."
)
_MARK_AROUND = "Chalk these on the cloth first. Their numbers are on the lay plan."
_HOW_FACE_DOWN = (
    "The cloth lies with its right side down on the table. Turn every template over too, printed "
    "side down. Distances and pictures on these pages are already mirrored.",
)


def marking_pages(lay: OrderLay, units: str, face: Face = Face.UP) -> bytes:
    """The marking-out of an order as a PDF, on the paper of a desk printer."""
    sections = [_Section(one, lay.order, units, face) for one in lay.cloths]
    drawn = [marks for section in sections for marks in section.drawn()]
    pages = []
    for number, (paper, marks) in enumerate(drawn, start=1):
        right = (paper.width - _MARGIN, paper.height - _MARGIN - 2)
        named = Words(right, 2.0, f"page {number} of {len(drawn)}", Side.RIGHT, grey=0.3)
        note = _banner(paper) if face is Face.DOWN else ()
        pages.append(Page(paper.width, paper.height, (*marks, named, *note)))
    return pdf.write(f"{lay.order}: marking out from the lay plan", pages)


def _banner(paper: Paper) -> Iterator[Mark]:
    at = (_MARGIN, paper.height - _MARGIN - _HEAD - _BANNER + 4)
    return banner(at, paper.width - 2 * _MARGIN)


def _top(paper: Paper, face: Face) -> float:
    """Where the space below the head of a page begins."""
    return paper.height - _MARGIN - _HEAD - (_BANNER if face is Face.DOWN else 0.0)


class _Section:
    """The pages of one piece of cloth; figures of equal panels that lie alike are drawn once."""

    def __init__(self, lay: ClothLay, order: str, units: str, face: Face) -> None:
        paper = desk_paper(units)
        self._picture = ClothPicture(lay, units, face)
        self._order = order
        self._paper = paper
        self._units = units
        self._figures: dict[tuple[object, int], Figure] = {}
        self._face = face
        self._top = _top(paper, face)
        self._rows = int((self._top - _COLUMN_HEADS - _MARGIN) // _ROW)
        self._places = int((self._top - _PLACES_HEAD - _MARGIN) // _PLACE)

    def drawn(self) -> Iterator[tuple[Paper, tuple[Mark, ...]]]:
        """The paper and the marks of each page: the lay plan, then the list."""
        paper = self._paper_of_picture()
        yield paper, (*self._title("lay plan", paper), *self._whole(paper))
        lines = [line for place in self._picture.unsound for line in self._wrapped(place)]
        for start in range(0, len(lines), self._places):
            marks = self._to_mark_around(lines[start : start + self._places])
            yield self._paper, (*self._title("mark around", self._paper), *marks)
        placed = self._picture.placed
        for start in range(0, len(placed), self._rows):
            part = placed[start : start + self._rows]
            words = f"panels {start + 1} to {start + len(part)}"
            yield self._paper, (*self._title(words, self._paper), *self._list(part, start + 1))

    def _paper_of_picture(self) -> Paper:
        """The paper upright or lying, whichever shows the lay larger."""
        ways = (self._paper, self._paper.landscape)
        return min(ways, key=lambda paper: self._fit(paper)[1].scale)

    def _title(self, words: str, paper: Paper) -> Iterator[Mark]:
        text = f"{self._order}: {self._picture.lay.title}, {words}"
        top = paper.height - _MARGIN - 2
        yield Words((_MARGIN, top), 3.2, shortened(text, 3.2, paper.width - 2 * _MARGIN - 34))

    def _whole(self, paper: Paper) -> Iterator[Mark]:
        """How to mark, and the picture below."""
        y = _top(paper, self._face)
        for number, step in enumerate(self._steps(paper), start=1):
            yield Words((_MARGIN, y), 2.1, str(number))
            for text in step:
                yield Words((_MARGIN + 6, y), 2.1, text)
                y -= _HOW_LINE
            y -= _HOW_APART
        yield from self._picture.marks(*self._fit(paper))

    def _steps(self, paper: Paper) -> list[list[str]]:
        """The lines of each step."""
        first, *rest = _HOW
        first = _HOW_OUTLINE if self._picture.lay.on.outline else first
        how = (*(_HOW_FACE_DOWN if self._face is Face.DOWN else ()), first, *rest)
        return [wrapped(step, 2.1, paper.width - 2 * _MARGIN - 6) for step in how]

    def _fit(self, paper: Paper) -> tuple[Point, Fit]:
        """The upper left corner of the picture on a paper, and how it is shown there."""
        steps = self._steps(paper)
        above = _HOW_LINE * sum(map(len, steps)) + _HOW_APART * len(steps)
        y = _top(paper, self._face) - above - 2
        return (_MARGIN, y), self._picture.fit(paper.width - 2 * _MARGIN, y - _MARGIN - 6)

    def _wrapped(self, place: str) -> list[str]:
        """A place in lines as wide as the page; what continues it is set in."""
        room = self._paper.width - 2 * _MARGIN - 4
        first, *more = wrapped(place, 2.4, room)
        return [first, *(f"    {text}" for text in more)]

    def _to_mark_around(self, lines: Sequence[str]) -> Iterator[Mark]:
        """Where no panel lies: to be chalked before the first panel."""
        yield Words((_MARGIN, self._top), 2.4, _MARK_AROUND)
        for number, text in enumerate(lines):
            at = (_MARGIN, self._top - _PLACES_HEAD - number * _PLACE)
            yield Words(at, 2.4, text)

    def _list(self, placed: Sequence[PlacedPanel], first: int) -> Iterator[Mark]:
        yield from self._headings()
        y = self._top - _COLUMN_HEADS
        for number, one in enumerate(placed, start=first):
            yield line((_MARGIN, y), (self._paper.width - _MARGIN, y), _RULE)
            yield from self._row(number, one, y - _ROW / 2)
            y -= _ROW
        yield line((_MARGIN, y), (self._paper.width - _MARGIN, y), _RULE)

    def _headings(self) -> Iterator[Mark]:
        upper, lower = self._top - 3.2, self._top - 7.2
        yield Words((_MARGIN + _NAME, upper), 1.8, "item / panel / copy.part", grey=0.2)
        yield Words((_MARGIN + _NAME, lower), 1.8, "length × width", grey=0.2)
        for x, group, which in _MEASURES:
            yield Words((_MARGIN + x, upper), 1.8, group, grey=0.2)
            yield Words((_MARGIN + x, lower), 1.8, f"{which} ({self._units})", grey=0.2)
        yield Words((_MARGIN + _TICK, lower), 1.8, "done", grey=0.2)

    def _row(self, number: int, placed: PlacedPanel, y: float) -> Iterator[Mark]:
        """One panel: number, picture as it lies, name and size, four distances, a box to tick."""
        outline = placed.outline
        near, low, far, high = outline.bounds
        lower, upper = Limit.AT_MOST, Limit.AT_LEAST
        between = ((near, lower), (far, upper), (low, lower), (high, upper))
        yield Words((_MARGIN + _NUMBER, y), 3.4, str(number))
        yield from self._small(placed, (_MARGIN + _SMALL, y - _PICTURE[1] / 2))
        room = _MEASURES[0][0] - _NAME - 3
        length, height = self._length(outline.length, upper), self._length(outline.height, upper)
        size = f"{length} × {height} {self._units}"
        if placed.turn:
            size += f", turned {placed.turn}°"
        capitals, lines = fitted(placed.label, 2.2, room, _ROW - 7.5)
        apart = LEADING * capitals
        for i, text in enumerate(lines):
            above = y + 2.6 + ((len(lines) - 1) / 2 - i) * apart
            yield Words((_MARGIN + _NAME, above), capitals, text)
        below = y - 2.6 - max(0.0, (len(lines) - 1) / 2 * apart - 1.2)
        yield Words((_MARGIN + _NAME, below), 1.9, size, grey=0.2)
        for (x, _, _), (distance, side) in zip(_MEASURES, between, strict=True):
            yield Words((_MARGIN + x, y), 2.6, self._length(distance, side))
        yield rectangle(_MARGIN + _TICK, y - 2.5, 5, 5, _RULE)

    def _length(self, length: int, side: Limit) -> str:
        """A distance or size on the tape, rounded so that no panel is told too small."""
        return format_length(length, self._units, side).removesuffix(f" {self._units}")

    def _small(self, placed: PlacedPanel, corner: Point) -> Iterator[Mark]:
        key = (placed.panel, placed.turn)
        figure = self._figures.get(key)
        if figure is None:
            figure = self._figures[key] = _figure(placed)
        wide, tall = figure.box[2] - 1, figure.box[3] - 1
        at = (corner[0] + (_PICTURE[0] - wide) / 2, corner[1] + (_PICTURE[1] - tall) / 2)
        yield View(figure, at)


def _figure(placed: PlacedPanel) -> Figure:
    """A panel as it lies, in its box, small enough for its place in the list."""
    length, height = to_mm(placed.outline.length), to_mm(placed.outline.height)
    scale = min(_PICTURE[0] / length, _PICTURE[1] / height)
    x, y = placed.x, placed.y

    def small(points: Sequence[tuple[int, int]]) -> tuple[Point, ...]:
        return tuple((to_mm(u - x) * scale, to_mm(v - y) * scale) for u, v in points)

    tail, head = small(placed.on_cloth(placed.panel.grain))
    marks = (
        rectangle(0, 0, length * scale, height * scale, _BOX),
        Stroke(small(placed.outline.points), _CUT, closed=True),
        *(Stroke(stroke, _GRAIN) for stroke in grain_arrow(tail, head)),
    )
    return Figure((-1.0, -1.0, length * scale + 1, height * scale + 1), marks)
