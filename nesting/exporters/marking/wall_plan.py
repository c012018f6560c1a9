"""The lay plan for the wall: one page with the lay to scale, dimensions and a list of panels.

It is the smallest sheet, from that of a desk printer upward, on which the
numbers can be read. A list too long for its foot has pages of its own.
"""

from collections.abc import Iterator

from nesting.drawings.lettering import LEAST_HEIGHT_MM
from nesting.drawings.print import pdf
from nesting.drawings.print.page import Look, Mark, Page, Point, Side, Stroke, Words, line
from nesting.drawings.print.paper import A_SERIES, INCH_SERIES, Paper
from nesting.drawings.print.typeface import shortened, wrapped
from nesting.exporters.marking.cloth_picture import ClothPicture, Fit
from nesting.exporters.marking.face_note import banner
from nesting.layouts.lay import ClothLay
from nesting.layouts.measures import efficiency
from nesting.layouts.mirroring import Face
from nesting.layouts.sequence import runs
from nesting.panels.panel import Panel
from nesting.units import Limit, format_length

_MARGIN = 10.0
_HEAD = 17.0
_BANNER = 13.0

#: Room at the left of the lay for the dimension of its width.
_LEFT = 9.0

#: The list of panels: height of its capitals and of a line, width of a column, and most of
#: the page that it may take.
_LETTERS = 2.0
_LINE = 4.0
_COLUMN = 88.0
_MOST_LIST = 0.3

_THIN = Look(0.2, 0.3)


def wall_plan(lay: ClothLay, order: str, units: str, face: Face = Face.UP) -> bytes:
    """The lay on one piece of cloth as a PDF of one page, drawn as it lies on the table."""
    picture = ClothPicture(lay, units, face)
    series = INCH_SERIES if units == "in" else A_SERIES
    for paper in (each.landscape for each in series):
        box = _box(paper, picture, face)
        fit = picture.fit(box[2] - box[0], box[3] - box[1])
        if picture.readable(fit, LEAST_HEIGHT_MM):
            break
    marks = (
        *_head(picture, order, paper, fit, face),
        *picture.marks((box[0], box[3]), fit),
        *_width(picture, (box[0], box[3]), fit),
        *_list(picture, paper),
    )
    pages = [Page(paper.width, paper.height, marks), *_list_pages(picture, order, paper)]
    return pdf.write(f"{order}: lay plan for {lay.title}", pages)


def printed_names(lay: ClothLay) -> tuple[str, ...]:
    """The names printed for a lay: those of its cloth and piece, flaws, items and panels."""
    panels = (name for panel in lay.panels for name in (panel.item, panel.name))
    return (lay.title, *(flaw.what for flaw in lay.on.flaws), *panels)


def _box(paper: Paper, picture: ClothPicture, face: Face) -> tuple[float, float, float, float]:
    """Where the lay may be drawn."""
    top = paper.height - _MARGIN - _HEAD - (_BANNER if face is Face.DOWN else 0.0)
    low = _MARGIN + _list_height(picture, paper) + 4
    return _MARGIN + _LEFT, low, paper.width - _MARGIN, top


def _head(picture: ClothPicture, order: str, paper: Paper, fit: Fit, face: Face) -> Iterator[Mark]:
    lay, units = picture.lay, picture.units
    top, right = paper.height - _MARGIN, paper.width - _MARGIN
    title = f"{order}: lay plan for {lay.title}"
    yield Words((_MARGIN, top - 3), 4.2, shortened(title, 4.2, right - _MARGIN - 50))
    yield Words((right, top - 3), 3.2, f"scale 1 : {fit.scale:g}", Side.RIGHT)
    facts = (
        f"width {format_length(lay.cloth.width, units)}",
        *_usable_width(picture),
        f"length of the lay plan {format_length(lay.used_length, units)}",
        _cloth_needed(lay, units),
        f"{len(lay.placed)} panels",
        f"fabric utilisation {100 * efficiency(lay):.1f} %",
    )
    words = shortened("   ·   ".join(facts), 2.2, right - _MARGIN)
    yield Words((_MARGIN, top - 10.5), 2.2, words, grey=0.15)
    if face is Face.DOWN:
        yield from banner((_MARGIN, top - _HEAD - _BANNER + 4), right - _MARGIN)


