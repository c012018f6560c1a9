"""An order as the rest of the library sees it: valid, complete and frozen."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from nesting.cloth.cloth import Cloth
from nesting.panels.measurements import Values
from nesting.panels.product import Product, products


@dataclass(frozen=True)
class Item:
    """One thing to make, ``quantity`` times, from one cloth.

    ``values`` holds every measurement of the product: lengths in millimetres,
    counts, choices, and None for an optional one that is absent.
    ``panel_cloths`` names another cloth for some panels; ``railroad`` turns
    the whole item by 90 degrees; ``liner`` is the cloth of an inner bag.
    ``hidden`` names the panels that are not seen; with ``one_shade`` all panels
    of one copy are cut from one shade.
    ``own_product`` is set if the product belongs to this order only; other
    products are looked up by name.
    """

    name: str
    product: str
    quantity: int
    cloth: str
    allowance_mm: float
    values: Values
    panel_cloths: Mapping[str, str] = field(default_factory=dict)
    railroad: bool = False
    liner: str | None = None
    hidden: tuple[str, ...] = ()
    one_shade: bool = True
    own_product: Product | None = None

    @property
    def made_as(self) -> Product:
        """The product that drafts the item; a KeyError if none is registered under its name."""
        return self.own_product or products()[self.product]


@dataclass(frozen=True)
class Order:
    """What the workroom wants made; ``units`` is the unit it works in (mm, cm or in)."""

    name: str
    units: str
    cloths: tuple[Cloth, ...]
    items: tuple[Item, ...]
