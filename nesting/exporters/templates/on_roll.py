"""Full-size templates on paper from a roll: as few pages as the length limit allows.

Grain runs along the paper, or across it where a template fits no other way.
The longest go first, each as near to the start of the paper as it can lie
beside those before it; what would make a page longer than a PDF page may be
goes to the next. What is too large for one page is divided over several, with
matching marks, like a template on sheets.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from nesting.drawings.print import pdf
from nesting.drawings.print.page import LONGEST_PAGE_MM, Mark, Page, View, Words
from nesting.drawings.print.paper import Paper
from nesting.errors import Fault, OrderError
from nesting.exporters.templates.scale_check import INCHES_MM, METRIC_MM, inch_square, metric_square
from nesting.exporters.templates.sheets import sheet_page
from nesting.exporters.templates.template import Template, halves, whole
from nesting.exporters.templates.tiling import (
    CLEAR_MM,
    Division,
    Printing,
    divided_on,
    margin_faults,
)
from nesting.panels.panel import Panel
from nesting.sentences import at_least, at_most

#: Millimetres between templates.
_APART = 10.0

#: Millimetres at the start of each page for the squares and the words.
_HEAD = INCHES_MM + 20

#: Narrower paper cannot show both squares, one above the other, and the words.
LEAST_WIDTH_MM = 270.0


@dataclass(frozen=True)
class _Laid:
    """A template as it lies on the paper."""

    template: Template
    turned: bool

    @property
    def length(self) -> float:
        """Extent along the paper."""
        return self.template.height if self.turned else self.template.length

    @property
    def height(self) -> float:
        """Extent across the paper."""
        return self.template.length if self.turned else self.template.height

    def view(self, x: float, y: float) -> View:
        """The template with its least corner on the paper at a point."""
        if self.turned:
            return View(self.template.figure, (x, y + self.height), turn=-90)
        return View(self.template.figure, (x, y))


@dataclass(frozen=True)
class Spot:
    """Where a template lies: its least corner, from the first place for templates."""

    laid: _Laid
    x: float
    y: float

    @property
    def end(self) -> float:
        """The far end of the template along the paper."""
        return self.x + self.laid.length

    @property
    def top(self) -> float:
        """The far edge of the template across the paper."""
        return self.y + self.laid.height


def roll_templates(
    panels: Sequence[Panel],
    order: str,
    units: str,
    width: float,
    *,
    margin: float = 10.0,
    in_halves: bool = False,
) -> bytes:
    """Full-size templates of panels as a PDF of pages as wide as the paper (millimetres).

    Raises
    ------
    OrderError
        When the paper is too narrow for the squares that prove its scale or wider than a
        page may be, or its margin wrong.
    """
    faults = (*roll_faults(width), *margin_faults(margin))
    if faults:
        raise OrderError(faults)
    printed = [_printed(panel, units, in_halves=in_halves) for panel in panels]
    sheets, too_large = placed_on_roll(printed, width, margin=margin)
    divided = [
        (division, sheet)
        for division in (_divided(template, width, margin) for template in too_large)
        for sheet in division.sheets
    ]
    last = len(sheets) + len(divided)
    pages = [
        _page(spots, order, width, margin, f"page {number} of {last}")
        for number, spots in enumerate(sheets, start=1)
    ]
    pages += (
        sheet_page(division, sheet, order, units, number, last)
        for number, (division, sheet) in enumerate(divided, start=len(sheets) + 1)
    )
    return pdf.write(f"{order}: templates", pages)


def roll_faults(width: float) -> tuple[Fault, ...]:
    """Faults in the width of roll paper."""
    if LEAST_WIDTH_MM <= width <= LONGEST_PAGE_MM:
        return ()
    limits = at_least(LEAST_WIDTH_MM), at_most(LONGEST_PAGE_MM)
    least, most = (f"{each.in_unit('mm')} ({each.in_unit('in')})" for each in limits)
    rule = f"roll paper must be from {least} to {most} wide"
    return (Fault("paper", rule, f"{width:g} mm", "take other paper, or sheets of A4 or Letter"),)


def placed_on_roll(
    templates: Iterable[Template], width: float, *, margin: float
) -> tuple[list[list[Spot]], list[Template]]:
    """Where each template lies, page by page, and those that no page holds whole."""
    room = (LONGEST_PAGE_MM - 2 * margin - _HEAD, width - 2 * margin)
    laid, too_large = [], []
    for template in templates:
        ways = [_Laid(template, turned) for turned in (False, True)]
        fitting = [way for way in ways if way.length <= room[0] and way.height <= room[1]]
        laid += fitting[:1]
        too_large += [] if fitting else [template]
    return _sheets(laid, room), too_large


def _divided(template: Template, width: float, margin: float) -> Division:
    """The template on pages as wide as the paper, each as long as it needs or a page may be."""
    long = min(LONGEST_PAGE_MM, template.length + 2 * (margin + CLEAR_MM))
    return divided_on(template, Paper("roll", long, width), Printing(margin=margin))


def _printed(panel: Panel, units: str, *, in_halves: bool) -> Template:
    """A half, folded along the grain where it can be, or else the whole panel."""
    return (
        next(iter(halves(panel, units)), whole(panel, units)) if in_halves else whole(panel, units)
    )


def _sheets(laid: Iterable[_Laid], room: tuple[float, float]) -> list[list[Spot]]:
    """The spots on each page."""
    sheets: list[list[Spot]] = []
    for each in sorted(laid, key=lambda one: (-one.length, -one.height)):
        spots = ((sheet, _nearest(each, sheet, room[1])) for sheet in sheets)
        found = next(((sheet, spot) for sheet, spot in spots if spot.end <= room[0]), None)
        if found is None:
            sheets.append([Spot(each, 0.0, 0.0)])
        else:
            found[0].append(found[1])
    return sheets


def _nearest(laid: _Laid, taken: Sequence[Spot], room: float) -> Spot:
    """The spot nearest to the start of the paper: at its edge or above what lies there."""
    heights = [0.0, *(spot.top + _APART for spot in taken)]
    spots = [
        Spot(laid, _start(y, y + laid.height, taken), y) for y in heights if y + laid.height <= room
    ]
    return min(spots, key=lambda spot: (spot.x, spot.y))


def _start(low: float, top: float, taken: Iterable[Spot]) -> float:
    """Where the paper becomes free over this part of its width."""
    beside = (spot.end for spot in taken if spot.y - _APART < top and low < spot.top + _APART)
    return max((end + _APART for end in beside), default=0.0)


def _page(spots: Sequence[Spot], order: str, width: float, margin: float, page: str) -> Page:
    """One page: squares and words at its start, then the templates."""
    marks: list[Mark] = [*metric_square((margin, margin))]
    marks += inch_square((margin, margin + METRIC_MM + 10))
    words = (order, "Full-size templates: print at actual size (100 per cent)", page)
    for i, text in enumerate(words):
        height = 5.0 if i == 0 else 2.6
        marks.append(Words((margin, margin + METRIC_MM + INCHES_MM + 40 - 9 * i), height, text))
    marks += (s.laid.view(margin + _HEAD + s.x, margin + s.y) for s in spots)
    length = margin + _HEAD + max(spot.end for spot in spots) + margin
    return Page(length, width, tuple(marks))
