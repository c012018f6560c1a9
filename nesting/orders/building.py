"""Orders and cloths from Python: tables with the keys of an order file, under the same rules.

A *table* maps those keys to text and numbers of any type. A key whose value
is None counts as left out.
"""

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from numbers import Integral, Real
from pathlib import Path
from typing import TYPE_CHECKING, Any

from nesting.cloth.cloth import Cloth
from nesting.errors import Fault, OrderError, written
from nesting.orders.order import Order
from nesting.orders.reader import judge_order
from nesting.orders.rolls import judge_rolls
from nesting.orders.schema import MOST_TABLES, known_products

if TYPE_CHECKING:
    from nesting.panels.product import Product

#: The version of the order file whose keys are accepted here.
_VERSION = 1


def build_order(
    name: str,
    *,
    units: str,
    cloths: Iterable[Mapping[str, object]],
    items: Iterable[Mapping[str, object]],
    products: "Iterable[Product]" = (),
    folder: Path = Path(),
) -> Order:
    """Build an order without a file, under the same rules as an order file.

    Each cloth and each item is a table with the keys of ``[[cloth]]`` and
    ``[[item]]`` in an order file, and the same defaults apply. A
    length is a number in ``units`` (mm, cm or in) or text with its own unit,
    such as ``"25 1/2 in"``. An item names its ``product``: a registered one
    (`nesting.products`) or one of ``products``, which belong to this order alone.
    Paths of drawings are relative to ``folder``.

    Raises
    ------
    OrderError
        With all faults at once, each named by its table and key.
    """
    own = [*products]
    found = {"cloths": _tables(cloths), "items": _tables(items)}
    faults = [_no_list(key, found[key]) for key in found if not 0 < len(found[key]) <= MOST_TABLES]
    faults += _twins([product.name for product in own])
    if faults:
        raise OrderError(faults)
    head = {"version": _VERSION, "name": name, "units": units}
    document = {**head, "cloth": found["cloths"], "item": found["items"]}
    return judge_order(document, {}, folder, {product.name: product for product in own})


def build_cloth(table: Mapping[str, object], *, units: str, folder: Path = Path()) -> Cloth:
    """Build one cloth, for instance a roll to compare, under the rules of an order file.

    ``table`` has the keys of ``[[cloth]]``; a length is a number in ``units``
    (mm, cm or in) or text with its own unit. Its flaws and pieces are lists of
    tables: ``"stock": [{"name": "remnant", "length": 90}]``. Paths of drawings
    are relative to ``folder``.

    Raises
    ------
    OrderError
        With all faults at once, each named by its key.
    """
    document = {"version": _VERSION, "name": "roll", "units": units, "cloth": _tables([table])}
    (cloth,) = judge_rolls(document, {}, folder)
    return cloth


def _tables(given: Iterable[Mapping[str, object]]) -> list[dict[str, Any]]:
    """The tables as a file would hold them; empty if ``given`` is not a list of tables."""
    if isinstance(given, str | Mapping) or not isinstance(given, Iterable):
        return []
    tables = [*given]
    if not all(isinstance(table, Mapping) for table in tables):
        return []
    return [_table(table) for table in tables]


def _table(table: Mapping[str, object]) -> dict[str, Any]:
    return {str(key): _as_in_a_file(value) for key, value in table.items() if value is not None}


def _as_in_a_file(value: object) -> object:
    """The value as a file can hold it; numbers are exactly as written."""
    if isinstance(value, Real) and not isinstance(value, bool):
        return int(value) if isinstance(value, Integral) else Decimal(repr(float(value)))
    if isinstance(value, Path):
        return str(value)
    if isinstance(value, Mapping):
        return _table(value)
    if isinstance(value, list | tuple):
        return [_as_in_a_file(each) for each in value]
    return value


def _no_list(key: str, tables: list[dict[str, Any]]) -> Fault:
    found = f"{len(tables)} tables" if tables else ""
    rule = f"must be a list of 1 to {MOST_TABLES} tables"
    return Fault(key, rule, found, f'give each as a table like {{"name": {written("seat")}, ...}}')


def _twins(names: list[str]) -> Iterator[Fault]:
    """Products that share a name with a registered one or with another of the same order."""
    for index, name in enumerate(names):
        if name in known_products() or name in names[:index]:
            rule = "another product has this name"
            yield Fault(f"products[{index}]", rule, written(name), "give it a name of its own")
