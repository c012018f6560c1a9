"""Full-size templates on sheets of A4 or Letter, with a map of the sheets.

The first page has two squares to be measured and what to do; maps of all
templates follow, then the sheets.
"""

from collections.abc import Iterator, Sequence

from nesting.drawings.print import pdf
from nesting.drawings.print.page import Look, Mark, Page, Point, Stroke, Words, line, rectangle
from nesting.drawings.print.page import Side as At
from nesting.drawings.print.typeface import respellings, shortened, wrapped
from nesting.exporters.templates.scale_check import INCHES_MM, METRIC_MM, inch_square, metric_square
from nesting.exporters.templates.sheets import sheet_page
from nesting.exporters.templates.template import halves, label_lines, whole
from nesting.exporters.templates.tiling import DESK, Division, Printing, divided
from nesting.geometry.symmetry import Axis
from nesting.panels.panel import Panel
from nesting.units import Limit, format_length, to_grid

#: Maps on one page, and the least height of the letters on them.
_MAPS_DOWN = 4
_MAPS_ACROSS = 2
_SHEET_LINE = Look(0.15, 0.55)
_SHEET_FILL = Look(0.0, fill=0.94)
_OUTLINE = Look(0.35)

#: Most names that the first page tells to be spelled otherwise than in the order.
_NAMES = 8

_STEPS = (
    "Print at actual size (100 per cent). Switch off “fit to page”.",
    "Measure both squares, across and up. If a side is off by more than 0.5 mm (1/64 in), do not "
    "use the sheets: correct the printer settings and print again.",
    "Each sheet has a name, such as B2: see the maps on the next pages.",
    "Trim each sheet along its dashed lines. Lay it over the sheets to its left and above it, up "
    "to their thin lines, so that the diamonds meet. Glue or tape.",
    "Measure the finished template. It must have the size given on its map.",
    "Cut on the heavy line: the seam allowance is inside it.",
)
_FOLD_STEP = (
    "A template with a fold is one half of its panel. Fold the cloth, lay the dash-dotted edge on "
    "the fold, and cut through both layers."
)


