"""An order as the rest of the library sees it: sound, complete, frozen."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from nesting.cloth.cloth import Cloth
from nesting.panels.measurements import Values
from nesting.panels.product import Product, products


@dataclass(frozen=True)
class Item:
    """One thing to be made, ``quantity`` times, from one cloth.

    ``values`` holds every measurement of the product: lengths in
    millimetres, counts, choices, None for what may be absent and is.
    ``panel_cloths`` names another cloth for some panels; ``railroad`` turns
    the whole item a quarter. ``own_product`` is the product itself where it
    belongs to the order alone; others are found by their name.
    """

    name: str
    product: str
    quantity: int
    cloth: str
    allowance_mm: float
    values: Values
    panel_cloths: Mapping[str, str] = field(default_factory=dict)
    railroad: bool = False
    own_product: Product | None = None

    @property
    def made_as(self) -> Product:
        """The product that drafts it; a KeyError where none is registered under its name."""
        return self.own_product or products()[self.product]


@dataclass(frozen=True)
class Order:
    """What the workroom wants made; ``units`` is the unit it thinks in (mm, cm or in)."""

    name: str
    units: str
    cloths: tuple[Cloth, ...]
    items: tuple[Item, ...]
