"""Rules between the keys of a table, and between the tables of an order.

Each rule looks only at values that are valid on their own; faults in the
others are already reported, so one reading reports everything once.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Final

from nesting.cloth.cloth import Nap
from nesting.cloth.naming import file_name
from nesting.errors import Fault, written
from nesting.orders.entries import Entry
from nesting.orders.places import line_of
from nesting.orders.values import nearest
from nesting.panels.article import article_draft, article_faults
from nesting.panels.parts.filling import is_filled
from nesting.units import to_grid

if TYPE_CHECKING:
    from nesting.panels.measurements import Value
    from nesting.panels.product import Product

#: Most panels of one order. A larger order leaves no time for a useful search.
MOST_PANELS: Final = 5000

#: Keys of an item whose rules need its panels.
_PANEL_KEYS: Final = ("panel_cloth", "railroad", "liner", "hidden")


def cloth_faults(cloth: Entry) -> Iterator[Fault]:
    """Rules of a cloth that contradict each other."""
    yield from _turning_faults(cloth)
    yield from _price_faults(cloth)
    yield from _size_faults(cloth)


def _turning_faults(cloth: Entry) -> Iterator[Fault]:
    if cloth.sound.get("nap") == Nap.ONE_WAY and cloth.sound.get("cross_grain"):
        default = "" if "nap" in cloth.table else ", and a cloth without a nap key is one-way"
        yield cloth.fault(
            "cross_grain",
            f"no panel may be turned a quarter on a one-way cloth{default}",
            'take it out, or write nap = "up-and-down" or "either-way" if the cloth allows it',
        )


def _price_faults(cloth: Entry) -> Iterator[Fault]:
    priced = [key for key in ("price_per_metre", "price_per_yard") if key in cloth.table]
    if len(priced) == 2:
        yield cloth.fault(priced[1], "a cloth has one price", "take one of the two out")
    if priced and "currency" not in cloth.table:
        yield cloth.fault("currency", "is missing beside a price", 'add it, like currency = "EUR"')
    if "currency" in cloth.table and not priced:
        remedy = "add price_per_metre or price_per_yard, or take the currency out"
        yield cloth.fault("currency", "has no effect without a price", remedy)


def _size_faults(cloth: Entry) -> Iterator[Fault]:
    width, selvedge = cloth.sound.get("width"), cloth.sound.get("selvedge")
    if width and selvedge and to_grid(width) - 2 * to_grid(selvedge) < 1:
        remedy = "give the selvedge of one edge, and check both numbers and their units"
        yield cloth.fault("selvedge", "both selvedges together must leave some cloth", remedy)
    roll, end = cloth.sound.get("roll_length"), cloth.sound.get("end_allowance")
    if roll and end and to_grid(roll) - 2 * to_grid(end) < 1:
        remedy = "check both lengths and their units"
        yield cloth.fault("roll_length", "must be longer than both end allowances", remedy)


def item_faults(item: Entry, product: "Product", units: str) -> Iterator[Fault]:
    """Measurements, each valid on its own, that contradict each other; unknown panels."""
    faults = [*_measurement_faults(item, product, units)]
    yield from faults
    if not faults and any(item.sound[key] for key in _PANEL_KEYS):
        draft = product.draft(values_of(item, product))
        yield from _panel_cloth_faults(item, [n for p in draft.panels for n in (p.name, *p.parts)])
        yield from _railroad_faults(item, [p.name for p in draft.panels if not p.may_railroad])
        if item.sound["liner"] and not is_filled(draft):
            rule = f"a liner holds a filling, and {product.name} has none"
            yield item.fault("liner", rule, "take it out")
        else:
            yield from _hidden_faults(item, product)


def _panel_cloth_faults(item: Entry, panels: Sequence[str]) -> Iterator[Fault]:
    """Cloths given to panels that the item does not have."""
    for panel in item.sound["panel_cloth"] or ():
        if panel not in panels:
            remedy = nearest(panel, panels) or f"its panels are {', '.join(panels)}"
            keys = ("panel_cloth", panel)
            yield item.fault_within(keys, "the item has no such panel", remedy, written(panel))


def _hidden_faults(item: Entry, product: "Product") -> Iterator[Fault]:
    """Panels that are hidden and that the item, its liner included, does not have."""
    lined = item.sound["liner"] is not None
    draft = article_draft(product, values_of(item, product), lined=lined)
    panels = [name for panel in draft.panels for name in (panel.name, *panel.parts)]
    for panel in item.sound["hidden"] or ():
        if panel not in panels:
            remedy = nearest(panel, panels) or f"its panels are {', '.join(panels)}"
            yield item.fault("hidden", "the item has no such panel", remedy, written(panel))


def _railroad_faults(item: Entry, forbidding: Sequence[str]) -> Iterator[Fault]:
    if item.sound["railroad"] and forbidding:
        rule = f"must not be true: {', '.join(forbidding)} must keep to the grain"
        yield item.fault("railroad", rule, "take it out")


def _measurement_faults(item: Entry, product: "Product", units: str) -> Iterator[Fault]:
    """Faults that the product finds, with lengths in the order's unit and values as written."""
    values, allowance = values_of(item, product), item.sound["seam_allowance"]
    for fault in article_faults(product, values, allowance):
        key, rule, value, remedy = fault.texts(units)
        if key in item.table:
            value = written(item.table[key])
        yield item.fault(key, rule, remedy, value)


