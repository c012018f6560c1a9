"""What is wrong with a product's measurements, told in the unit of the order.

A product knows millimetres alone. What it says of lengths is said again in the
order's unit: a limit rounded to the side on which it is itself allowed, another
length exactly where it can be.
"""

import math
import re
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from nesting.units import BARE_UNITS, GRID_PER_MM

if TYPE_CHECKING:
    from collections.abc import Callable

_NUMBER: Final = r"-?\d+(?:\.\d+)?"

#: Lengths in millimetres: one, a size, or a point.
_LENGTHS: Final = re.compile(rf"(?P<told>{_NUMBER}(?:(?:, | × ){_NUMBER})*)(?P<end>\)?) mm\b")

#: Words that make the next length a limit: the greatest that is allowed, or the least.
_MOST: Final = re.compile(rf"(?:at most|less than|not be more than|between {_NUMBER} mm and)\D*$")
_LEAST: Final = re.compile(r"(?:at least|(?<!not be )more than|between)\D*$")

#: Parts of each unit in which limits are told: tenths of a millimetre, marks on a tape.
_PARTS: Final = {"mm": 10, "cm": 100, "in": 16}

#: Parts in which lengths are told that lie between those: thousandths.
_FINE: Final = 1000


def in_unit(text: str, unit: str) -> str:
    """A text that speaks of millimetres, in mm, cm or in."""

    def again(found: re.Match[str]) -> str:
        before = text[: found.start()]
        most, least = _MOST.search(before), _LEAST.search(before)
        way = math.floor if most else math.ceil if least else None
        numbers = re.sub(_NUMBER, lambda each: _told(each[0], unit, way), found["told"])
        return f"{numbers}{found['end']} {unit}"

    return _LENGTHS.sub(again, text)


def _told(number: str, unit: str, rounded: "Callable[[Fraction], int] | None") -> str:
    """Millimetres in another unit: on a mark where they are or, being a limit, go to one."""
    length = Fraction(number) * GRID_PER_MM / BARE_UNITS[unit]
    parts = length * _PARTS[unit]
    marks = (rounded or round)(parts)
    if marks and (rounded or marks == parts):
        return _marked(Fraction(marks, _PARTS[unit]), unit)
    fine = Decimal((rounded or round)(length * _FINE)) / _FINE
    return f"{fine.normalize():f}"


def _marked(length: Fraction, unit: str) -> str:
    """A length on a mark: inches in sixteenths, others in decimals."""
    if unit != "in":
        return f"{float(length):g}"
    whole, part = divmod(abs(length), 1)
    shown = " ".join(str(each) for each in (whole, part) if each)
    return f"-{shown}" if length < 0 else shown
