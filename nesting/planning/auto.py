"""What an order leaves open: how many pieces a long strip is cut in ("auto").

`auto_from_quick_lays` chooses the number for a new lay; `auto_from_drawing`
reads it from the drawing of an existing lay.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Final

from nesting.cloth.cloth import Cloth
from nesting.layouts.lay import Choice
from nesting.orders.order import Item, Order
from nesting.panels.drafting.draft import Joining
from nesting.panels.making import Made
from nesting.panels.measurements import AUTO, Measurement
from nesting.planning.cloth_panels import panels_by_cloth
from nesting.planning.items import can_exist, make_item, with_value

#: Numbers of pieces up to this are tried, and further if one for each side or the usual
#: number is greater.
_TRIED: Final = 6


def open_measurements(item: Item) -> Iterator[Measurement]:
    """Measurements for which the order of an item says "auto"."""
    for measurement in item.made_as.measurements:
        if item.values[measurement.name] == AUTO:
            yield measurement


def strips_of(item: Item, measurement: Measurement) -> tuple[Joining, ...]:
    """The strips whose number of pieces a measurement gives; none if the item has no such strip."""
    joinings = item.made_as.draft(item.values).joinings
    return tuple(each for each in joinings if each.measurement == measurement.name)


def numbered(
    cloths: Sequence[Cloth], item: Item, measurement: Measurement
) -> Iterator[tuple[int, Item]]:
    """Each number of pieces that is tried for a measurement, and the item with it.

    Where none of the usual numbers fits the cloths, more are tried until one does.
    """
    strips = strips_of(item, measurement)
    least, greatest = int(measurement.least or 1), int(measurement.greatest or _TRIED)
    most = max((_TRIED, *(max(strip.sides, strip.pieces) for strip in strips)))
    fitting = False
    for pieces in range(least, greatest + 1):
        if fitting and pieces > most:
            return
        tried = with_value(item, measurement.name, pieces)
        if can_exist(tried):
            yield pieces, tried
            fitting = fitting or not misfits(cloths, make_item(tried))


def misfits(cloths: Sequence[Cloth], made: Made) -> int:
    """How many panels of an item are too large for the cloths that they are cut from."""
    return sum(len(cut.misfits) for cut in panels_by_cloth(cloths, [made]))


def with_choices(order: Order, choices: Iterable[Choice]) -> Order:
    """The order with the choices in place of "auto"; everything else stays as it is."""
    chosen = {(each.item, each.measurement): each.pieces for each in choices}
    return replace(order, items=tuple(_with_choices(item, chosen) for item in order.items))


def _with_choices(item: Item, chosen: dict[tuple[str, str], int]) -> Item:
    for measurement in tuple(open_measurements(item)):
        if (key := (item.name, measurement.name)) in chosen:
            item = with_value(item, measurement.name, chosen[key])
    return item
