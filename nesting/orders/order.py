"""An order as the rest of the library sees it: sound, complete, frozen."""

from collections.abc import Mapping
from dataclasses import dataclass

from nesting.cloth.cloth import Cloth


@dataclass(frozen=True)
class Item:
    """One thing to be made, ``quantity`` times, from one cloth.

    ``values`` holds every measurement of the product: lengths in
    millimetres, counts, choices, None for what may be absent and is.
    """

    name: str
    product: str
    quantity: int
    cloth: str
    allowance_mm: float
    values: Mapping[str, float | int | str | None]


@dataclass(frozen=True)
class Order:
    """What the workroom wants made; ``units`` is the unit it thinks in (mm, cm or in)."""

    name: str
    units: str
    cloths: tuple[Cloth, ...]
    items: tuple[Item, ...]