def templates(panels: Sequence[Panel], order: str, units: str, printing: Printing = DESK) -> bytes:
    """Full-size templates of panels as a PDF of sheets, one template after the other.

    Symmetric panels are printed as halves where ``printing`` asks for it and
    that saves sheets.
    """
    divisions = [_best(panel, units, printing) for panel in panels]
    maps = -(-len(divisions) // (_MAPS_DOWN * _MAPS_ACROSS))
    last = 1 + maps + sum(len(division.sheets) for division in divisions)
    pages = [_first_page(panels, order, printing, folded=any(d.template.fold for d in divisions))]
    pages += _map_pages(divisions, order, units, printing, maps)
    for division in divisions:
        for sheet in division.sheets:
            pages.append(sheet_page(division, sheet, order, units, len(pages) + 1, last))
    return pdf.write(f"{order}: templates", pages)


def _best(panel: Panel, units: str, printing: Printing) -> Division:
    """The template on fewest sheets; a whole one wins a tie with a half."""
    kinds = [whole(panel, units), *(halves(panel, units) if printing.halves else ())]
    return min((divided(each, printing) for each in kinds), key=lambda d: len(d.sheets))


def _first_page(panels: Sequence[Panel], order: str, printing: Printing, *, folded: bool) -> Page:
    paper, margin = printing.paper, max(printing.margin, 10.0)
    top = paper.height - margin
    marks: list[Mark] = [
        Words((margin, top - 4), 5.0, shortened(order, 5.0, paper.width - 2 * margin)),
        Words((margin, top - 12.5), 2.6, "Full-size templates", grey=0.3),
    ]
    low = top - 19.5 - METRIC_MM
    marks += metric_square((margin, low))
    marks += inch_square((margin, low - 7.5 - INCHES_MM))
    left = margin + INCHES_MM + 7
    steps = (*_STEPS, _FOLD_STEP) if folded else _STEPS
    notes = _spelling_notes(panels, order)
    marks += _numbered((*steps, *notes), left, top - 21, paper.width - margin - left)
    return Page(paper.width, paper.height, tuple(marks))


def _numbered(steps: Sequence[str], x: float, y: float, room: float) -> Iterator[Mark]:
    """Numbered paragraphs in a column."""
    for number, step in enumerate(steps, start=1):
        yield Words((x, y), 2.3, f"{number}")
        for text in wrapped(step, 2.1, room - 6):
            yield Words((x + 6, y), 2.1, text)
            y -= 4.3
        y -= 2.6


def _map_pages(
    divisions: Sequence[Division], order: str, units: str, printing: Printing, maps: int
) -> Iterator[Page]:
    """Maps of all templates; ``maps`` is how many pages they take, after the first."""
    paper, margin = printing.paper, max(printing.margin, 10.0)
    width = (paper.width - 2 * margin) / _MAPS_ACROSS
    height = (paper.height - 2 * margin - 9) / _MAPS_DOWN
    number = 2 + maps
    for start in range(0, len(divisions), _MAPS_DOWN * _MAPS_ACROSS):
        marks: list[Mark] = [
            Words((margin, paper.height - margin - 2), 2.6, "Map of the sheets"),
            Words(
                (paper.width - margin, paper.height - margin - 2), 1.8, order, At.RIGHT, grey=0.3
            ),
        ]
        for place, division in enumerate(divisions[start : start + _MAPS_DOWN * _MAPS_ACROSS]):
            down, across = divmod(place, _MAPS_ACROSS)
            corner = (margin + across * width, paper.height - margin - 9 - (down + 1) * height)
            marks += _map(division, units, number, corner, (width - 6, height - 5))
            number += len(division.sheets)
        yield Page(paper.width, paper.height, tuple(marks))


def _map(
    division: Division, units: str, first: int, corner: Point, size: tuple[float, float]
) -> Iterator[Mark]:
    """One map: what the template is, its size, its pages, and its sheets drawn small."""
    (x, y), (width, height) = corner, size
    template, top = division.template, y + height
    yield line((x, top + 2.5), (x + width, top + 2.5), _SHEET_LINE)
    yield Words((x, top - 1.5), 2.3, shortened(template.name, 2.3, width))
    size_words = " × ".join(
        format_length(to_grid(extent), units, Limit.AT_LEAST)
        for extent in (template.length, template.height)
    )
    half = {None: "whole", Axis.ALONG: "half, fold along the grain"}
    kind = half.get(template.fold, "half, fold across the grain")
    last = first + len(division.sheets) - 1
    pages = f"page {first}" if last == first else f"pages {first} to {last}"
    _, copies, allowance, grain = label_lines(template.panel, units, template.fold)
    rows = (f"{size_words}, {kind}, {pages}", copies, f"{allowance}  ·  {grain}")
    for i, row in enumerate(rows):
        yield Words((x, top - 5.7 - 3.6 * i), 1.7, shortened(row, 1.7, width), grey=0.2)
    yield from _small(division, (x, top - 15.5), (width, height - 17))


def _small(division: Division, corner: Point, room: tuple[float, float]) -> Iterator[Mark]:
    """The template and its sheets under an upper left corner, as large as the room allows."""
    wide, tall = division.size
    across, up = division.pitch
    grid = ((division.columns - 1) * across + wide, (division.rows - 1) * up + tall)
    scale = min(room[0] / grid[0], room[1] / grid[1])
    left, low = division.corner

    def on_map(x: float, y: float) -> Point:
        return corner[0] + (x - left) * scale, corner[1] + (y - low - grid[1]) * scale

    for sheet in division.sheets:
        least = on_map(*sheet.at)
        yield rectangle(*least, wide * scale, tall * scale, _SHEET_FILL)
    for sheet in division.sheets:
        least = on_map(*sheet.at)
        yield rectangle(*least, wide * scale, tall * scale, _SHEET_LINE)
        letters = min(3.0, tall * scale / 3, wide * scale / 4)
        middle = (least[0] + wide * scale / 2, least[1] + tall * scale / 2)
        yield Words(middle, letters, sheet.name, At.MIDDLE, grey=0.45)
    ring = tuple(on_map(*point) for point in division.template.ring)
    yield Stroke(ring, _OUTLINE, closed=True)


def _spelling_notes(panels: Sequence[Panel], order: str) -> list[str]:
    """Notes on names that are spelled differently here than in the order."""
    names = [order, *(name for p in panels for name in (p.item, p.name, p.cloth))]
    others = list(dict.fromkeys(respellings(names).values()))
    if not others:
        return []
    shown, more = ", ".join(f"“{other}”" for other in others[:_NAMES]), len(others) - _NAMES
    rest = f" and {more} more" if more > 0 else ""
    return [f"These names are spelled with the letters that can be printed here: {shown}{rest}."]
