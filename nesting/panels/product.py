"""A product turns measurements into a draft; this module also registers products.

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
    """Something the workroom makes from its finished measurements."""

    @property
    def name(self) -> str:
        """The word that orders use for it."""

    @property
    def summary(self) -> str:
        """One line that says what it is."""

    @property
    def measurements(self) -> tuple[Measurement, ...]:
        """What an order measures or chooses."""

    @property
    def cautions(self) -> tuple[str, ...]:
        """Warnings to print with it."""

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Measurements that contradict each other or the allowance.

        Each value is already known to be of its kind and within its limits.
        The place of a fault is the name of the measurement, or ``seam_allowance``.
        """

    def draft(self, values: Values) -> Draft:
        """The finished shapes, their seams, and everything else a maker must know."""


_register: dict[str, Product] = {}


def register(product: Product) -> None:
    """Add a product to those that orders may use.

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
