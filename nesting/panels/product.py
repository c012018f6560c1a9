"""What a product is: measurements in, a draft out; and the register of products.

A product is one file in ``nesting.panels.goods`` (or anywhere else) that
calls `register`; nothing else changes when one is added.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from importlib import import_module
from pathlib import Path
from types import MappingProxyType
from typing import Final, NoReturn, Protocol

from nesting.errors import Fault
from nesting.panels.drafting.draft import Draft
from nesting.panels.drafting.finished import EdgeSort, FinishedPanel
from nesting.sentences import Length, Sentence, at_most

#: Points in millimetres, from the lower left corner.
Points = tuple[tuple[float, float], ...]

#: One value: lengths in millimetres, absent ones None.
Value = float | int | str | bool | Points | Path | None

#: Every measurement of a product by name.
Values = Mapping[str, Value]

#: The word that leaves a count to the plan.
AUTO: Final = "auto"


class MeasurementKind(StrEnum):
    """What sort of value a measurement takes.

    ``NUMBER`` is a plain number (an angle, a percentage), ``POINTS`` a list
    of pairs of lengths, neither below 0, ``FILE`` the path of a file that is
    there, from the folder of the order file.
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
    """One thing to be measured or chosen, with its limits (lengths in millimetres).

    With no default it must be given if it is ``required``; else it may be absent.
    ``example`` is what the product is shown with where that is not the default.
    ``least`` and ``greatest`` of points are how many there may be; ``unit`` is
    the word behind a plain number (``degrees``, ``%``).
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

    @property
    def shown(self) -> Value:
        """The value that the product is shown with when nobody has measured anything."""
        return self.default if self.example is None else self.example


class Product(Protocol):
    """Something the workroom makes, by its finished measurements."""

    @property
    def name(self) -> str:
        """The word by which an order names it."""

    @property
    def summary(self) -> str:
        """One line that says what it is."""

    @property
    def measurements(self) -> tuple[Measurement, ...]:
        """What is to be measured or chosen."""

    @property
    def cautions(self) -> tuple[str, ...]:
        """Warnings to print with it."""

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Measurements that cannot exist together, or not with that allowance.

        Each value is of its kind and within its limits already. The place of
        a fault is the name of the measurement, or ``seam_allowance``.
        """

    def draft(self, values: Values) -> Draft:
        """The finished shapes, how they are sewn together, and what else is to be known."""


_register: dict[str, Product] = {}


def register(product: Product) -> None:
    """Add a product to those that an order may name.

    Raises
    ------
    ValueError
        When another product has that name.
    """
    if product.name in _register:
        msg = f"two products are named {product.name!r}"
        raise ValueError(msg)
    _register[product.name] = product


def products() -> Mapping[str, Product]:
    """All registered products by name, our own included."""
    import_module("nesting.panels.catalogue")
    return MappingProxyType(_register)


def length(values: Values, name: str) -> float:
    """A length or a plain number that must be there, lengths in millimetres."""
    value = values[name]
    if isinstance(value, bool) or not isinstance(value, float | int):
        _mistaken(name, "a length or a number", value)
    return float(value)


def given_length(values: Values, name: str, otherwise: float) -> float:
    """A length that may be absent."""
    return otherwise if values[name] is None else length(values, name)


def number(values: Values, name: str) -> int:
    """A count that must be there."""
    value = values[name]
    if isinstance(value, bool) or not isinstance(value, int):
        _mistaken(name, "a whole number", value)
    return value


def number_or(values: Values, name: str, automatic: int) -> int:
    """A count, or ``automatic`` where it is left to the plan, which has not chosen yet."""
    return automatic if values[name] == AUTO else number(values, name)


def word(values: Values, name: str) -> str:
    """A choice that must be there."""
    value = values[name]
    if not isinstance(value, str):
        _mistaken(name, "a word", value)
    return value


def flag(values: Values, name: str) -> bool:
    """Yes or no."""
    value = values[name]
    if not isinstance(value, bool):
        _mistaken(name, "true or false", value)
    return value


def points(values: Values, name: str) -> Points:
    """Points that must be there, in millimetres."""
    value = values[name]
    if not isinstance(value, tuple):
        _mistaken(name, "points", value)
    return value


def file(values: Values, name: str) -> Path:
    """The path of a file that must be there."""
    value = values[name]
    if not isinstance(value, Path):
        _mistaken(name, "a path", value)
    return value


def _mistaken(name: str, kind: str, value: Value) -> NoReturn:
    msg = f"{name} must be {kind}: {value!r}"
    raise TypeError(msg)


def allowance_faults(draft: Draft, allowance_mm: float) -> tuple[Fault, ...]:
    """Panels so narrow that the allowances of opposite edges would overlap inside.

    Those of folded panels may. The place is ``seam_allowance``, or the key of
    the sort of edge that is too wide: ``hem_allowance``, ``zip_allowance``.
    """
    return tuple(filter(None, (_too_wide(draft, panel, allowance_mm) for panel in draft.panels)))


def _too_wide(draft: Draft, panel: FinishedPanel, allowance_mm: float) -> Fault | None:
    allowances = {
        draft.allowances_mm.get(sort, allowance_mm): sort for sort in map(panel.sort, panel.edges)
    }
    widest = max(allowances)
    if panel.folded or 2 * widest <= panel.narrowest_mm:
        return None
    own = allowances[widest] in draft.allowances_mm
    rule = 'must not be wider than half of the narrowest way across the finished panel "{}" ({})'
    return Fault(
        place=allowance_key(allowances[widest]) if own else "seam_allowance",
        rule=Sentence(rule, (panel.name, Length(round(panel.narrowest_mm, 1)))),
        value=Length(widest),
        remedy=Sentence("allow at most {}, or make it wider", (at_most(panel.narrowest_mm / 2),)),
    )


def allowance_key(sort: EdgeSort) -> str:
    """The key by which an order gives a sort of edge its allowance."""
    return f"{sort.name.lower()}_allowance"
