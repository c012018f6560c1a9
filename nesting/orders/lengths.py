"""Lengths as people write them, in orders and on the command line.

A written length is a bare number, whose unit is known from the context, or
text made of *parts*. Each part is an amount with its unit, and larger units
come first: ``5 ft 6 1/2 in``. Reading is exact: amounts are fractions until
the last step.
"""

import re
import unicodedata
from decimal import Decimal
from difflib import get_close_matches
from fractions import Fraction
from itertools import pairwise
from typing import Final, NoReturn

from nesting.errors import Fault, OrderError, written
from nesting.units import BARE_UNITS, CM, FT, GRID_PER_MM, IN, LARGEST, MM, YD, M

_METRIC: Final = {"mm": MM, "cm": CM, "m": M}
_IMPERIAL: Final = {"in": IN, "ft": FT, "yd": YD}
_UNITS: Final = {
    **_METRIC, "metre": M, "metres": M, "meter": M, "meters": M,
    **_IMPERIAL, '"': IN, "inch": IN, "inches": IN,
    "'": FT, "foot": FT, "feet": FT, "yard": YD, "yards": YD,
}  # fmt: skip

#: ``½`` and the like become `` 1/2 ``; curly and slanted marks become plain ones.
_PLAIN: Final = {
    ord(char): f" {unicodedata.normalize('NFKC', char)} ".replace("\u2044", "/")
    for char in "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
} | str.maketrans("″”′’\u2044−", "\"\"''/-")

_PART: Final = re.compile(
    r"""\s* (?: (?: (?P<whole>[0-9]+) (?:\s+|-) )? (?P<over>[0-9]+) / (?P<under>[0-9]+)
              | (?P<plain>[0-9]*\.[0-9]+|[0-9]+) )
        \s* (?P<unit>["']|[^\W\d_]+|$) \s*""",
    re.VERBOSE,
)

_LONGEST_TEXT: Final = 60
_GOOD: Final = 'write a number, or text with its unit such as "38 cm", "25 1/2 in" or "5 ft 6 in"'


def parse_length(value: object, unit: str, *, signed: bool = False) -> float:
    """Read a length as people write it, in millimetres.

    A number is in ``unit`` (mm, cm or in); text carries its own unit. Only a
    ``signed`` length, a coordinate, may be negative.

    Raises
    ------
    OrderError
        When it is not a length, or is negative, not finite or beyond `LARGEST`.
        The fault's place is ``length``; a caller that knows the key replaces it.
    """
    if isinstance(value, str):
        length = _of_text(value)
    elif isinstance(value, int | float | Decimal) and not isinstance(value, bool):
        length = _of_number(value) * BARE_UNITS[unit]
    else:
        _refuse("must be a length", value, _GOOD)
    if length < 0 and not signed:
        _refuse("must not be negative", value, "write how long it is, without a minus sign")
    if abs(length) > LARGEST:
        _refuse("must not be longer than 1 km", value, "check the number and its unit")
    return float(length / GRID_PER_MM)


def _of_number(number: float | Decimal) -> Fraction:
    """A finite number, exactly as written: 0.1 is one tenth."""
    exact = Decimal(repr(number)) if isinstance(number, float) else Decimal(number)
    if not exact.is_finite():
        _refuse("must be a finite number", number, _GOOD)
    if exact and not -20 < exact.adjusted() < 20:
        _refuse("must be a number of ordinary size", number, "check the number and its unit")
    return Fraction(exact)


def _of_text(text: str) -> Fraction:
    """Grid units of a written length; negative if it starts with a minus sign."""
    if len(text) > _LONGEST_TEXT:
        _refuse("is too long to be a length", text, _GOOD)
    plain = text.translate(_PLAIN).strip()
    unsigned = plain.removeprefix("-")
    parts: list[tuple[Fraction, int]] = []
    at = 0
    while at < len(unsigned) or not parts:
        part = _PART.match(unsigned, at)
        if part is None:
            _refuse("cannot be read as a length", text, _advice(plain))
        parts.append((_amount(part, text), _unit(part["unit"], text)))
        at = part.end()
    _must_descend(parts, text)
    length = sum((amount * unit for amount, unit in parts), Fraction(0))
    return -length if plain != unsigned else length


def _advice(plain: str) -> str:
    return "write a point, not a comma, before decimals" if "," in plain else _GOOD


def _amount(part: re.Match[str], text: str) -> Fraction:
    if part["plain"]:
        return Fraction(part["plain"])
    over, under = int(part["over"]), int(part["under"])
    if under == 0:
        _refuse("must not divide by zero", text, _GOOD)
    if part["whole"] and over >= under:
        rule = "must have a fraction of less than one"
        _refuse(rule, text, "check the fraction; twenty-five and a half is 25 1/2")
    return int(part["whole"] or 0) + Fraction(over, under)


def _unit(name: str, text: str) -> int:
    if not name:
        _refuse("must have a unit", text, "add mm, cm, m, in, ft or yd, or leave out the quotes")
    if name.lower() not in _UNITS:
        near = get_close_matches(name.lower(), _UNITS, 1)
        remedy = f"did you mean {near[0]}?" if near else "write mm, cm, m, in, ft or yd"
        _refuse(f"has an unknown unit, {name}", text, remedy)
    return _UNITS[name.lower()]


def _must_descend(parts: list[tuple[Fraction, int]], text: str) -> None:
    """Refuse parts that a reader could misread."""
    units = [unit for _, unit in parts]
    descending = all(a > b for a, b in pairwise(units))
    whole = all(amount.denominator == 1 for amount, _ in parts[:-1])
    of_one_kind = any(set(units) <= set(kind.values()) for kind in (_METRIC, _IMPERIAL))
    if not (descending and whole and of_one_kind):
        rule = "must go from the larger unit to the smaller, whole numbers first"
        _refuse(rule, text, 'write it like "5 ft 6 1/2 in" or "1 m 20 cm"')


def _refuse(rule: str, value: object, remedy: str) -> NoReturn:
    raise OrderError([Fault("length", rule, written(value), remedy)])
