"""How many pieces a long strip is cut in, chosen for a new lay.

Each number, from one piece up, is laid once, quickly, together with everything
else that is cut from the same cloths: this is the bottom-left layout that
every search begins with. The number that needs the least cloth wins; of equals
the one with the fewest pieces. So the choice depends on the order alone.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from nesting.layouts.cutting_list import cutting_list, packing_problem
from nesting.layouts.lay import Choice
from nesting.layouts.piece_strip import strip_of
from nesting.orders.order import Item, Order
from nesting.packing.solver import first_layout
from nesting.packing.stage import Stage
from nesting.panels.drafting.draft import Fact, Joining
from nesting.panels.measurements import Measurement
from nesting.planning.auto import numbered, open_measurements, strips_of, with_choices
from nesting.planning.cloth_panels import ClothPanels, panels_by_cloth
from nesting.planning.items import make_item, with_value
from nesting.units import to_mm

#: The most panels laid in a trial. If an order has more, only the item itself is laid, in
#: as many copies as keep to this number.
_MOST_PANELS: Final = 150

#: Facts of items by their names.
Facts = Mapping[str, tuple[Fact, ...]]


@dataclass(frozen=True)
class Trial:
    """A number of pieces, and the cloth area that a quick lay uses; None if it does not fit."""

    pieces: int
    area: int | None


def choose_pieces(order: Order) -> tuple[tuple[Choice, ...], Facts]:
    """A number for every strip for which the order says "auto", and what each choice saves."""
    choices: list[Choice] = []
    facts: dict[str, tuple[Fact, ...]] = {}
    for index, item in enumerate(order.items):
        for measurement in open_measurements(item):
            trying = with_choices(order, choices)
            if strips := strips_of(trying.items[index], measurement):
                choice, reasons = _choose(trying, index, measurement, strips[0])
                choices.append(choice)
                facts[item.name] = (*facts.get(item.name, ()), *reasons)
    return tuple(choices), facts


def _choose(
    order: Order, index: int, measurement: Measurement, usual: Joining
) -> tuple[Choice, tuple[Fact, ...]]:
    """The number that needs least cloth (the usual one if none fits), and facts about it."""
    item = order.items[index]
    trials = [
        Trial(pieces, _area(_shortened(_with(order, index, tried), index), tried))
        for pieces, tried in numbered(order.cloths, item, measurement)
    ]
    fitting = [(trial.area, trial.pieces) for trial in trials if trial.area is not None]
    area, pieces = min(fitting, default=(None, usual.pieces))
    width = next((cloth.width for cloth in order.cloths if cloth.name == item.cloth), None)
    fact = _saving(Trial(pieces, area), trials, usual, width or order.cloths[0].width)
    chosen = with_value(item, measurement.name, pieces)
    joined = [strip.fact for strip in strips_of(chosen, measurement) if strip.usual]
    return Choice(item.name, measurement.name, pieces), (fact, *joined)


def _with(order: Order, index: int, item: Item) -> Order:
    return replace(order, items=(*order.items[:index], item, *order.items[index + 1 :]))


def _shortened(order: Order, index: int) -> Order:
    """The order; if it has too many panels for a quick lay, the item alone in few copies."""
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
    """Cloth that quick lays of an order use, square grid units; None if the item does not fit.

    If another item does not fit, perhaps because its own number of pieces is
    not chosen yet, the item is laid alone.
    """
    for tried in (order, replace(order, items=(item,))):
        cuts = panels_by_cloth(tried.cloths, map(make_item, tried.items))
        if not any(cut.misfits for cut in cuts):
            return sum(map(_quick_lay_area, cuts))
    return None


def _quick_lay_area(cut: ClothPanels) -> int:
    roll = strip_of(cut.cloth, [cut.cloth.roll])
    stage = Stage(packing_problem(roll, cutting_list(cut.panels)))
    return stage.used_length(first_layout(stage)) * cut.cloth.width


def _saving(best: Trial, trials: Sequence[Trial], usual: Joining, width: int) -> Fact:
    """The choice as a sentence: the length of the item's cloth it saves compared with others."""
    others = {usual.sides: "one for each side", 1: "one piece"}  # with one side, one entry
    savings = [
        _saved(best.area, trial.area, width, others[trial.pieces])
        for trial in trials
        if trial.pieces in others and trial.pieces != best.pieces and best.area is not None
    ]
    cut = "one piece" if best.pieces == 1 else f"{best.pieces} pieces"
    sentence = f"{usual.strip} in {cut}, chosen by quick lays"
    if savings:
        sentence += f": {'; '.join(text for text, _ in savings)}"
    return Fact(sentence, tuple(length for _, lengths in savings for length in lengths))


def _saved(area: int, other: int | None, width: int, what: str) -> tuple[str, tuple[float, ...]]:
    if other is None:
        return f"{what} would not fit the cloth", ()
    return f"{{}} less cloth than with {what}", (to_mm((other - area) / width),)
