"""The sheets of a template: trim lines, matching marks and words at the foot."""

from collections.abc import Iterator

from nesting.drawings.print.page import Look, Mark, Page, Point, Side, Stroke, View, Words, line
from nesting.drawings.print.typeface import shortened
from nesting.exporters.templates.scale_check import ruler
from nesting.exporters.templates.template import label_lines
from nesting.exporters.templates.tiling import FOOT_MM, Division, Sheet

_TRIM = Look(0.2, 0.3, (3, 2))
_UNDER = Look(0.15, 0.6)
_MATCH = Look(0.2)

#: Half the size of a matching mark, as a share of the overlap and at most in millimetres.
_MATCH_SHARE = 0.3
_MATCH_MM = 3.0

#: Where along a join its two matching marks stand.
_PLACES = (0.25, 0.75)


def sheet_page(
    division: Division, sheet: Sheet, order: str, units: str, number: int, last: int
) -> Page:
    """One sheet; ``number`` and ``last`` are its page and the last page of the file."""
    x0, y0, _, _ = division.live
    at = (x0 - sheet.at[0], y0 - sheet.at[1])
    marks = (
        View(division.template.figure, at, window=division.live),
        *_joins(division, sheet),
        *_foot(division, sheet, order, units, f"page {number} of {last}"),
    )
    return Page(division.paper.width, division.paper.height, marks)


def _joins(division: Division, sheet: Sheet) -> Iterator[Mark]:
    """Trim lines to the left and above, where neighbours lie to the right and below, marks."""
    x0, y0, x1, y1 = division.live
    row, column, overlap = sheet.row, sheet.column, division.overlap
    if left := division.at(row, column - 1):
        yield line((x0, y0), (x0, y1), _TRIM)
        yield from _matching(division, (x0 + overlap / 2, y0), left, sheet)
    if above := division.at(row - 1, column):
        yield line((x0, y1), (x1, y1), _TRIM)
        yield from _matching(division, (x0, y1 - overlap / 2), above, sheet)
    if right := division.at(row, column + 1):
        yield line((x1 - overlap, y0), (x1 - overlap, y1), _UNDER)
        yield from _matching(division, (x1 - overlap / 2, y0), sheet, right)
    if below := division.at(row + 1, column):
        yield line((x0, y0 + overlap), (x1, y0 + overlap), _UNDER)
        yield from _matching(division, (x0, y0 + overlap / 2), sheet, below)


def _matching(division: Division, start: Point, first: Sheet, second: Sheet) -> Iterator[Mark]:
    """The two marks of a join, in the middle of the overlap; both sheets show them alike."""
    upright = first.row == second.row
    width, height = division.size
    size = min(_MATCH_MM, _MATCH_SHARE * division.overlap)
    for place in _PLACES:
        x = start[0] if upright else start[0] + place * width
        y = start[1] + place * height if upright else start[1]
        yield Stroke(((x - size, y), (x, y - size), (x + size, y), (x, y + size)), _MATCH, True)
        yield line((x - size, y), (x + size, y), _MATCH)
        yield line((x, y - size), (x, y + size), _MATCH)
        names = f"{first.name} · {second.name}"
        turn = 90.0 if upright else 0.0
        away = size + 1.0
        beside = (x, y + away) if upright else (x + away, y)
        yield Words(beside, 1.5, names, Side.LEFT, turn)


def _foot(division: Division, sheet: Sheet, order: str, units: str, page: str) -> Iterator[Mark]:
    """What this sheet is, under the live area: its name large, the panel, a ruler."""
    x0, y0, x1, _ = division.live
    template = division.template
    name, copies, allowance, grain = label_lines(template.panel, units, template.fold)
    top, middle, low = y0 - 3.0, y0 - 6.9, y0 - FOOT_MM + 2.0
    room = x1 - x0 - 24
    yield Words((x0, y0 - 5.0), 5.0, sheet.name)
    heading = name if len(division.sheets) == 1 else f"{name}, sheet {sheet.name}"
    yield Words((x0 + 20, top), 2.2, shortened(heading, 2.2, room - 34))
    facts = "  ·  ".join((copies, allowance, grain))
    yield Words((x0 + 20, middle), 1.7, shortened(facts, 1.7, room))
    yield from ruler((x0 + 20, low - 1.0))
    yield Words((x1, top), 1.7, page, Side.RIGHT, grey=0.3)
    yield Words((x1, low), 1.7, shortened(order, 1.7, room - 75), Side.RIGHT, grey=0.3)