def values_of(item: Entry, product: "Product") -> "dict[str, Value]":
    """Every measurement of a valid item."""
    return {each.name: item.sound[each.name] for each in product.measurements}


def order_faults(cloths: Sequence[Entry], items: Sequence[Entry]) -> Iterator[Fault]:
    """Names used twice, and cloths that do not exist."""
    yield from _twin_faults(cloths, files=True)
    yield from _twin_faults(items, files=False)
    names = [cloth.sound["name"] for cloth in cloths if "name" in cloth.sound]
    if len(names) < len(cloths) or not names:
        return  # an item may mean the cloth whose name could not be read
    for item in items:
        for key in ("cloth", "liner"):
            meant = item.sound.get(key)
            if meant is not None and meant not in names:
                remedy = nearest(meant, names) or f"the cloths are {_listed(names)}"
                yield item.fault(key, "no cloth has this name", remedy)
        for panel, other in (item.sound.get("panel_cloth") or {}).items():
            if other not in names:
                remedy = nearest(other, names) or f"the cloths are {_listed(names)}"
                keys = ("panel_cloth", panel)
                yield item.fault_within(keys, "no cloth has this name", remedy, written(other))


def _listed(names: Sequence[str]) -> str:
    return ", ".join(map(written, names[:9]))


def _twin_faults(entries: Sequence[Entry], *, files: bool) -> Iterator[Fault]:
    seen: dict[str, Entry] = {}
    for entry in entries:
        name = entry.sound.get("name")
        if name is None:
            continue
        first = seen.setdefault(file_name(name) if files else name, entry)
        if first is not entry:
            yield entry.fault("name", *_twin_of(first, name))


def _twin_of(first: Entry, name: str) -> tuple[str, str]:
    line = line_of(first.lines, (*first.path, "name"))
    where = f"{first.title} on line {line}" if line else first.title
    if first.sound["name"] == name:
        return f"the name is taken by {where}", "give each its own name"
    rule = f"its files would have the same name, {file_name(name)}, as those of {where}"
    return rule, "let the names differ in a letter or a digit"


def product_faults(item: Entry, products: "Mapping[str, Product]") -> Iterator[Fault]:
    """A product that is not registered."""
    named = item.sound.get("product")
    if named is not None:
        remedy = f"{nearest(named, products)} the products are {', '.join(products)}"
        yield item.fault("product", "no product has this name", remedy.strip())


def size_faults(items: Sequence[Entry], products: "Mapping[str, Product]") -> Iterator[Fault]:
    """Too many panels for one order; all its items are already valid."""
    panels = [_panels(item, products[item.sound["product"]]) for item in items]
    if sum(panels) > MOST_PANELS:
        rule = f"an order must not have more than {MOST_PANELS} panels, this has {sum(panels)}"
        largest = items[panels.index(max(panels))]
        yield largest.fault("quantity", rule, "make fewer of it, or write two orders")


def _panels(item: Entry, product: "Product") -> int:
    lined = item.sound["liner"] is not None
    draft = article_draft(product, values_of(item, product), lined=lined)
    return int(item.sound["quantity"]) * sum(panel.per_item for panel in draft.panels)
