"""As many whole items of an order as fit on the cloth that is there."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from nesting.errors import NotEnoughClothError
from nesting.orders.order import Item, Order
from nesting.planning.items import make_item
from nesting.planning.plan import Plan


@dataclass(frozen=True)
class LeftOut:
    """How many of an item could not be laid, out of how many."""

    item: str
    left: int
    ordered: int


def plan_what_fits(order: Order, plan: Callable[[Order], Plan]) -> tuple[Plan, tuple[LeftOut, ...]]:
    """Plan an order; if cloth is too little, with as few items less as are found to be enough.

    Of the items that are cut from a cloth that is short, those that take most of it are
    left out first. ``plan`` is called again, each time for fewer items.

    Raises
    ------
    NotEnoughClothError
        When not one of the items that need the cloth can be laid.
    """
    counts = {item.name: item.quantity for item in order.items}
    while True:
        left = replace(order, items=tuple(_some(order, counts)))
        try:
            found = plan(left)
        except NotEnoughClothError as short:
            _leave_out(order, counts, short.short2)
            if not any(counts.values()):
                raise
        else:
            return found, _left_out(order, counts)


def _some(order: Order, counts: dict[str, int]) -> list[Item]:
    return [replace(item, quantity=counts[item.name]) for item in order.items if counts[item.name]]


def _left_out(order: Order, counts: dict[str, int]) -> tuple[LeftOut, ...]:
    return tuple(
        LeftOut(item.name, item.quantity - counts[item.name], item.quantity)
        for item in order.items
        if counts[item.name] < item.quantity
    )


def _leave_out(order: Order, counts: dict[str, int], short2: dict[str, float]) -> None:
    """Lower the counts by at least one, until about so much less of each cloth is needed."""
    for cloth, lacking in short2.items():
        needs = {item.name: _area2(item, cloth) for item in order.items}
        freed = 0.0
        while any(needs[name] and count for name, count in counts.items()):
            largest = max(counts, key=lambda name: needs[name] * bool(counts[name]))
            # no more than is needed: the smallest item that frees what is still lacking
            enough = [n for n, count in counts.items() if count and needs[n] >= lacking - freed]
            name = min(enough, key=lambda n: needs[n]) if enough else largest
            counts[name] -= 1
            freed += needs[name]
            if freed >= lacking:
                break


def _area2(item: Item, cloth: str) -> int:
    """Twice the area of the panels of one copy of an item on a cloth."""
    panels = (panel for panel in make_item(item).panels if panel.cloth == cloth)
    return sum(panel.per_item * panel.cut.area2 for panel in panels)
