"""Tables on the sheets of a workbook (xlsx): how they look and how they print.

Text is never a formula, whatever it begins with. Sheets print in landscape, as
wide as the page. Equal tables give equal bytes.
"""

import datetime
import io
from collections.abc import Mapping
from dataclasses import dataclass

import xlsxwriter

from nesting.drawings.drawing import one_line

Cell = str | int | float | None

#: A fixed time of creation, so that equal lays give equal bytes.
_NO_TIME = datetime.datetime(2000, 1, 1, tzinfo=datetime.UTC).replace(tzinfo=None)

#: Sizes of paper by unit: A4, or Letter for inches (ISO/IEC 29500-1, 18.3.1.63: M).
_PAPER = {"mm": 9, "cm": 9, "in": 1}

#: Widest column, in letters.
_WIDEST = 40


@dataclass(frozen=True)
class Table:
    """Headings and the rows of cells under them; columns in ``shares`` are shown in per cent."""

    headings: tuple[str, ...]
    rows: list[tuple[Cell, ...]]
    shares: frozenset[int] = frozenset()


def write_sheets(title: str, sheets: Mapping[str, Table], units: str) -> bytes:
    """The bytes of a workbook with a table on each sheet.

    It prints on the paper of people who work in ``units``: mm, cm or in.
    """
    stream = io.BytesIO()
    with xlsxwriter.Workbook(stream, {"in_memory": True}) as book:
        book.set_properties({"title": one_line(title), "created": _NO_TIME})
        looks = _Looks(book)
        for name, table in sheets.items():
            sheet = book.add_worksheet(name)
            _set_up_pages(sheet, units)
            _write(sheet, table, looks)
    return stream.getvalue()


class _Looks:
    """The cell formats of the workbook."""

    def __init__(self, book: xlsxwriter.Workbook) -> None:
        self.heading = book.add_format({"bold": True, "bottom": 1, "text_wrap": True})
        # Quoted text stays text even after someone has edited the cell.
        self.text = book.add_format({"quote_prefix": True})
        self.number = book.add_format({"num_format": "0.00##"})
        self.share = book.add_format({"num_format": "0.0%"})


def _set_up_pages(sheet: xlsxwriter.worksheet.Worksheet, units: str) -> None:
    """Print as wide as the page, and the headings again on every page."""
    sheet.set_landscape()
    sheet.set_paper(_PAPER[units])
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)


def _write(sheet: xlsxwriter.worksheet.Worksheet, table: Table, looks: _Looks) -> None:
    """Write the headings, which stay in view, and the rows under them."""
    sheet.freeze_panes(1, 0)
    widths = [max(9, len(heading) // 2 + 2) for heading in table.headings]
    for column, heading in enumerate(table.headings):
        sheet.write_string(0, column, heading, looks.heading)
    for row, cells in enumerate(table.rows, start=1):
        for column, cell in enumerate(cells):
            _put(sheet, row, column, cell, looks, share=column in table.shares)
            widths[column] = max(widths[column], min(len(str(cell or "")) + 1, _WIDEST))
    for column, width in enumerate(widths):
        sheet.set_column(column, column, width)


def _put(
    sheet: xlsxwriter.worksheet.Worksheet,
    row: int,
    column: int,
    cell: Cell,
    looks: _Looks,
    *,
    share: bool,
) -> None:
    """Write one cell; text stays text whatever it begins with."""
    if isinstance(cell, str):
        sheet.write_string(row, column, one_line(cell), looks.text)
    elif isinstance(cell, int):
        sheet.write_number(row, column, cell)
    elif cell is not None:
        sheet.write_number(row, column, cell, looks.share if share else looks.number)
