"""A square code that a phone reads (QR code, ISO/IEC 18004), as marks on a page."""

from collections.abc import Iterator
from itertools import groupby
from typing import Final

from reportlab.graphics.barcode.qrencoder import QR8bitByte, QRCode, QRErrorCorrectLevel

from nesting.drawings.print.page import Look, Point, Stroke, rectangle

#: White modules on each side that the standard asks for.
QUIET: Final = 4

_BLACK: Final = Look(0, 0, fill=0)


def modules(text: str) -> list[list[bool]]:
    """Rows of the code from the top; True is a black module. The text is stored as UTF-8.

    It can be read with 15 % of it spoiled (level M).
    """
    code = QRCode(None, QRErrorCorrectLevel.M)
    code.addData(QR8bitByte(text))
    code.make()
    return [[bool(each) for each in row] for row in code.modules]


def code_marks(text: str, at: Point, size: float) -> Iterator[Stroke]:
    """The code of a text in a square with its least corner at a point, white edge included."""
    rows = modules(text)
    step = size / (len(rows) + 2 * QUIET)
    for n, row in enumerate(rows):
        y = at[1] + size - (QUIET + n + 1) * step
        x = at[0] + QUIET * step
        for black, run in groupby(row):
            length = len(list(run)) * step
            if black:
                yield rectangle(x, y, length, step, _BLACK)
            x += length
