"""From the items of an order to cut panels whose seams meet."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType

from nesting.errors import Fault, SeamError
from nesting.orders.order import Item, Order
from nesting.panels.article import article_faults
from nesting.panels.cautions import in_order
from nesting.panels.drafting.draft import Fact
from nesting.panels.drafting.seams import SeamMeasure
from nesting.panels.making import Made, make_panels
from nesting.panels.measurements import Value
from nesting.tolerances import SEAM_MM


def make_items(
    order: Order, facts: Mapping[str, tuple[Fact, ...]] = MappingProxyType({})
) -> tuple[Made, ...]:
    """Cut panels of every item of an order, with all seams checked to meet.

    ``facts``, by the name of the item, are added to those of the item itself.

    Raises
    ------
    SeamError
        With every seam whose two edges differ at the stitch line.
    """
    made = tuple(
        replace(parts, facts=(*parts.facts, *facts.get(item.name, ())))
        for item, parts in zip(order.items, map(make_item, order.items), strict=True)
    )
    faults = [
        _unequal(item, seam)
        for item, parts in zip(order.items, made, strict=True)
        for seam in parts.seams
        if not seam.meets
    ]
    if faults:
        raise SeamError(faults)
    return made


def make_item(item: Item) -> Made:
    """Cut panels of one item, with its seams measured but not checked."""
    return make_panels(
        item.made_as,
        item.values,
        item=item.name,
        cloth=item.cloth,
        quantity=item.quantity,
        allowance_mm=item.allowance_mm,
        panel_cloths=item.panel_cloths,
        railroad=item.railroad,
        liner=item.liner,
        hidden=item.hidden,
        one_shade=item.one_shade,
    )


def order_cautions(made: Iterable[Made]) -> tuple[str, ...]:
    """The cautions of made items, each once."""
    return in_order(caution for one in made for caution in one.cautions)


def with_value(item: Item, measurement: str, value: Value) -> Item:
    """The item with another value of one measurement."""
    return replace(item, values={**item.values, measurement: value})


def can_exist(item: Item) -> bool:
    """Tell whether the measurements of an item can exist together."""
    return not article_faults(item.made_as, item.values, item.allowance_mm)


def _unequal(item: Item, seam: SeamMeasure) -> Fault:
    return Fault(
        place=f'item "{item.name}", seam "{seam.seam}"',
        rule=f"both edges must be equally long at the stitch line, within {SEAM_MM:g} mm",
        value=f"{seam.first} {seam.first_mm:.1f} mm, {seam.second} {seam.second_mm:.1f} mm"
        + (f", {seam.ease_percent:g} % ease declared" if seam.ease_percent else ""),
        remedy="correct the measurements that make them",
    )
