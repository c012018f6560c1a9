"""What a product is: measurements in, a draft out; and the register of products.

A product is one file in ``nesting.panels.goods`` (or anywhere else) that
calls `register`; nothing else changes when one is added.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from importlib import import_module
from types import MappingProxyType
from typing import Protocol

from nesting.errors import Fault
from nesting.panels.draft import Draft

#: Every measurement of a product by name; lengths in millimetres, absent ones None.
Values = Mapping[str, float | int | str | None]


class MeasurementKind(StrEnum):
    """What sort of value a measurement takes."""

    LENGTH = "length"
    COUNT = "count"
    CHOICE = "choice"


@dataclass(frozen=True)
class Measurement:
    """One thing to be measured or chosen, with its limits (lengths in millimetres).

    With no default it must be given if it is ``required``; else it may be absent.
    ``example`` is what the product is shown with where that is not the default.
    """

    name: str
    kind: MeasurementKind
    meaning: str
    default: float | int | str | None = None
    required: bool = False
    least: float | None = None
    greatest: float | None = None
    choices: tuple[str, ...] = ()
    example: float | None = None

    @property
    def shown(self) -> float | int | str | None:
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
    """A length that must be there, in millimetres."""
    value = values[name]
    if isinstance(value, str) or value is None:
        msg = f"{name} must be a length: {value!r}"
        raise TypeError(msg)
    return float(value)


def number(values: Values, name: str) -> int:
    """A count that must be there."""
    value = values[name]
    if not isinstance(value, int):
        msg = f"{name} must be a whole number: {value!r}"
        raise TypeError(msg)
    return value


def allowance_faults(draft: Draft, allowance_mm: float) -> tuple[Fault, ...]:
    """Panels so narrow that the allowances of opposite edges would overlap inside."""
    return tuple(
        Fault(
            place="seam_allowance",
            rule=f"at most half of the narrowest way across the finished panel "
            f'"{panel.name}" ({panel.narrowest_mm:.1f} mm)',
            value=f"{allowance_mm:g} mm",
            remedy=f"allow at most {panel.narrowest_mm / 2:.1f} mm, or make it wider",
        )
        for panel in draft.panels
        if 2 * allowance_mm > panel.narrowest_mm
    )
