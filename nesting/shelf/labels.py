"""Labels for pieces on the shelf: number, cloth, size, shade and place, and a code for a phone."""

from collections.abc import Iterator, Sequence
from typing import Final

from nesting.drawings.print import pdf
from nesting.drawings.print.code import code_marks
from nesting.drawings.print.page import Look, Mark, Page, Point, Words, rectangle
from nesting.drawings.print.paper import desk_paper
from nesting.drawings.print.typeface import LEADING, fitted, shortened
from nesting.shelf.piece import ShelfPiece
from nesting.units import format_length

#: Size of a label (mm), with room for a pin or a string at its left end.
_WIDTH, _HEIGHT = 95.0, 52.0

_ACROSS: Final = 2
_INSET: Final = 4.0
_CODE: Final = 34.0
_CUT: Final = Look(0.15, 0.5, (2, 2))


def write_labels(pieces: Sequence[ShelfPiece], units: str) -> bytes:
    """A label for each piece as a PDF, to be cut along the dashed lines."""
    paper = desk_paper(units)
    down = int((paper.height - 16) // _HEIGHT)
    left, top = (paper.width - _ACROSS * _WIDTH) / 2, (paper.height + down * _HEIGHT) / 2
    pages = []
    for start in range(0, len(pieces), _ACROSS * down):
        marks: list[Mark] = []
        for n, piece in enumerate(pieces[start : start + _ACROSS * down]):
            row, column = divmod(n, _ACROSS)
            corner = (left + column * _WIDTH, top - (row + 1) * _HEIGHT)
            marks += _label(piece, corner, units)
        pages.append(Page(paper.width, paper.height, tuple(marks)))
    return pdf.write("Labels for the shelf", pages)


def code_text(piece: ShelfPiece, units: str) -> str:
    """What a phone shows: name, cloth, size and shade, a line each."""
    shade = piece.piece.shade
    lines = [piece.name, piece.piece.cloth, size(piece, units).replace("×", "x")]
    return "\n".join([*lines, *([f"shade {shade}"] if shade else [])])


def size(piece: ShelfPiece, units: str) -> str:
    """Length and width in words."""
    length, width = (format_length(n, units) for n in (piece.piece.length, piece.piece.width))
    number = length.removesuffix(f" {units}")
    return f"{number} × {width}{', shaped' if piece.piece.outline else ''}"


def _label(piece: ShelfPiece, at: Point, units: str) -> Iterator[Mark]:
    x, y = at
    yield rectangle(x, y, _WIDTH, _HEIGHT, _CUT)
    room = _WIDTH - _CODE - 2 * _INSET
    text, top = x + _INSET, y + _HEIGHT
    yield Words((text, top - 9), 7, shortened(piece.label, 7, room))
    height, lines = fitted(piece.piece.cloth, 3.6, room, 12)
    for n, line in enumerate(lines):
        yield Words((text, top - 19 - n * LEADING * height), height, line)
    facts = {"shade": piece.piece.shade, "place": piece.piece.place, "since": piece.piece.since}
    told = [size(piece, units), *(f"{key} {value}" for key, value in facts.items() if value)]
    for n, line in enumerate(told):
        yield Words((text, y + 18.5 - n * 4.6), 2.6, shortened(line, 2.6, room))
    yield from code_marks(code_text(piece, units), (x + _WIDTH - _CODE - 2, y + 9), _CODE)
