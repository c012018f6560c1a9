"""The integer grid and the units people work in.

Inside the library every length is a whole number of grid units of 0.01 mm
and carries no unit in its name; at the edges a length in millimetres is
called ``..._mm``.
"""

import math
from collections.abc import Iterable
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from typing import Final

GRID_PER_MM: Final = 100

#: Grid units in each unit that an order may name; inch exact since 1959
#: (international yard and pound agreement: 1 yd = 0.9144 m).
MM: Final = GRID_PER_MM
CM: Final = 10 * MM
M: Final = 1000 * MM
IN: Final = 2540
FT: Final = 12 * IN
YD: Final = 36 * IN

#: No length in an order may exceed this: 1 km keeps every product of two
#: coordinates far inside 64 bits.
LARGEST: Final = 1000 * M

#: The units that a number without a unit may be in.
BARE_UNITS: Final = {"mm": MM, "cm": CM, "in": IN}


class Limit(Enum):
    """The side of a length on which other lengths are allowed."""

    AT_MOST = "at most"
    LESS_THAN = "less than"
    AT_LEAST = "at least"
    MORE_THAN = "more than"


def to_grid(length_mm: float) -> int:
    """Nearest grid length of a length in millimetres."""
    return round(length_mm * GRID_PER_MM)


def to_mm(length: float) -> float:
    """Millimetres of a length in grid units."""
    return length / GRID_PER_MM


def points_to_mm(points: Iterable[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Points in millimetres of points in grid units."""
    return tuple((to_mm(x), to_mm(y)) for x, y in points)


def format_length(length: int, unit: str, limit: Limit | None = None) -> str:
    """Text of a grid length for people who work in ``unit``, to a mark on their tape.

    Whole millimetres, centimetres with one decimal, inches in sixteenths
    (``25 1/2 in``). A limit is rounded to the nearest mark that is itself allowed,
    any other length to the nearest mark, or up if it is midway between two.

    Raises
    ------
    ValueError
        When the unit is not mm, cm or in.
    """
    if unit not in BARE_UNITS:
        msg = f"lengths are shown in mm, cm or in, not in {unit!r}"
        raise ValueError(msg)
    marks = whole_marks(length / mark(unit), limit)
    sign, count = "-" if marks < 0 else "", abs(marks)
    if unit == "in":
        return f"{sign}{mixed_number(Fraction(count, 16))} in"
    return f"{sign}{count if unit == 'mm' else Decimal(count).scaleb(-1)} {unit}"


def format_roundly(length: int, unit: str) -> str:
    """Text of a grid length that need not be exact: whole centimetres, or half inches.

    Below two of them it is as exact as any other length.
    """
    step = IN // 2 if unit == "in" else CM
    whole = round(length / step)
    return format_length(whole * step if whole > 1 else length, unit)


def mark(unit: str) -> Fraction:
    """Grid units between two marks of a tape: a millimetre, or a sixteenth of an inch."""
    return Fraction(IN, 16) if unit == "in" else Fraction(MM)


def format_finely(length: int, unit: str) -> str:
    """Text of a grid length in decimals of ``unit`` that tell any two grid lengths apart."""
    parts = {"mm": 2, "cm": 3, "in": 4}[unit]
    count = whole_marks(Fraction(length * 10**parts, BARE_UNITS[unit]), None)
    return f"{Decimal(count).scaleb(-parts).normalize():f} {unit}"


def whole_marks(marks: Fraction, limit: Limit | None) -> int:
    """The nearest whole number of marks; for a limit, the nearest on its allowed side."""
    if limit in (Limit.AT_MOST, Limit.LESS_THAN):
        return math.floor(marks)
    if limit in (Limit.AT_LEAST, Limit.MORE_THAN):
        return math.ceil(marks)
    half = Fraction(1, 2)
    return math.floor(marks + half) if marks >= 0 else math.ceil(marks - half)


def mixed_number(number: Fraction) -> str:
    """A number of at least 0 as on a tape in inches: ``25 1/2``."""
    whole, part = divmod(number, 1)
    return " ".join(str(each) for each in (whole, part) if each) or "0"
