"""The kinds of value that are lists: points, places along the cloth, names."""

from pathlib import Path
from typing import Any, Final, NoReturn

from nesting.errors import Fault, OrderError, written
from nesting.orders.lengths import parse_length
from nesting.orders.values import FILE, TEXT, Kind, Reading, length

_OUTLINE: Final = "write it like [[0, 0], [60, 0], [60, 45]]"


def _coordinate(value: object, reading: Reading) -> float | None:
    """A length in millimetres on either side of zero; None if its unit is unknown."""
    found_mm = parse_length(value, reading.units or "mm", signed=True)
    return found_mm if reading.units or isinstance(value, str) else None


#: A coordinate of a drawing, in millimetres.
COORDINATE: Final = Kind(_coordinate, {"anyOf": [{"type": "number"}, length().schema["anyOf"][1]]})


def pair(each: Kind, good: str) -> Kind:
    """Two lengths: one along the cloth and one across it; ``good`` is how to write them."""

    def read(value: object, reading: Reading) -> tuple[Any, Any]:
        if not (isinstance(value, list) and len(value) == 2):
            _refuse("must be a pair of lengths, along the cloth and across it", value, good)
        return each.read(value[0], reading), each.read(value[1], reading)

    return Kind(read, {"type": "array", "items": each.schema, "minItems": 2, "maxItems": 2})


def points(
    least: int,
    greatest: int,
    each: Kind | None = None,
    *,
    good: str = _OUTLINE,
    what: str = "points",
) -> Kind:
    """A list of pairs of lengths of the kind ``each``; ``what`` is what the pairs are."""
    one = each or length()
    two = pair(one, good)

    def read(value: object, reading: Reading) -> tuple[tuple[Any, Any], ...]:
        if not isinstance(value, list) or not all(_is_pair(each) for each in value):
            _refuse("must be a list of pairs of lengths", value, good)
        _must_have(least, greatest, what, value, good)
        return tuple(two.read(each, reading) for each in value)

    limits = {"minItems": least, "maxItems": greatest}
    return Kind(read, {"type": "array", "items": two.schema, **limits})


def _is_pair(value: object) -> bool:
    return isinstance(value, list) and len(value) == 2


def points_or_file(least: int, greatest: int) -> Kind:
    """The points of an outline, or the path of a drawing of it."""
    drawn = points(least, greatest, COORDINATE)

    def read(value: object, reading: Reading) -> tuple[tuple[Any, Any], ...] | Path:
        if isinstance(value, str):
            path: Path = FILE.read(value, reading)
            return path
        if not isinstance(value, list):
            rule = "must be a list of pairs of lengths, or the path of a drawing"
            _refuse(rule, value, f'{_OUTLINE}, or like "hide.dxf"')
        found: tuple[tuple[Any, Any], ...] = drawn.read(value, reading)
        return found

    return Kind(read, {"anyOf": [drawn.schema, FILE.schema]})


def lengths(most: int, good: str) -> Kind:
    """A list of places along the cloth."""

    def read(value: object, reading: Reading) -> tuple[float | None, ...]:
        if not isinstance(value, list):
            _refuse("must be a list of lengths", value, good)
        _must_have(1, most, "lengths", value, good)
        return tuple(COORDINATE.read(each, reading) for each in value)

    items = {"type": "array", "items": COORDINATE.schema, "minItems": 1, "maxItems": most}
    return Kind(read, items)


def _names(value: object, reading: Reading) -> tuple[str, ...]:
    good = 'write it like ["bottom"]'
    if not isinstance(value, list) or not value:
        _refuse("must be a list of names", value, good)
    names = tuple(TEXT.read(each, reading) for each in value)
    if len({*names}) < len(names):
        _refuse("must not name anything twice", value, "take the second one out")
    return names


#: Names, each once.
NAMES: Final = Kind(
    _names, {"type": "array", "items": TEXT.schema, "minItems": 1, "uniqueItems": True}
)


def _must_have(least: int, greatest: int, what: str, value: list[object], good: str) -> None:
    if not least <= len(value) <= greatest:
        _refuse(f"must have {least} to {greatest} {what}", value, good)


def _refuse(rule: str, value: object, remedy: str) -> NoReturn:
    raise OrderError([Fault("", rule, written(value), remedy)])
