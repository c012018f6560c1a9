"""How a template is divided over sheets of paper that are glued together.

Words: the *live area* of a sheet is what lies inside its margins, above the
line of words at its foot. Neighbouring sheets show the same strip of the
template, as wide as the *overlap*. A sheet is printed if the template reaches
into its *cell*, bounded half-way through the overlaps: what it shows beyond
that is on its neighbours too.
"""

from dataclasses import dataclass
from math import ceil
from typing import Final

import shapely

from nesting.drawings.print.page import Point
from nesting.drawings.print.paper import A4, Paper
from nesting.errors import Fault, OrderError
from nesting.exporters.templates.template import Template

#: Height of the words at the foot of each sheet, in millimetres.
FOOT_MM = 13.0

#: What can be set, with its least and greatest value in millimetres: a larger
#: margin would not leave room for both squares on Letter, a smaller overlap cannot be glued.
_MARGINS = (0.0, 25.0)
_OVERLAPS = (5.0, 40.0)

#: Millimetres around a template that are kept clear of the edge of a sheet.
CLEAR_MM = 2.0


@dataclass(frozen=True)
class Printing:
    """How templates are printed on sheets; millimetres.

    ``margin`` is what the printer cannot reach at each edge; with ``halves``
    symmetric panels are printed as halves to be cut on the fold.

    Raises
    ------
    OrderError
        When margin or overlap are out of their limits.
    """

    paper: Paper = A4
    margin: float = 10.0
    overlap: float = 10.0
    halves: bool = False

    def __post_init__(self) -> None:
        faults = (*margin_faults(self.margin), *_faults("overlap", self.overlap, _OVERLAPS))
        if faults:
            raise OrderError(faults)


def margin_faults(margin: float) -> tuple[Fault, ...]:
    """Faults of a margin outside its limits."""
    return _faults("margin", margin, _MARGINS)


def _faults(name: str, value: float, limits: tuple[float, float]) -> tuple[Fault, ...]:
    least, most = limits
    if least <= value <= most:
        return ()
    rule = f"must be from {least:g} to {most:g} mm"
    return (Fault(name, rule, f"{value:g} mm", "for example 10 mm"),)


#: Default settings for a desk printer.
DESK: Final = Printing()


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of a template: ``row`` from the top, ``column`` from the left, both from 0.

    ``at`` is the point of the template that comes to the least corner of the
    live area.
    """

    row: int
    column: int
    at: Point

    @property
    def name(self) -> str:
        """Row as a letter, column as a number: ``B3``."""
        return f"{_letters(self.row)}{self.column + 1}"


@dataclass(frozen=True)
class Division:
    """A template on sheets of one size and position; ``live`` is the box of the live area.

    ``corner`` is the point of the template at the least corner of the lowest
    sheet on the left, printed or not.
    """

    template: Template
    paper: Paper
    live: tuple[float, float, float, float]
    overlap: float
    rows: int
    columns: int
    corner: Point
    sheets: tuple[Sheet, ...]

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the live area."""
        return self.live[2] - self.live[0], self.live[3] - self.live[1]

    @property
    def pitch(self) -> tuple[float, float]:
        """How far neighbouring sheets are apart on the template."""
        return self.size[0] - self.overlap, self.size[1] - self.overlap

    def at(self, row: int, column: int) -> Sheet | None:
        """The sheet in that place, if it is printed."""
        return {(sheet.row, sheet.column): sheet for sheet in self.sheets}.get((row, column))


def divided(template: Template, printing: Printing) -> Division:
    """The template on the fewest sheets, portrait or landscape; portrait wins a tie."""
    both = (printing.paper, printing.paper.landscape)
    ways = [divided_on(template, paper, printing) for paper in both]
    return min(ways, key=lambda division: len(division.sheets))


def divided_on(template: Template, paper: Paper, printing: Printing) -> Division:
    """The template on sheets of this paper as it lies, with the margin and overlap given."""
    margin, overlap = printing.margin, printing.overlap
    live = (margin, margin + FOOT_MM, paper.width - margin, paper.height - margin)
    width, height = live[2] - live[0], live[3] - live[1]
    columns, left = _steps(template.length, width, overlap)
    rows, low = _steps(template.height, height, overlap)
    ring = shapely.Polygon(template.ring)
    shapely.prepare(ring)
    sheets = []
    for row in range(rows):
        for column in range(columns):
            x = left + column * (width - overlap)
            y = low + (rows - 1 - row) * (height - overlap)
            half = overlap / 2
            cell = shapely.box(x + half, y + half, x + width - half, y + height - half)
            if rows * columns == 1 or ring.intersects(cell):
                sheets.append(Sheet(row, column, (x, y)))
    return Division(template, paper, live, overlap, rows, columns, (left, low), tuple(sheets))


def _steps(extent: float, room: float, overlap: float) -> tuple[int, float]:
    """How many sheets an extent takes, and where the first begins: the template is centred."""
    needed = extent + 2 * CLEAR_MM
    count = max(1, ceil((needed - overlap) / (room - overlap)))
    return count, (extent - count * (room - overlap) - overlap) / 2


def _letters(number: int) -> str:
    """A to Z, then AA, AB and so on."""
    rest, last = divmod(number, 26)
    return (_letters(rest - 1) if rest else "") + chr(ord("A") + last)
