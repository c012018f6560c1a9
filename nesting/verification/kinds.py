"""Kinds of values in a layout record.

A *kind* is a function that returns the rule that a value breaks, or empty text.
"""

import math
from collections.abc import Callable
from itertools import pairwise
from typing import Any, Final

import shapely

from nesting.cloth.cloth import Coating, Nap

#: Far above every length, area and price, far below where floats lose cents.
GREATEST: Final = 1e12

#: No order needs more than this of anything, and counting up to it is fast.
MOST: Final = 1_000_000

Kind = Callable[[object], str]


def text(value: object) -> str:
    """Kind: text that is not empty."""
    if not isinstance(value, str) or not value:
        return "must be text"
    return "" if value.isascii() or _encodable(value) else "must be text of whole characters"


def flag(value: object) -> str:
    """Kind: true or false."""
    return "" if isinstance(value, bool) else "must be true or false"


def number(value: object) -> str:
    """Kind: a finite number."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return "must be a number"
    # The comparison comes first: a whole number may be too large for a float.
    if not -GREATEST <= value <= GREATEST or not math.isfinite(value):
        return f"must be a finite number within ±{GREATEST:.0e}"
    return ""


def not_negative(value: object) -> str:
    """Kind: a finite number of at least zero."""
    return number(value) or ("" if _real(value) >= 0 else "must be 0 or more")


def positive(value: object) -> str:
    """Kind: a finite number above zero."""
    return number(value) or ("" if _real(value) > 0 else "must be more than 0")


def count(value: object) -> str:
    """Kind: a whole number of at least one."""
    whole = isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= MOST
    return "" if whole else f"must be a whole number from 1 to {MOST}"


def whole(value: object) -> str:
    """Kind: a whole number."""
    right = isinstance(value, int) and not isinstance(value, bool)
    return "" if right else "must be a whole number"


def nap(value: object) -> str:
    """Kind: one of the known naps."""
    return "" if value in list(Nap) else "must be " + ", ".join(Nap)


def coating(value: object) -> str:
    """Kind: one of the known coatings."""
    return "" if value in list(Coating) else "must be " + ", ".join(Coating)


def ring(value: object) -> str:
    """Kind: an outline, a list of at least three points."""
    if not isinstance(value, list) or len(value) < 3:
        return "must be a list of at least 3 points [x, y]"
    for index, point in enumerate(value):
        if not isinstance(point, list) or len(point) != 2:
            return f"point {index} must be two numbers [x, y]"
        if broken := number(point[0]) or number(point[1]):
            return f"point {index} {broken}"
    return ""


def note(value: object) -> str:
    """Kind: text that may be empty."""
    return "" if value == "" else text(value)


def length(value: object) -> str:
    """Kind: a length above zero, or null for as long as needed."""
    return "" if value is None else positive(value)


def edge(value: object) -> str:
    """Kind: an outline that encloses an area and does not cross itself."""
    if broken := ring(value):
        return broken
    polygon = shapely.Polygon(_points(value))
    sound = polygon.is_valid and polygon.area > 0
    return "" if sound else "must enclose an area and not cross or touch itself"


def edges(value: object) -> str:
    """Kind: a list of such outlines."""
    if not isinstance(value, list):
        return "must be a list [ ]"
    broken = (f"outline {index} {fault}" for index, e in enumerate(value) if (fault := edge(e)))
    return next(broken, "")


def widths(value: object) -> str:
    """Kind: widths above zero, each after its place along the cloth, which go up."""
    if not isinstance(value, list) or not value:
        return "must be a list of at least one place and width [x, width]"
    for index, entry in enumerate(value):
        if not isinstance(entry, list) or len(entry) != 2:
            return f"entry {index} must be two numbers [x, width]"
        if broken := number(entry[0]) or positive(entry[1]):
            return f"entry {index} {broken}"
    return "" if all(a[0] < b[0] for a, b in pairwise(value)) else "must go up along the cloth"


def places(value: object) -> str:
    """Kind: places along the cloth, which go up."""
    if not isinstance(value, list):
        return "must be a list of numbers"
    if broken := next(filter(None, map(number, value)), ""):
        return f"each {broken}"
    return "" if all(a < b for a, b in pairwise(value)) else "must go up along the cloth"


def _points(value: Any) -> list[list[float]]:
    return list(value)


def _real(value: Any) -> float:
    return float(value)


def _encodable(value: str) -> bool:
    """Whether text has only whole characters: JSON can escape half of a surrogate pair."""
    try:
        value.encode()
    except UnicodeEncodeError:
        return False
    return True