def _usable_width(picture: ClothPicture) -> Iterator[str]:
    """The width between the selvedges where it is least; a piece with an outline has none."""
    lay = picture.lay
    if not lay.on.outline:
        lost = lay.cloth.width - min(section.width for section in picture.cloth.sections)
        least = "least usable width" if lost else "usable width"
        yield f"{least} {format_length(lay.cloth.usable_width - lost, picture.units)}"


def _cloth_needed(lay: ClothLay, units: str) -> str:
    if lay.on.length is None:
        return f"length to buy {format_length(lay.buy_length, units)}"
    return f"length of the piece {format_length(lay.cloth_length, units)}"


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
    """The facts about each panel that lies there, its numbers, and what is not sound."""
    numbers: dict[tuple[str, str], list[int]] = {}
    for number, placed in enumerate(picture.placed, start=1):
        numbers.setdefault((placed.panel.item, placed.panel.name), []).append(number)
    rows = []
    for panel in (panel for panel in picture.lay.panels if _lies(panel, numbers)):
        length, height = (
            format_length(extent, picture.units, Limit.AT_LEAST)
            for extent in (panel.cut.length, panel.cut.height)
        )
        found = runs(numbers[panel.item, panel.name])
        rows.append(f"{panel.item} / {panel.name}: {found}   ({length} × {height})")
    return [*rows, *picture.unsound]


def _lies(panel: Panel, numbers: dict[tuple[str, str], list[int]]) -> bool:
    return (panel.item, panel.name) in numbers


def _columns(paper: Paper) -> int:
    return max(1, int((paper.width - 2 * _MARGIN) // _COLUMN))


def _list_rows(picture: ClothPicture, paper: Paper) -> list[list[str]]:
    """The rows of the list in lines as wide as a column; what continues a row is set in."""
    room = (paper.width - 2 * _MARGIN) / _columns(paper) - 4
    return [
        [
            text if i == 0 else f"   {text}"
            for i, text in enumerate(wrapped(row, _LETTERS, room - 4))
        ]
        for row in _rows(picture)
    ]


def _filled(rows: list[list[str]], down: int) -> list[list[str]]:
    """Columns of at most ``down`` lines; only a row longer than a column is divided."""
    columns: list[list[str]] = [[]]
    for row in rows:
        if columns[-1] and len(columns[-1]) + len(row) > down:
            columns.append([])
        for text in row:
            if len(columns[-1]) == down:
                columns.append([])
            columns[-1].append(text)
    return columns


def _list_height(picture: ClothPicture, paper: Paper) -> float:
    """Height of the list at the foot of the page; 0 where it is too long for that."""
    rows, most = _list_rows(picture, paper), int(_MOST_LIST * paper.height // _LINE)
    fits = (n for n in range(1, most + 1) if len(_filled(rows, n)) <= _columns(paper))
    return _LINE * next(fits, 0)


def _list(picture: ClothPicture, paper: Paper) -> Iterator[Mark]:
    """The panels with their numbers, in columns at the foot of the page."""
    down = round(_list_height(picture, paper) / _LINE)
    if down:
        columns = _filled(_list_rows(picture, paper), down)
        yield from _in_columns(columns, paper, _MARGIN + down * _LINE)


def _list_pages(picture: ClothPicture, order: str, paper: Paper) -> Iterator[Page]:
    """The pages of a list that is too long for the foot of the first."""
    if _list_height(picture, paper):
        return
    top = paper.height - _MARGIN - _HEAD
    columns = _filled(_list_rows(picture, paper), int((top - _MARGIN) // _LINE))
    title = f"{order}: {picture.lay.title}, list of panels"
    for start in range(0, len(columns), _columns(paper)):
        marks = _in_columns(columns[start : start + _columns(paper)], paper, top)
        head = Words((_MARGIN, paper.height - _MARGIN - 3), 4.2, title)
        yield Page(paper.width, paper.height, (head, *marks))


def _in_columns(columns: list[list[str]], paper: Paper, top: float) -> Iterator[Mark]:
    """Columns of lines side by side, from a height on the page downward."""
    wide = (paper.width - 2 * _MARGIN) / _columns(paper)
    for column, lines in enumerate(columns):
        for i, text in enumerate(lines):
            at = (_MARGIN + column * wide, top - (i + 0.5) * _LINE)
            yield Words(at, _LETTERS, text, grey=0.1)
