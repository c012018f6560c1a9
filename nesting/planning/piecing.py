"""How many pieces a long strip is cut in, where an order leaves it to the plan.

Each number from one piece on is laid once, quickly, with everything else that
is cut from the same cloths: the bottom-left layout from which every search
begins. The least cloth wins, the fewest pieces where several need as little.
So the choice depends on the order alone.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from nesting.errors import PanelTooLargeError
from nesting.layouts.cutting_list import cutting_list, posed
from nesting.orders.order import Item, Order
from nesting.packing.solver import first_layout
from nesting.packing.stage import Stage
from nesting.panels.drafting.draft import Fact, Joining
from nesting.panels.measurements import AUTO, Measurement
from nesting.panels.product import products
from nesting.planning.by_cloth import ClothPanels, panels_by_cloth
from nesting.planning.items import make_item
from nesting.units import to_mm

#: Numbers of pieces that are tried at least; one for each side always is, and what is usual.
_TRIED: Final = 6

#: Panels that are laid at most for a trial; beyond, the item alone is laid, and few of it.
_MOST_PANELS: Final = 150

#: Facts of items by their names.
Facts = Mapping[str, tuple[Fact, ...]]


@dataclass(frozen=True)
class Trial:
    """A number of pieces, and the cloth it needs in a quick lay; None where it does not fit."""

    pieces: int
    area: int | None


def choose_pieces(order: Order) -> tuple[Order, Facts]:
    """The order with a number wherever it says "auto", and what each choice saves."""
    facts: dict[str, tuple[Fact, ...]] = {}
    for index, item in enumerate(order.items):
        for measurement in products()[item.product].measurements:
            if item.values[measurement.name] != AUTO:
                continue
            for usual in _joinings(order.items[index], measurement):
                trials = tuple(_trials(order, index, measurement, usual))
                chosen, told = _chosen(order, order.items[index], measurement, usual, trials)
                order = _with(order, index, chosen)
                facts[item.name] = (*facts.get(item.name, ()), *told)
    return order, facts


def _trials(order: Order, index: int, measurement: Measurement, usual: Joining) -> Iterator[Trial]:
    item = order.items[index]
    least, greatest = int(measurement.least or 1), int(measurement.greatest or _TRIED)
    for pieces in range(least, min(greatest, max(_TRIED, usual.sides, usual.pieces)) + 1):
        tried = replace(item, values={**item.values, measurement.name: pieces})
        if not products()[item.product].faults(tried.values, tried.allowance_mm):
            yield Trial(pieces, _area(_shortened(_with(order, index, tried), index), tried))


def _joinings(item: Item, measurement: Measurement) -> tuple[Joining, ...]:
    """The strip that a measurement asks about; none where the item has no such strip."""
    joinings = products()[item.product].draft(item.values).joinings
    return tuple(each for each in joinings if each.measurement == measurement.name)


def _with(order: Order, index: int, item: Item) -> Order:
    return replace(order, items=(*order.items[:index], item, *order.items[index + 1 :]))


def _shortened(order: Order, index: int) -> Order:
    """The order, or one item of it alone where it has too many panels for a quick lay."""
    if (
        sum(panel.copies for item in order.items for panel in make_item(item).panels)
        <= _MOST_PANELS
    ):
        return order
    item = order.items[index]
    each = sum(panel.per_item for panel in make_item(item).panels)
    few = max(1, min(item.quantity, _MOST_PANELS // each))
    return replace(order, items=(replace(item, quantity=few),))


def _area(order: Order, item: Item) -> int | None:
    """Cloth that quick lays of an order use, square grid units; None where the item does not fit.

    Of the item alone where another one does not fit, be it that nobody has
    chosen yet how many pieces it is cut in.
    """
    for tried in (order, replace(order, items=(item,))):
        try:
            cuts = panels_by_cloth(tried, map(make_item, tried.items))
        except PanelTooLargeError:
            continue
        return sum(map(_cloth_of, cuts))
    return None


def _cloth_of(cut: ClothPanels) -> int:
    stage = Stage(posed(cut.cloth, cutting_list(cut.panels)))
    return stage.used_length(first_layout(stage)) * cut.cloth.width


def _chosen(
    order: Order,
    item: Item,
    measurement: Measurement,
    usual: Joining,
    trials: Sequence[Trial],
) -> tuple[Item, tuple[Fact, ...]]:
    """The item with the number that needs least cloth; with the usual one where none fits."""
    fitting = [(trial.area, trial.pieces) for trial in trials if trial.area is not None]
    area, pieces = min(fitting, default=(None, usual.pieces))
    best = Trial(pieces, area)
    chosen = replace(item, values={**item.values, measurement.name: best.pieces})
    widths = (cloth.width for cloth in order.cloths if cloth.name == item.cloth)
    width = next(widths, order.cloths[0].width)
    others = {usual.sides: "one for each side", 1: "one piece"}  # of one side they are the same
    saved = [
        _saving(best, trial, width, others[trial.pieces])
        for trial in trials
        if trial.pieces in others and trial.pieces != best.pieces and best.area is not None
    ]
    cut = "one piece" if best.pieces == 1 else f"{best.pieces} pieces"
    said = f"{usual.strip} in {cut}, chosen by quick lays"
    sentence = f"{said}: {'; '.join(text for text, _ in saved)}" if saved else said
    lengths = tuple(length for _, lengths in saved for length in lengths)
    placed = [each.fact for each in _joinings(chosen, measurement) if each.usual]
    return chosen, (Fact(sentence, lengths), *placed)


def _saving(best: Trial, other: Trial, width: int, what: str) -> tuple[str, tuple[float, ...]]:
    """What a choice saves against another, as a length of the item's cloth."""
    if other.area is None or best.area is None:
        return f"{what} would not fit the cloth", ()
    return f"{{}} of cloth less than with {what}", (to_mm((other.area - best.area) / width),)
