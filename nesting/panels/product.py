"""What a product is: measurements in, a draft out; and the register of products.

A product is one file in ``nesting.panels.goods`` (or anywhere else) that
calls `register`; nothing else changes when one is added.
"""

from collections.abc import Mapping
from importlib import import_module
from types import MappingProxyType
from typing import Protocol

from nesting.errors import Fault
from nesting.panels.drafting.draft import Draft
from nesting.panels.measurements import Measurement, Values


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
