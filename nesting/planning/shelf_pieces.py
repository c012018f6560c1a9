"""Gives an order the pieces of its cloths that are on the shelf."""

from dataclasses import replace
from pathlib import Path

from nesting.orders.order import Order
from nesting.planning.order_panels import cloths_used
from nesting.shelf.stocktaking import offered


def with_shelf(order: Order, shelf: Path) -> Order:
    """The order, with what is on a shelf of the cloths that it needs added to their stock.

    Raises
    ------
    AccessError
        When the file of the shelf cannot be read.
    OrderError
        When it is no shelf, or has a price in another currency than the order.
    """
    found = offered(shelf, cloths_used(order))
    cloths = (
        replace(cloth, stock=(*cloth.stock, *found.get(cloth.name, ()))) for cloth in order.cloths
    )
    return replace(order, cloths=tuple(cloths))
