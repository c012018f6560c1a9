"""Reads an order file into an order, or reports everything that is wrong with it."""

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from nesting.cloth.cloth import Cloth, Coating, Nap, Price
from nesting.errors import Fault, OrderError
from nesting.orders import rules
from nesting.orders.entries import Entry, read_entry, read_list
from nesting.orders.order import Item, Order
from nesting.orders.places import KeyPath, find_lines
from nesting.orders.schema import ClothTable, Head, LooseItemTable, item_table, known_products
from nesting.orders.source import parse_toml, read_text
from nesting.units import YD, M, to_grid

if TYPE_CHECKING:
    from nesting.panels.product import Product


def read_order(path: Path) -> Order:
    """Read the order in a file.

    Raises
    ------
    OrderError
        With all faults of the file, each with place, rule, value, remedy and,
        if it is known, the line.
    AccessError
        When the file does not exist, is a folder, or may not be read.
    """
    return parse_order(read_text(path), path.parent)


def parse_order(text: str, folder: Path = Path()) -> Order:
    """Parse the text of an order; raises an `OrderError` as `read_order` does.

    Paths in the order are relative to ``folder``.
    """
    return judge_order(parse_toml(text), find_lines(text), folder)


def judge_order(
    document: Mapping[str, Any],
    lines: Mapping[KeyPath, int],
    folder: Path,
    own: "Mapping[str, Product]" = MappingProxyType({}),
) -> Order:
    """The order in the tables of a document; an `OrderError` with every fault of them.

    ``own`` maps names to the products that belong to this order only.
    """
    products = {**known_products(), **own}
    head = Entry("", (), lines, {k: v for k, v in document.items() if k not in ("cloth", "item")})
    faults = read_entry(head, Head, None)
    cloths, cloth_faults = read_list("cloth", document, lines)
    items, item_faults = read_list("item", document, lines)
    faults += [*cloth_faults, *item_faults]

    units = head.sound.get("units")
    for cloth in cloths:
        faults += read_entry(cloth, ClothTable, units)
        faults += rules.cloth_faults(cloth)
    for item in items:
        faults += _item_faults(item, products, units, folder)
    faults += rules.order_faults(cloths, items)
    if not faults:
        faults += rules.size_faults(items, products)
    if faults:
        raise OrderError(sorted(faults, key=lambda fault: fault.line or 0))
    return Order(
        name=head.sound["name"],
        units=head.sound["units"],
        cloths=tuple(cloth_of(cloth.sound) for cloth in cloths),
        items=tuple(_item(item, products, own) for item in items),
    )


def _item_faults(
    item: Entry, products: "Mapping[str, Product]", units: str | None, folder: Path
) -> list[Fault]:
    """All faults of an item; its measurements are held together once each is sound."""
    named = item.table.get("product")
    product = products.get(named) if isinstance(named, str) else None
    if product is None:
        faults = read_entry(item, LooseItemTable, units)
        return [*faults, *rules.product_faults(item, products)]
    faults = read_entry(item, item_table(product.name, product.measurements), units, folder)
    return faults if faults or units is None else list(rules.item_faults(item, product, units))


def cloth_of(sound: Mapping[str, Any]) -> Cloth:
    """The cloth of a table in which everything is sound."""
    roll = sound["roll_length"]
    return Cloth(
        name=sound["name"],
        width=to_grid(sound["width"]),
        selvedge=to_grid(sound["selvedge"]),
        nap=Nap(sound["nap"]),
        cross_grain=sound["cross_grain"],
        price=_price(sound),
        buy_step=to_grid(sound["buy_step"]),
        gap=to_grid(sound["gap"]),
        end_allowance=to_grid(sound["end_allowance"]),
        roll_length=None if roll is None else to_grid(roll),
        coating=Coating(sound["coating"]),
    )


def _price(sound: Mapping[str, Any]) -> Price | None:
    for key, per in (("price_per_metre", M), ("price_per_yard", YD)):
        if sound[key] is not None:
            return Price(sound[key], per, sound["currency"])
    return None


def _item(item: Entry, products: "Mapping[str, Product]", own: "Mapping[str, Product]") -> Item:
    product = products[item.sound["product"]]
    return Item(
        name=item.sound["name"],
        product=product.name,
        quantity=item.sound["quantity"],
        cloth=item.sound["cloth"],
        allowance_mm=item.sound["seam_allowance"],
        values=rules.values_of(item, product),
        panel_cloths=item.sound["panel_cloth"] or {},
        railroad=item.sound["railroad"],
        liner=item.sound["liner"],
        own_product=own.get(product.name),
    )
