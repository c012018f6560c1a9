"""Reads an order file into an order, or reports everything that is wrong with it."""

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from nesting.cloth.cloth import Cloth, Coating, Nap, Price
from nesting.errors import Fault, OrderError
from nesting.orders import rules
from nesting.orders.cloth_tables import ClothTable
from nesting.orders.entries import Entry, read_entry, read_list
from nesting.orders.order import Item, Order
from nesting.orders.places import KeyPath, find_lines
from nesting.orders.schema import Head, LooseItemTable, item_table, known_products
from nesting.orders.source import parse_toml, read_text
from nesting.orders.stock.reading import Stock, read_stock
from nesting.orders.stock.rules import name_faults
from nesting.orders.stock.shades import shade_faults
from nesting.units import YD, M, to_grid

if TYPE_CHECKING:
    from nesting.panels.product import Product


def read_order(path: Path | str) -> Order:
    """Read the order in a file.

    Raises
    ------
    OrderError
        With all faults of the file, each with place, rule, value, remedy and,
        if it is known, the line.
    AccessError
        When the file does not exist, is a folder, or may not be read.
    """
    path = Path(path)
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
    units = head.sound.get("units")
    stocks, cloth_faults = read_cloths(document, lines, units, folder)
    items, item_faults = read_list("item", document, lines)
    faults += [*cloth_faults, *item_faults]
    for item in items:
        faults += _item_faults(item, products, units, folder)
    faults += rules.order_faults([stock.cloth for stock in stocks], items)
    if not faults:
        faults += rules.size_faults(items, products)
    must_be_sound(faults)
    order = Order(
        name=head.sound["name"],
        units=head.sound["units"],
        cloths=tuple(map(cloth_of, stocks)),
        items=tuple(_item(item, products, own) for item in items),
    )
    must_be_sound([*shade_faults(order, items)])
    return order


def must_be_sound(faults: list[Fault]) -> None:
    """Raise an `OrderError` with all faults, in the order of their lines, if there are any."""
    if faults:
        raise OrderError(sorted(faults, key=lambda fault: fault.line or 0))


def read_cloths(
    document: Mapping[str, Any], lines: Mapping[KeyPath, int], units: str | None, folder: Path
) -> tuple[list[Stock], list[Fault]]:
    """The cloths of a document with what is there of each, and everything wrong with them."""
    cloths, faults = read_list("cloth", document, lines)
    stocks = []
    for cloth in cloths:
        faults += read_entry(cloth, ClothTable, units)
        faults += rules.cloth_faults(cloth)
        stock, wrong = read_stock(cloth, units, folder)
        stocks.append(stock)
        faults += wrong
    return stocks, [*faults, *name_faults(cloths, [stock.tables for stock in stocks])]


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


def cloth_of(stock: Stock) -> Cloth:
    """The cloth of tables in which everything is sound."""
    sound = stock.cloth.sound
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
        flaws=stock.roll_flaws(),
        stock=stock.cloth_pieces(),
        may_buy=sound["may_buy"],
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
        hidden=item.sound["hidden"] or (),
        one_shade=item.sound["one_shade"],
        own_product=own.get(product.name),
    )
