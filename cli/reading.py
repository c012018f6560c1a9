"""Files that commands read, and where they write beside them."""

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


def beside(order_file: Path, what: str) -> Path:
    """Folder beside an order for what a command makes of it: ``nook-lay`` for ``nook.toml``."""
    return order_file.parent / f"{order_file.stem}-{what}"
