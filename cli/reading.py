"""Reads orders, and names the files that faults are about."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from nesting.errors import ClothwrightError

if TYPE_CHECKING:
    from nesting.orders.order import Order


def order_from(path: Path, shelf: Path | None = None) -> "Order":
    """Read an order, with what is on a shelf of its cloths; faults name their file."""
    from nesting.orders.reader import read_order

    with about(path):
        order = read_order(path)
    if shelf is None:
        return order
    from nesting.planning.shelf_pieces import with_shelf

    with about(shelf):
        return with_shelf(order, shelf)


@contextmanager
def about(path: Path) -> Iterator[None]:
    """Add the name of a file to errors that are raised about it."""
    try:
        yield
    except ClothwrightError as error:
        error.add_note(str(path))
        raise
