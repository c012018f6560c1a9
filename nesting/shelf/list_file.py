"""A list of pieces as CSV, as spreadsheets write it."""

import csv
import io
from pathlib import Path
from typing import Final

from nesting.errors import AccessError, Fault, OrderError, written
from nesting.orders.values import nearest
from nesting.shelf.described import KEYS, Description
from nesting.shelf.piece import Piece

#: Larger files are not lists of pieces of cloth.
_MOST_BYTES: Final = 64 * 2**20

#: Most faults that are listed.
_MOST_FAULTS: Final = 50

#: Columns whose numbers may have a decimal comma.
_NUMBERS: Final = ("length", "width", "selvedge", "price")


def read_list(path: Path, unit: str) -> tuple[Piece, ...]:
    """The pieces of a list, whose first row names its columns.

    Cells are divided by commas, or by semicolons, in which case decimals may
    have commas. A number without a unit is in ``unit``; drawings are found
    from the folder of the list.

    Raises
    ------
    AccessError
        When the file cannot be read.
    OrderError
        With all faults of all rows.
    """
    text = _text(path)
    separator = ";" if ";" in text.partition("\n")[0] else ","
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    pieces, faults = list[Piece](), list[Fault]()
    try:
        head = [name.strip().lower() for name in next(reader, [])]
        _must_know(head)
        for cells in reader:
            if any(cell.strip() for cell in cells):
                piece, wrong = _piece(head, cells, path.parent, reader.line_num, unit, separator)
                pieces += [piece] if piece else []
                faults += wrong
    except csv.Error as error:
        rule = "must be a table with a quotation mark at both ends of a cell that needs them"
        faults.append(Fault("a cell", rule, str(error), "", reader.line_num))
    if len(faults) > _MOST_FAULTS:
        more = Fault("the list", f"has {len(faults) - _MOST_FAULTS} more faults")
        faults = [*faults[:_MOST_FAULTS], more]
    if not faults and not pieces:
        faults.append(Fault("the list", "must have a row for each piece", "it has none"))
    if faults:
        raise OrderError(faults)
    return tuple(pieces)


def _text(path: Path) -> str:
    try:
        with path.open("rb") as file:
            data = file.read(_MOST_BYTES + 1)
    except OSError as error:
        msg = f"{path} cannot be read: {error.strerror or error}: check its name"
        raise AccessError(msg) from error
    if len(data) > _MOST_BYTES:
        rule = f"must not be larger than {_MOST_BYTES // 2**20} MB"
        raise OrderError([Fault("the list", rule, "", "divide it")])
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        rule, remedy = "must be text in UTF-8", "save it as CSV UTF-8"
        raise OrderError([Fault("the list", rule, "", remedy)]) from error


def _must_know(head: list[str]) -> None:
    faults = [
        Fault(
            "first row", "names an unknown column", written(name), nearest(name, KEYS) or _KNOWN, 1
        )
        for name in head
        if name not in KEYS
    ]
    faults += [
        Fault("first row", "names a column twice", written(name), "take one out", 1)
        for name in dict.fromkeys(head)
        if head.count(name) > 1
    ]
    if "cloth" not in head:
        faults.append(Fault("first row", "must name the column cloth", "", _KNOWN, 1))
    if faults:
        raise OrderError(faults)


_KNOWN: Final = f"the columns are {', '.join(KEYS)}"


def _piece(
    head: list[str], cells: list[str], folder: Path, line: int, unit: str, separator: str
) -> tuple[Piece | None, list[Fault]]:
    if len(cells) != len(head):
        rule = f"must have {len(head)} cells, as the first row"
        return None, [
            Fault("row", rule, str(len(cells)), "put a cell with the separator in quotes", line)
        ]
    said = dict(zip(head, cells, strict=True))
    if separator == ";":
        said |= {key: said[key].replace(",", ".") for key in _NUMBERS if key in said}
    row = Description(said, unit, str, folder, line)
    return row.piece(), row.faults
