"""Files that commands read."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from nesting.errors import ClothwrightError

if TYPE_CHECKING:
    from nesting.orders.order import Order


def order_from(path: Path) -> "Order":
    """Read an order; its faults are told with the file's name."""
    from nesting.orders.reader import read_order

    with about(path):
        return read_order(path)


@contextmanager
def about(path: Path) -> Iterator[None]:
    """Name a file beside every fault that is found in it."""
    try:
        yield
    except ClothwrightError as error:
        error.add_note(str(path))
        raise
