"""The measurements a product asks for: their kinds and limits, and access to their values.

Lengths are millimetres.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Final, NoReturn

#: Points in millimetres, from the lower left corner.
Points = tuple[tuple[float, float], ...]

#: One value: lengths in millimetres, absent ones None.
Value = float | int | str | bool | Points | Path | None

#: Every measurement of a product by name.
Values = Mapping[str, Value]

#: The word that lets the plan choose a count.
AUTO: Final = "auto"


class MeasurementKind(StrEnum):
    """What sort of value a measurement takes.

    ``NUMBER`` is a plain number (an angle, a percentage), ``POINTS`` a list
    of pairs of lengths, none below 0, ``FILE`` the path of an existing file,
    relative to the folder of the order file.
    """

    LENGTH = "length"
    COUNT = "count"
    COUNT_OR_AUTO = "count or auto"
    CHOICE = "choice"
    NUMBER = "number"
    FLAG = "flag"
    POINTS = "points"
    FILE = "file"


@dataclass(frozen=True)
class Measurement:
    """One thing to measure or choose, with its limits (lengths in millimetres).

    Without a default, a ``required`` measurement must be given and any other
    may be absent. ``example`` is the value shown with the product if that is
    not the default. For points, ``least`` and ``greatest`` limit how many there
    are; ``unit`` is the word after a plain number (``degrees``, ``%``). What is
    ``outside`` concerns the cover alone: a liner is drawn with its default.
    """

    name: str
    kind: MeasurementKind
    meaning: str
    default: Value = None
    required: bool = False
    least: float | None = None
    greatest: float | None = None
    choices: tuple[str, ...] = ()
    example: Value = None
    unit: str = ""
    outside: bool = False

    @property
    def shown(self) -> Value:
        """The value that the product is shown with when no order gives one."""
        return self.default if self.example is None else self.example


def length(values: Values, name: str) -> float:
    """A required length (in millimetres) or plain number."""
    value = values[name]
    if isinstance(value, bool) or not isinstance(value, float | int):
        _mistaken(name, "a length or a number", value)
    return float(value)


def given_length(values: Values, name: str, otherwise: float) -> float:
    """A length in millimetres, or ``otherwise`` if it is absent."""
    return otherwise if values[name] is None else length(values, name)


def number(values: Values, name: str) -> int:
    """A required count."""
    value = values[name]
    if isinstance(value, bool) or not isinstance(value, int):
        _mistaken(name, "a whole number", value)
    return value


def number_or(values: Values, name: str, automatic: int) -> int:
    """A count, or ``automatic`` if the plan has yet to choose it."""
    return automatic if values[name] == AUTO else number(values, name)


def word(values: Values, name: str) -> str:
    """A required choice."""
    value = values[name]
    if not isinstance(value, str):
        _mistaken(name, "a word", value)
    return value


def flag(values: Values, name: str) -> bool:
    """A required yes or no."""
    value = values[name]
    if not isinstance(value, bool):
        _mistaken(name, "true or false", value)
    return value


def points(values: Values, name: str) -> Points:
    """Required points, in millimetres."""
    value = values[name]
    if not isinstance(value, tuple):
        _mistaken(name, "points", value)
    return value


def file(values: Values, name: str) -> Path:
    """The required path of a file."""
    value = values[name]
    if not isinstance(value, Path):
        _mistaken(name, "a path", value)
    return value


def _mistaken(name: str, kind: str, value: Value) -> NoReturn:
    msg = f"{name} must be {kind}: {value!r}"
    raise TypeError(msg)
