"""Figures as people read them, in the units of the workroom."""

from decimal import Decimal
from fractions import Fraction

from nesting.units import CM, IN, MM, YD, M, format_length

#: The mark to which a length to buy is rounded up, by unit: what a tape shows.
_MARKS = {"mm": Fraction(MM), "cm": Fraction(MM), "in": Fraction(IN, 16)}

#: Millimetres and decimals of a seam's length, by unit: seams are audited more
#: closely than a tape can show.
_FINE = {"mm": (1.0, 1), "cm": (CM / MM, 2), "in": (IN / MM, 2)}


def length_to_buy(length: int, units: str) -> str:
    """A length in the workroom's units, never less than is needed."""
    mark = _MARKS[units]
    return format_length(int(-(-length // mark) * mark), units)


def length_to_use(length: int, units: str) -> str:
    """A length in the workroom's units, never more than is there."""
    mark = _MARKS[units]
    return format_length(int(length // mark * mark), units)


def by_the_shop(length: int, units: str) -> str:
    """The same length as a shop counts it, metres or yards, rounded up to hundredths."""
    unit, name = (YD, "yd") if units == "in" else (M, "m")
    return f"{Decimal(-(-length * 100 // unit)).scaleb(-2)} {name}"


def fine(length_mm: float, units: str) -> str:
    """A measured length closer than a tape shows it."""
    unit_mm, decimals = _FINE[units]
    return f"{length_mm / unit_mm:.{decimals}f} {units}"


def area(area2: int, units: str) -> str:
    """An area, given as twice its square grid units, in square metres or yards."""
    unit, name = (YD, "yd²") if units == "in" else (M, "m²")
    return f"{area2 / (2 * unit**2):.3f} {name}"


def per_cent(share: Fraction) -> str:
    """A share of one in per cent, one decimal."""
    return f"{float(100 * share):.1f} %"


def money(amount: Decimal, currency: str) -> str:
    """An amount in its currency."""
    return f"{amount} {currency}"


def counted(number: int, singular: str, plural: str | None = None) -> str:
    """A number and its noun."""
    return f"{number} {singular if number == 1 else plural or singular + 's'}"
