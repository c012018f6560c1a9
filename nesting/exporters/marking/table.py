"""Marking out by hand: where every panel lies, measured from two edges of the cloth."""

import csv
import io
from fractions import Fraction

from nesting.exporters.marking.face_note import FACE_DOWN
from nesting.layouts.lay import OrderLay, PlacedPanel
from nesting.layouts.mirroring import Face, marking_sequence
from nesting.units import CM, IN, MM

#: Grid units and decimals of a length in each metric unit: to a tenth of a millimetre.
_METRIC = {"mm": (MM, 1), "cm": (CM, 2)}

#: Inches are written to the nearest sixteenth.
_SIXTEENTHS = 16

#: How the cloth lies, in the words of its column.
_LIES = {Face.UP: "face up", Face.DOWN: FACE_DOWN}

_COLUMNS = ("cloth", "cloth lies", "number", "item", "panel", "copy", "part", "turn (deg)")
_MEASURES = (
    "from cut end, nearest",
    "from cut end, farthest",
    "from lower edge, nearest",
    "from lower edge, farthest",
    "length",
    "height",
)


def marking_out(lay: OrderLay, units: str, face: Face = Face.UP) -> bytes:
    """A table (CSV, UTF-8) with one row for each panel, in the order of marking.

    Lengths are in ``units``, which their headings name: decimal numbers for
    ``mm`` and ``cm``, fractions such as ``25 1/2`` for ``in`` (``0 1/2``
    below one inch: a bare ``1/2`` would become a date in a spreadsheet).
    Length is measured along the roll, height across it. With its face down
    the cloth is seen from its wrong side: distances from the lower edge and
    turns are those of the mirrored lay, and every row says so.
    """
    stream = io.StringIO(newline="")
    rows = csv.writer(stream)
    rows.writerow([*_COLUMNS, *(f"{measure} ({units})" for measure in _MEASURES)])
    for cloth_lay in lay.cloths:
        for number, placed in enumerate(marking_sequence(cloth_lay, face), start=1):
            rows.writerow(_row((cloth_lay.cloth.name, _LIES[face], number), placed, units))
    return stream.getvalue().encode()


def _row(begun: tuple[str, str, int], placed: PlacedPanel, units: str) -> list[str]:
    near, low, far, high = placed.outline.bounds
    lengths = (near, far, low, high, far - near, high - low)
    who = (*begun, placed.panel.item, placed.panel.name, placed.copy, placed.part)
    return [*map(str, who), str(placed.turn), *(_length(value, units) for value in lengths)]


def _length(length: int, units: str) -> str:
    if units == "in":
        return _inches(length)
    unit, decimals = _METRIC[units]
    return f"{length / unit:.{decimals}f}"


def _inches(length: int) -> str:
    whole, sixteenths = divmod(round(Fraction(length * _SIXTEENTHS, IN)), _SIXTEENTHS)
    return f"{whole} {Fraction(sixteenths, _SIXTEENTHS)}" if sixteenths else str(whole)
