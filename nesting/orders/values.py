"""The kinds of value in an order.

Each kind reads what is written, or refuses it with rule, value and remedy; its
JSON Schema tells an editor the same. Nothing is converted on the way: text
never becomes a number, and 2.0 never becomes a count.
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from difflib import get_close_matches
from pathlib import Path
from typing import Any, Final, NoReturn

from pydantic_core import CoreSchema, core_schema

from nesting.errors import Fault, OrderError, written
from nesting.orders.lengths import parse_length
from nesting.units import LARGEST, Limit, format_length, to_grid, to_mm

_VERSION: Final = 1
_LONGEST_NAME: Final = 100
#: A cloth's name becomes a file's name, which may have 255 bytes.
_MOST_BYTES: Final = 200
_HIGHEST_PRICE: Final = 1_000_000

_CHECK_UNIT: Final = "check the number and its unit"


@dataclass(frozen=True)
class Reading:
    """What a kind of value must know about the file around it.

    ``units`` is None when the order names no known unit: a bare number is then
    read as None, because its length is unknown. ``sound`` collects every value
    that is valid on its own, for the rules between values. Paths are relative
    to ``folder``.
    """

    units: str | None
    sound: dict[str, Any] = field(default_factory=dict)
    folder: Path = Path()


@dataclass(frozen=True)
class Kind:
    """One kind of value, used in the annotation of a model's field.

    ``read`` returns the value as the library wants it, or raises an
    `OrderError` with one fault whose place the caller fills in.
    """

    read: Callable[[object, Reading], Any]
    schema: dict[str, Any]

    def __get_pydantic_core_schema__(self, source: object, handler: object) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(
            lambda value, info: self.read(value, info.context)
        )

    def __get_pydantic_json_schema__(self, source: object, handler: object) -> dict[str, Any]:
        return dict(self.schema)


def _version(value: object, _: Reading) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or value != _VERSION:
        rule = f"must be {_VERSION}, the version of order files that this program reads"
        _refuse(rule, value, f"write version = {_VERSION}, and use the keys of that version")
    return value


def _text(value: object, _: Reading) -> str:
    if not isinstance(value, str):
        _refuse("must be text", value, "put it between quotation marks")
    if not value.strip():
        _refuse("must not be empty", value, "write something between the quotation marks")
    return value


def _name(value: object, reading: Reading) -> str:
    name = _text(value, reading)
    if not name.isprintable():  # asked first: a lone surrogate cannot be encoded
        _refuse("must have only characters that can be seen", value, "type it again")
    if len(name) > _LONGEST_NAME or len(name.encode()) > _MOST_BYTES:
        rule = f"must not have more than {_LONGEST_NAME} characters ({_MOST_BYTES} bytes)"
        _refuse(rule, value, "write a shorter name")
    if name != name.strip():
        _refuse("must not begin or end with a blank", value, "take the blank out")
    return name


def _note(value: object, _: Reading) -> str:
    if not isinstance(value, str):
        _refuse("must be text", value, "put it between quotation marks")
    if not value.isprintable():
        _refuse("must have only characters that can be seen", value, "type it again")
    if len(value) > _LONGEST_NAME:
        _refuse(f"must not have more than {_LONGEST_NAME} characters", value, "write less")
    return value.strip()


def _currency(value: object, reading: Reading) -> str:
    code = _text(value, reading)
    if not (len(code) == 3 and code.isascii() and code.isalpha() and code.isupper()):
        _refuse("must be three capital letters", value, 'write it like "EUR", "GBP" or "USD"')
    return code


def _flag(value: object, _: Reading) -> bool:
    if not isinstance(value, bool):
        _refuse("must be true or false", value, "write true or false, without quotation marks")
    return value


def _price(value: object, _: Reading) -> Decimal:
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        _refuse("must be a number", value, "write it like 18.5, without quotation marks and sign")
    price = Decimal(value)
    if not price.is_finite() or not 0 <= price <= _HIGHEST_PRICE:
        _refuse(f"must lie between 0 and {_HIGHEST_PRICE}", value, "check the price")
    return price


#: The version of the file's format.
VERSION: Final = Kind(_version, {"const": _VERSION})
#: Text that is not blank.
TEXT: Final = Kind(_text, {"type": "string", "minLength": 1})
#: Text in one line that may be empty.
NOTE: Final = Kind(_note, {"type": "string", "maxLength": _LONGEST_NAME})
#: Text that can be used on a panel, in a list and in a file name.
NAME: Final = Kind(_name, {"type": "string", "minLength": 1, "maxLength": _LONGEST_NAME})
#: A currency by its three letters (ISO 4217).
CURRENCY: Final = Kind(_currency, {"type": "string", "pattern": "^[A-Z]{3}$"})
#: True or false.
FLAG: Final = Kind(_flag, {"type": "boolean"})
#: A price, exactly as written.
PRICE: Final = Kind(_price, {"type": "number", "minimum": 0, "maximum": _HIGHEST_PRICE})


def choice(options: Iterable[str]) -> Kind:
    """One of a few words."""
    words = [*options]

    def read(value: object, _: Reading) -> str:
        if not isinstance(value, str) or value not in words:
            guess = nearest(value, words) if isinstance(value, str) else ""
            remedy = guess or "write one of them, in quotation marks"
            _refuse(f"must be one of {', '.join(map(written, words))}", value, remedy)
        return value

    return Kind(read, {"enum": words})


def count(least: int, greatest: int) -> Kind:
    """A whole number within limits."""

    def read(value: object, _: Reading) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            _refuse("must be a whole number", value, "write it in digits alone")
        if not least <= value <= greatest:
            rule = f"must lie between {least} and {greatest}"
            _refuse(rule, value, "write a whole number within these limits")
        return value

    return Kind(read, {"type": "integer", "minimum": least, "maximum": greatest})


def count_or(word: str, least: int, greatest: int) -> Kind:
    """A whole number within limits, or one word."""
    whole = count(least, greatest)

    def read(value: object, reading: Reading) -> int | str:
        if isinstance(value, str):
            if value != word:
                rule = f"must be a whole number or {written(word)}"
                _refuse(rule, value, f"write digits alone, or {written(word)}")
            return value
        return int(whole.read(value, reading))

    return Kind(read, {"anyOf": [whole.schema, {"const": word}]})


def number(least: float, greatest: float, unit: str) -> Kind:
    """A plain number within limits; ``unit`` is a word, or empty."""

    def read(value: object, _: Reading) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
            behind = f" ({unit})" if unit else ""
            _refuse(f"must be a number{behind}", value, "write it without quotation marks")
        try:
            found = float(value)
        except OverflowError:
            found = math.inf
        if not least <= found <= greatest:  # refuses NaN as well
            rule = f"must lie between {least:g} and {greatest:g}{f' {unit}' if unit else ''}"
            _refuse(rule, value, "write a number within these limits")
        return found

    return Kind(read, {"type": "number", "minimum": least, "maximum": greatest})


def _file(value: object, reading: Reading) -> Path:
    path = reading.folder / _text(value, reading)
    try:
        there = path.is_file()
    except (OSError, ValueError):  # ValueError: no file can have such a name
        there = False
    if not there:
        remedy = "write its path from the folder of the order file, and check the name"
        _refuse("must be the path of a file that is there", value, remedy)
    return path


def _cloths(value: object, reading: Reading) -> dict[str, str]:
    if not isinstance(value, dict) or not value:
        remedy = 'write it like { cap = "lining" }'
        _refuse("must be a table of panels and their cloths", value, remedy)
    return {panel: _text(cloth, reading) for panel, cloth in value.items()}


#: The path of a file, from the folder of the order file.
FILE: Final = Kind(_file, {"type": "string", "minLength": 1})
#: Names of cloths by names of panels.
CLOTHS: Final = Kind(
    _cloths,
    {
        "type": "object",
        "minProperties": 1,
        "additionalProperties": {"type": "string", "minLength": 1},
    },
)


def length(
    least_mm: float = 0.0, greatest_mm: float = to_mm(LARGEST), *, zero: bool = True
) -> Kind:
    """A length in millimetres, read from a number in the order's unit or text with its own unit."""

    def read(value: object, reading: Reading) -> float | None:
        units = reading.units or "mm"
        found_mm = parse_length(value, units)
        if not zero and to_grid(found_mm) < 1:
            _refuse("must be longer than nothing", value, "write how long it is")
        if reading.units is None and not isinstance(value, str):
            return None
        if found_mm < least_mm:
            limit = format_length(to_grid(least_mm), units, Limit.AT_LEAST)
            _refuse(f"must not be less than {limit}", value, _CHECK_UNIT)
        if found_mm > greatest_mm:
            limit = format_length(to_grid(greatest_mm), units, Limit.AT_MOST)
            _refuse(f"must not be more than {limit}", value, _CHECK_UNIT)
        return found_mm

    number = {"type": "number", "minimum" if zero else "exclusiveMinimum": 0}
    own = {"type": "string", "pattern": "[0-9½⅓⅔¼¾⅛⅜⅝⅞].*[A-Za-z\"'″′”’]\\s*$"}
    return Kind(read, {"anyOf": [number, own]})


def nearest(word: str, known: Iterable[str]) -> str:
    """A question that suggests the known word most like this one, or empty text."""
    by_lower = {each.lower(): each for each in known}
    near = get_close_matches(word.lower(), by_lower, 1)
    return f'did you mean "{by_lower[near[0]]}"?' if near else ""


def _refuse(rule: str, value: object, remedy: str) -> NoReturn:
    raise OrderError([Fault("", rule, written(value), remedy)])
