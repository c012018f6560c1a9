"""Text that contains lengths, for readers who work in different units.

The code that finds a fault knows only millimetres; the code that shows it
knows the reader's unit. In between, a length stays a length and records on
which side it is a limit: shown as text, it is rounded to a mark on the tape
that is itself allowed.
"""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from nesting.units import BARE_UNITS, GRID_PER_MM, Limit, mixed_number, whole_marks

#: Marks in each unit: tenths of a millimetre, sixteenths of an inch.
_MARKS: Final = {"mm": 10, "cm": 100, "in": 16}

#: Lengths that lie between marks are shown in thousandths.
_FINE: Final = 1000


@dataclass(frozen=True, slots=True)
class Length:
    """A length in millimetres; if it is a limit, also which side of it is allowed.

    ``otherwise_mm`` is the limit to show in a unit that has no mark at ``mm``,
    where lengths between the two are not allowed.
    """

    mm: float
    limit: Limit | None = None
    otherwise_mm: float | None = None

    def in_unit(self, unit: str) -> str:
        """The length as text with its unit."""
        return f"{self.number(unit)} {unit}"

    def number(self, unit: str) -> str:
        """The number of units, as text.

        A limit is rounded to a mark on the tape, and any other length that
        falls on a mark is shown as that mark; everything else has at most
        three decimals.
        """
        # its shortest decimal: 12.7 is half an inch, its binary neighbour is less
        length = Fraction(repr(float(self.mm))) * GRID_PER_MM / BARE_UNITS[unit]
        marks = whole_marks(length * _MARKS[unit], self.limit)
        on_mark = _same(Fraction(marks, _MARKS[unit]), length)
        if self.otherwise_mm is not None and not on_mark:
            return Length(self.otherwise_mm, self.limit).number(unit)
        if marks and (self.limit or on_mark):
            return _on_mark(marks, unit)
        return _decimal(whole_marks(length * _FINE, self.limit), _FINE)


def _same(one: Fraction, other: Fraction) -> bool:
    """Whether two numbers are equal to six decimals."""
    return abs(one - other) < Fraction(1, 10**6)


def _on_mark(marks: int, unit: str) -> str:
    if unit != "in":
        return _decimal(marks, _MARKS[unit])
    shown = mixed_number(Fraction(abs(marks), _MARKS[unit]))
    return f"-{shown}" if marks < 0 else shown


def _decimal(parts: int, whole: int) -> str:
    """The quotient of parts and whole, without trailing zeros."""
    return f"{(Decimal(parts) / whole).normalize():f}" if parts else "0"


@dataclass(frozen=True, slots=True)
class Lengths:
    """Lengths that share one unit; ``form`` has a ``{}`` for each: ``({}, {})``."""

    form: str
    lengths_mm: tuple[float, ...]

    def in_unit(self, unit: str) -> str:
        """The lengths as text with their unit."""
        numbers = (Length(each).number(unit) for each in self.lengths_mm)
        return f"{self.form.format(*numbers)} {unit}"


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence in which each ``{}`` stands for one of the parts."""

    words: str
    parts: "tuple[Wording, ...]"

    def in_unit(self, unit: str) -> str:
        """The sentence as text, with all lengths in one unit."""
        return self.words.format(*(in_unit(part, unit) for part in self.parts))


#: Anything that can be shown in mm, cm or in.
Wording = str | Length | Lengths | Sentence


def in_unit(wording: Wording, unit: str) -> str:
    """A wording as text, with its lengths in mm, cm or in."""
    return wording if isinstance(wording, str) else wording.in_unit(unit)


def at_most(length_mm: float, otherwise_mm: float | None = None) -> Length:
    """The greatest length that is allowed; ``otherwise_mm`` as in `Length`."""
    return Length(length_mm, Limit.AT_MOST, otherwise_mm)


def at_least(length_mm: float) -> Length:
    """The least length that is allowed."""
    return Length(length_mm, Limit.AT_LEAST)


def less_than(length_mm: float) -> Length:
    """A limit that lengths must stay below."""
    return Length(length_mm, Limit.LESS_THAN)


def more_than(length_mm: float) -> Length:
    """A limit that lengths must exceed."""
    return Length(length_mm, Limit.MORE_THAN)


def point(at_mm: tuple[float, float]) -> Lengths:
    """A point: ``(38, 12.7) mm``."""
    return Lengths("({}, {})", at_mm)
