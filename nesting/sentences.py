"""Words with lengths in them, for readers of whom each has a unit of their own.

Whoever finds something wrong knows millimetres alone; whoever shows it knows
the unit. Between them a length stays a length, with the side on which it is a
limit: as text it goes to a mark on the tape that is itself allowed.
"""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from nesting.units import BARE_UNITS, GRID_PER_MM, Limit, mixed_number, whole_marks

#: Marks in each unit: tenths of a millimetre, sixteenths of an inch.
_MARKS: Final = {"mm": 10, "cm": 100, "in": 16}

#: Parts in which lengths are shown that lie between marks: thousandths.
_FINE: Final = 1000


@dataclass(frozen=True, slots=True)
class Length:
    """A length in millimetres, and on which side of it others are allowed if it is a limit.

    ``otherwise_mm`` is the limit for whoever has no mark at ``mm``, where what lies
    between the two is not allowed.
    """

    mm: float
    limit: Limit | None = None
    otherwise_mm: float | None = None

    def in_unit(self, unit: str) -> str:
        """Text of it with its unit."""
        return f"{self.number(unit)} {unit}"

    def number(self, unit: str) -> str:
        """How many of a unit it is.

        A limit stands on a mark, another length too where it falls on one;
        else both have three decimals at most.
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
    """Whether nobody can tell two numbers apart that have six decimals."""
    return abs(one - other) < Fraction(1, 10**6)


def _on_mark(marks: int, unit: str) -> str:
    if unit != "in":
        return _decimal(marks, _MARKS[unit])
    shown = mixed_number(Fraction(abs(marks), _MARKS[unit]))
    return f"-{shown}" if marks < 0 else shown


def _decimal(parts: int, whole: int) -> str:
    """So many parts of a whole, without zeros behind."""
    return f"{(Decimal(parts) / whole).normalize():f}" if parts else "0"


@dataclass(frozen=True, slots=True)
class Lengths:
    """Lengths that share one unit; ``form`` has a ``{}`` for each: ``({}, {})``."""

    form: str
    lengths_mm: tuple[float, ...]

    def in_unit(self, unit: str) -> str:
        """Text of them with their unit."""
        numbers = (Length(each).number(unit) for each in self.lengths_mm)
        return f"{self.form.format(*numbers)} {unit}"


@dataclass(frozen=True, slots=True)
class Sentence:
    """Words in which each ``{}`` stands for one of the parts."""

    words: str
    parts: "tuple[Wording, ...]"

    def in_unit(self, unit: str) -> str:
        """Text of it, all lengths in one unit."""
        return self.words.format(*(in_unit(part, unit) for part in self.parts))


#: What can be shown to somebody who works in mm, cm or in.
Wording = str | Length | Lengths | Sentence


def in_unit(wording: Wording, unit: str) -> str:
    """Text of a wording, its lengths in mm, cm or in."""
    return wording if isinstance(wording, str) else wording.in_unit(unit)


def at_most(length_mm: float, otherwise_mm: float | None = None) -> Length:
    """The greatest length that is allowed; ``otherwise_mm`` as of `Length`."""
    return Length(length_mm, Limit.AT_MOST, otherwise_mm)


def at_least(length_mm: float) -> Length:
    """The least length that is allowed."""
    return Length(length_mm, Limit.AT_LEAST)


def less_than(length_mm: float) -> Length:
    """The least length that is too great."""
    return Length(length_mm, Limit.LESS_THAN)


def more_than(length_mm: float) -> Length:
    """The greatest length that is too small."""
    return Length(length_mm, Limit.MORE_THAN)


def point(at_mm: tuple[float, float]) -> Lengths:
    """A point: ``(38, 12.7) mm``."""
    return Lengths("({}, {})", at_mm)
