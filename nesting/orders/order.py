"""An order as the rest of the library sees it: sound, complete, frozen."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from nesting.cloth.cloth import Cloth

if TYPE_CHECKING:
    from nesting.panels.measurements import Values


@dataclass(frozen=True)
class Item:
    """One thing to be made, ``quantity`` times, from one cloth.

    ``values`` holds every measurement of the product: lengths in
    millimetres, counts, choices, None for what may be absent and is.
    ``panel_cloths`` names another cloth for some panels; ``railroad`` turns
    the whole item a quarter.
    """

    name: str
    product: str
    quantity: int
    cloth: str
    allowance_mm: float
    values: "Values"
    panel_cloths: Mapping[str, str] = field(default_factory=dict)
    railroad: bool = False


@dataclass(frozen=True)
class Order:
    """What the workroom wants made; ``units`` is the unit it thinks in (mm, cm or in)."""

    name: str
    units: str
    cloths: tuple[Cloth, ...]
    items: tuple[Item, ...]
