"""The lay plan for the wall: one page with the lay to scale, dimensions and a list of panels.

It is the smallest sheet, from that of a desk printer upward, on which the
numbers can be read.
"""

from collections.abc import Iterator

from nesting.drawings.print import pdf
from nesting.drawings.print.page import Look, Mark, Page, Point, Side, Stroke, Words, line
from nesting.drawings.print.paper import A_SERIES, INCH_SERIES, Paper
from nesting.drawings.print.typeface import shortened
from nesting.exporters.marking.cloth_picture import ClothPicture, Fit
from nesting.exporters.marking.face_note import banner
from nesting.layouts.lay import ClothLay
from nesting.layouts.measures import efficiency
from nesting.layouts.mirroring import Face
from nesting.layouts.sequence import runs
from nesting.units import Limit, format_length

_MARGIN = 10.0
_HEAD = 17.0
_BANNER = 13.0

#: Room at the left of the lay for the dimension of its width.
_LEFT = 9.0

#: Least height of the capitals of a number.
_READABLE = 1.4

#: The list of panels: height of a line, width of a column, most of the page it may take.
_LINE = 4.0
_COLUMN = 88.0
_MOST_LIST = 0.3

_THIN = Look(0.2, 0.3)


def wall_plan(lay: ClothLay, order: str, units: str, face: Face = Face.UP) -> bytes:
    """The lay of one cloth as a PDF of one page, drawn as it lies on the table."""
    picture = ClothPicture(lay, units, face)
    series = INCH_SERIES if units == "in" else A_SERIES
    for paper in (each.landscape for each in series):
        box = _box(paper, picture, face)
        fit = picture.fit(box[2] - box[0], box[3] - box[1])
        if picture.readable(fit, _READABLE):
            break
    marks = (
        *_head(picture, order, paper, fit, face),
        *picture.marks((box[0], box[3]), fit),
        *_width(picture, (box[0], box[3]), fit),
        *_list(picture, paper),
    )
    page = Page(paper.width, paper.height, marks)
    return pdf.write(f"{order}: {lay.cloth.name}", (page,))


def printed_names(lay: ClothLay) -> tuple[str, ...]:
    """The names printed for a lay: those of its cloth, items and panels."""
    panels = (name for panel in lay.panels for name in (panel.item, panel.name))
    return (lay.cloth.name, *panels)


def _box(paper: Paper, picture: ClothPicture, face: Face) -> tuple[float, float, float, float]:
    """Where the lay may be drawn."""
    top = paper.height - _MARGIN - _HEAD - (_BANNER if face is Face.DOWN else 0.0)
    low = _MARGIN + _list_height(picture, paper) + 4
    return _MARGIN + _LEFT, low, paper.width - _MARGIN, top


def _head(picture: ClothPicture, order: str, paper: Paper, fit: Fit, face: Face) -> Iterator[Mark]:
    lay, units = picture.lay, picture.units
    top, right = paper.height - _MARGIN, paper.width - _MARGIN
    title = f"{order}: {lay.cloth.name}"
    yield Words((_MARGIN, top - 3), 4.2, shortened(title, 4.2, right - _MARGIN - 50))
    yield Words((right, top - 3), 3.2, f"scale 1 : {fit.scale:g}", Side.RIGHT)
    facts = (
        f"width {format_length(lay.cloth.width, units)}",
        f"between selvedges {format_length(lay.cloth.usable_width, units)}",
        f"panels {format_length(lay.used_length, units)} long",
        f"cloth {format_length(lay.buy_length, units)} long",
        f"{len(lay.placed)} panels",
        f"efficiency {100 * efficiency(lay):.1f} %",
    )
    words = shortened("   ·   ".join(facts), 2.2, right - _MARGIN)
    yield Words((_MARGIN, top - 10.5), 2.2, words, grey=0.15)
    if face is Face.DOWN:
        yield from banner((_MARGIN, top - _HEAD - _BANNER + 4), right - _MARGIN)


def _width(picture: ClothPicture, corner: Point, fit: Fit) -> Iterator[Mark]:
    """The width of the cloth beside the first row, with arrows at both ends."""
    x, top = corner[0] - 4.0, corner[1]
    low = top - picture.width / fit.scale
    yield line((x, low), (x, top), _THIN)
    for y, inward in ((low, 1.6), (top, -1.6)):
        yield Stroke(((x - 0.6, y + inward), (x, y), (x + 0.6, y + inward)), _THIN)
        yield line((x - 1.5, y), (corner[0], y), _THIN)
    words = format_length(picture.lay.cloth.width, picture.units)
    yield Words((x - 2.5, (low + top) / 2), 2.0, words, Side.MIDDLE, 90.0)


def _rows(picture: ClothPicture) -> list[str]:
    """The facts about each panel, and its numbers on the plan."""
    numbers: dict[tuple[str, str], list[int]] = {}
    for number, placed in enumerate(picture.placed, start=1):
        numbers.setdefault((placed.panel.item, placed.panel.name), []).append(number)
    rows = []
    for panel in picture.lay.panels:
        length, height = (
            format_length(extent, picture.units, Limit.AT_LEAST)
            for extent in (panel.cut.length, panel.cut.height)
        )
        found = runs(numbers.get((panel.item, panel.name), []))
        rows.append(f"{panel.item} / {panel.name}: {found}   ({length} × {height})")
    return rows


def _columns(paper: Paper) -> int:
    return max(1, int((paper.width - 2 * _MARGIN) // _COLUMN))


def _list_height(picture: ClothPicture, paper: Paper) -> float:
    lines = -(-len(picture.lay.panels) // _columns(paper))
    return _LINE * min(lines, int(_MOST_LIST * paper.height // _LINE))


def _list(picture: ClothPicture, paper: Paper) -> Iterator[Mark]:
    """The panels with their numbers, in columns at the foot of the page."""
    rows, columns = _rows(picture), _columns(paper)
    down = round(_list_height(picture, paper) / _LINE)
    if len(rows) > down * columns:
        left_out = len(rows) - down * columns + 1
        rows = [*rows[: down * columns - 1], f"and {left_out} more, see the report"]
    wide = (paper.width - 2 * _MARGIN) / columns
    for i, row in enumerate(rows):
        at = (_MARGIN + i // down * wide, _MARGIN + (down - i % down - 0.5) * _LINE)
        yield Words(at, 1.8, shortened(row, 1.8, wide - 4), grey=0.1)
