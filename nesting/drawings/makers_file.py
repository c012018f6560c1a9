"""Reads a maker's own file in any format: lines to be cut, or pattern pieces."""

from pathlib import Path
from typing import Final, NoReturn

from nesting.drawings.dxf import shapes as dxf_shapes
from nesting.drawings.pieces import reader as piece_dxf_reader
from nesting.drawings.pieces.reader import ReadPiece
from nesting.drawings.strokes import StrokeDrawing
from nesting.drawings.svg import shapes as svg_shapes
from nesting.errors import Fault, OrderError

#: Larger files are not drawings of a few panels, and take minutes to read.
MOST_BYTES: Final = 16 * 2**20

_FORMATS: Final = "save the drawing as text DXF or as plain SVG"


def read(path: Path, unit: str | None) -> StrokeDrawing | tuple[ReadPiece, ...]:
    """The contents of a file, whose format is recognised by its content, not its name.

    ``unit`` is its unit (mm, cm, m, in) where the file does not state it.

    Raises
    ------
    OrderError
        When the file cannot be read, with the reason.
    """
    data = _bytes(path)
    if data.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"<") or data.startswith(
        (b"\xff\xfe", b"\xfe\xff")
    ):
        return svg_shapes.read(data, unit)
    document = dxf_shapes.open_document(data)
    try:
        if piece_dxf_reader.holds_pieces(document):
            return piece_dxf_reader.read(document, unit)
        return dxf_shapes.read(document, unit)
    except OrderError:
        raise
    except Exception as error:  # a broken entity may make the library raise anything
        cause = f"{type(error).__name__}: {error}"[:120]
        _refuse("must be a complete text DXF file", cause, _FORMATS)


def _bytes(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        _refuse("must be a file that can be read", error.strerror or "", "check its permissions")
    if len(data) > MOST_BYTES:
        rule = f"must not be larger than {MOST_BYTES // 2**20} MB"
        _refuse(rule, "", "remove everything but the outlines of the panels")
    if not data.strip():
        _refuse("must not be empty", "", _FORMATS)
    if data.startswith(b"\x1f\x8b"):
        _refuse("must not be compressed", "a gzip file", "unpack it, or " + _FORMATS)
    return data


def _refuse(rule: str, value: str, remedy: str) -> NoReturn:
    raise OrderError([Fault("the drawing", rule, value, remedy)])
