"""Marking out by hand: where every panel lies, measured from two edges of the cloth."""

import csv
import io
from collections.abc import Iterator
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from nesting.exporters.marking.face_note import FACE_DOWN
from nesting.layouts.lay import OrderLay, PlacedPanel
from nesting.layouts.mirroring import Face, marking_sequence
from nesting.units import BARE_UNITS, IN, Limit, whole_marks

#: Decimals of a length in each unit: to a tenth of a millimetre or finer.
_DECIMALS = {"mm": 1, "cm": 2, "in": 3}

#: Parts of an inch in which a fraction counts.
_SIXTEENTHS = 16

#: A spreadsheet takes text that begins with one of these for a formula (CP).
_FORMULA_STARTS = ("=", "+", "-", "@")

#: How the cloth lies, in the words of its column.
_LIES = {Face.UP: "face up", Face.DOWN: FACE_DOWN}

_COLUMNS = ("cloth", "piece", "cloth lies", "number", "item", "panel", "copy", "part", "turn (deg)")
_MEASURES = (
    "from cut end, nearest",
    "from cut end, farthest",
    "from lower edge, nearest",
    "from lower edge, farthest",
    "length",
    "width",
)


class Separator(StrEnum):
    """What stands between two cells of a table."""

    COMMA = ","
    SEMICOLON = ";"

    @property
    def decimal_sign(self) -> str:
        """The decimal sign of the countries whose spreadsheets separate cells so."""
        return "," if self is Separator.SEMICOLON else "."


def marking_out(
    lay: OrderLay, units: str, face: Face = Face.UP, separator: Separator = Separator.COMMA
) -> bytes:
    """A table (CSV, UTF-8) with one row for each panel, in the order of marking.

    It names the piece of cloth that the panel lies on: ``roll`` for what is bought.
    Where an order is planned again after cutting has begun, one more column says
    which panels are new where they lie.

    Lengths are in ``units``, which their headings name: decimal numbers for
    ``mm`` and ``cm``; for ``in`` fractions such as ``25 1/2`` (``0 1/2``
    below one inch: a bare ``1/2`` would become a date in a spreadsheet), each
    with a column of decimal inches beside it. Length is measured along the
    roll, width across it. With its face down the cloth is seen from its
    wrong side: distances from the lower edge and turns are those of the
    mirrored lay, and every row says so. Sizes are rounded up, and distances
    away from the panel, so that none is told smaller than it is cut.

    A spreadsheet opens the table as it is meant: a byte order mark tells the
    encoding, decimals have the sign that goes with ``separator``, and text that
    looks like a formula begins with an apostrophe.
    """
    stream = io.StringIO(newline="")
    rows = csv.writer(stream, delimiter=separator)
    again = lay.again is not None
    rows.writerow([*_headings(units), *(["planned again"] if again else [])])
    for cloth_lay in lay.cloths:
        for number, placed in enumerate(marking_sequence(cloth_lay, face), start=1):
            lies = (cloth_lay.cloth.name, cloth_lay.on.name, _LIES[face])
            who = (*lies, str(number), *_who(placed))
            new = ["new" if placed.is_new else ""] if again else []
            measures = _measures(placed, units, separator.decimal_sign)
            rows.writerow([*map(_guarded, who), *measures, *new])
    return stream.getvalue().encode("utf-8-sig")


def _headings(units: str) -> list[str]:
    columns = (f"({units})", f"({units}, decimal)") if units == "in" else (f"({units})",)
    return [*_COLUMNS, *(f"{measure} {column}" for measure in _MEASURES for column in columns)]


def _who(placed: PlacedPanel) -> tuple[str, ...]:
    numbers = (placed.copy, placed.part, placed.turn)
    return (placed.panel.item, placed.panel.name, *map(str, numbers))


def _guarded(text: str) -> str:
    """Text that no spreadsheet calculates: one that looks like a formula gets an apostrophe."""
    return f"'{text}" if text.lstrip().startswith(_FORMULA_STARTS) else text


def _measures(placed: PlacedPanel, units: str, decimal_sign: str) -> Iterator[str]:
    """Distances between which the panel lies, and sizes, none of them less than it is cut."""
    near, low, far, high = placed.outline.bounds
    lower, upper = Limit.AT_MOST, Limit.AT_LEAST
    for length, side in (
        (near, lower), (far, upper), (low, lower), (high, upper),
        (far - near, upper), (high - low, upper),
    ):  # fmt: skip
        if units == "in":
            yield _fraction(length, side)
        yield _decimal(length, units, side).replace(".", decimal_sign)


def _fraction(length: int, side: Limit) -> str:
    marks = whole_marks(Fraction(length * _SIXTEENTHS, IN), side)
    whole, sixteenths = divmod(marks, _SIXTEENTHS)
    return f"{whole} {Fraction(sixteenths, _SIXTEENTHS)}" if sixteenths else str(whole)


def _decimal(length: int, units: str, side: Limit) -> str:
    decimals = _DECIMALS[units]
    parts = whole_marks(Fraction(length * 10**decimals, BARE_UNITS[units]), side)
    return str(Decimal(parts).scaleb(-decimals))
