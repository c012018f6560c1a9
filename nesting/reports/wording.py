"""Figures as people read them, in the units of the workroom."""

from decimal import Decimal
from fractions import Fraction

from nesting.cloth.cloth import Price
from nesting.cloth.stock import ClothPiece
from nesting.units import CM, IN, MM, YD, Limit, M, format_length, mixed_number

#: Grid units between the marks of a tape, by unit: lengths to use are whole marks.
_MARKS = {"mm": Fraction(MM), "cm": Fraction(MM), "in": Fraction(IN, 16)}

#: The lengths by which cloth is priced, with the names of the units.
_SOLD_BY = {YD: "yd", M: "m"}

#: Millimetres in the unit, and decimals, of the length of a seam, by unit: seams are
#: audited more precisely than a tape can show.
_FINE = {"mm": (1.0, 1), "cm": (CM / MM, 2), "in": (IN / MM, 2)}


def length_to_buy(length: int, units: str, price: Price | None = None) -> str:
    """A length as it is asked for in the shop: never shorter than it is.

    In yards or metres where the price is for one of these, to an eighth of a yard
    (``10 1/4 yd``) where that is exact and in decimals otherwise (``1.60 m``); without
    such a price in the workroom's units.
    """
    if price and price.per == YD and length % (YD // 8) == 0:
        return f"{mixed_number(Fraction(length, YD))} yd"
    if price and price.per in _SOLD_BY:
        thousandths = Decimal(-(-length * 1000 // price.per)).scaleb(-3)
        shown = f"{thousandths:f}".removesuffix("0")
        return f"{shown} {_SOLD_BY[price.per]}"
    return length_of_cloth(length, units)


def length_of_cloth(length: int, units: str) -> str:
    """A length in the workroom's units, rounded up to a mark of the tape."""
    return format_length(length, units, Limit.AT_LEAST)


def the_other_length(length: int, units: str, price: Price | None) -> str:
    """A length to buy in the units that `length_to_buy` does not use."""
    sold = price and price.per in _SOLD_BY
    return length_of_cloth(length, units) if sold else shop_length(length, units)


def length_to_use(length: int, units: str) -> str:
    """A length in the workroom's units, rounded down to a mark of the tape."""
    mark = _MARKS[units]
    return format_length(int(length // mark * mark), units)


def length_to_cut(length: int, units: str) -> str:
    """The length of a panel in the workroom's units, rounded up: no panel is cut too small."""
    return format_length(length, units, Limit.AT_LEAST)


def shop_length(length: int, units: str) -> str:
    """A length in the units of a shop, metres or yards, rounded up to hundredths."""
    unit, name = (YD, "yd") if units == "in" else (M, "m")
    return f"{Decimal(-(-length * 100 // unit)).scaleb(-2)} {name}"


def precise_length(length_mm: float, units: str) -> str:
    """A measured length, more precise than a tape shows."""
    unit_mm, decimals = _FINE[units]
    return f"{length_mm / unit_mm:.{decimals}f} {units}"


def area(area2: int, units: str) -> str:
    """An area in square metres or yards; ``area2`` is twice the area in square grid units."""
    unit, name = (YD, "yd²") if units == "in" else (M, "m²")
    return f"{area2 / (2 * unit**2):.3f} {name}"


def per_cent(share: Fraction) -> str:
    """A share of one in per cent, with one decimal."""
    return f"{float(100 * share):.1f} %"


def money(amount: Decimal, currency: str) -> str:
    """An amount in its currency, in whole cents."""
    return f"{amount:.2f} {currency}"


def the_whole(piece: ClothPiece) -> str:
    """What shares of the cloth under a lay are shares of."""
    if piece.length is None:
        return "the bought cloth"
    return "the box around the piece" if piece.outline else "the piece"


def share_of_cloth(area2: int, whole2: int, units: str, piece: ClothPiece) -> str:
    """An area and its share of all cloth of a lay, in words; both are twice the area."""
    share = per_cent(Fraction(area2, whole2))
    return f"{area(area2, units)}, {share} of {the_whole(piece)}"


def place_on_cloth(x: int, y: int, units: str) -> str:
    """Where a least corner lies on the cloth, in words."""
    along = format_length(x, units)
    return f"{along} from the cut end, {format_length(y, units)} from the lower edge"


def count_of(number: int, singular: str, plural: str | None = None) -> str:
    """A number with its noun: 1 panel, 2 panels."""
    return f"{number} {singular if number == 1 else plural or singular + 's'}"
