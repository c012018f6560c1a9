"""How many pieces a long strip is cut in, chosen for a new lay.

Each number from one piece on is laid once, quickly, with everything else that
is cut from the same cloths: the bottom-left layout from which every search
begins. The number that needs least cloth wins; where several need as little,
the fewest pieces win. So the choice depends on the order alone.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from nesting.layouts.cutting_list import cutting_list, packing_problem
from nesting.layouts.lay import Choice
from nesting.orders.order import Item, Order
from nesting.packing.solver import first_layout
from nesting.packing.stage import Stage
from nesting.panels.drafting.draft import Fact, Joining
from nesting.panels.measurements import Measurement
from nesting.planning.auto import numbered, open_measurements, strips_of, with_choices
from nesting.planning.cloth_panels import ClothPanels, panels_by_cloth
from nesting.planning.items import make_item, with_value
from nesting.units import to_mm

#: Panels that are laid at most for a trial; of an order with more, the item alone is laid,
#: and only as many of it as have so few panels.
_MOST_PANELS: Final = 150

#: Facts of items by their names.
Facts = Mapping[str, tuple[Fact, ...]]


@dataclass(frozen=True)
class Trial:
    """A number of pieces, and the cloth it needs in a quick lay; None where it does not fit."""

    pieces: int
    area: int | None


def choose_pieces(order: Order) -> tuple[tuple[Choice, ...], Facts]:
    """A number for every strip of which the order says "auto", and what each choice saves."""
    choices: list[Choice] = []
    facts: dict[str, tuple[Fact, ...]] = {}
    for index, item in enumerate(order.items):
        for measurement in open_measurements(item):
            trying = with_choices(order, choices)
            if strips := strips_of(trying.items[index], measurement):
                choice, told = _chosen(trying, index, measurement, strips[0])
                choices.append(choice)
                facts[item.name] = (*facts.get(item.name, ()), *told)
    return tuple(choices), facts


def _chosen(
    order: Order, index: int, measurement: Measurement, usual: Joining
) -> tuple[Choice, tuple[Fact, ...]]:
    """The number that needs least cloth, or the usual one where none fits, and what is told."""
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

    Where another item does not fit, perhaps because its own number of pieces
    is not chosen yet, the item is laid alone.
    """
    for tried in (order, replace(order, items=(item,))):
        cuts = panels_by_cloth(tried.cloths, map(make_item, tried.items))
        if not any(cut.misfits for cut in cuts):
            return sum(map(_cloth_of, cuts))
    return None


def _cloth_of(cut: ClothPanels) -> int:
    stage = Stage(packing_problem(cut.cloth, cutting_list(cut.panels)))
    return stage.used_length(first_layout(stage)) * cut.cloth.width


def _saving(best: Trial, trials: Sequence[Trial], usual: Joining, width: int) -> Fact:
    """The choice as a sentence: what it saves against others, as a length of the item's cloth."""
    others = {usual.sides: "one for each side", 1: "one piece"}  # of one side they are the same
    saved = [
        _saved(best.area, trial.area, width, others[trial.pieces])
        for trial in trials
        if trial.pieces in others and trial.pieces != best.pieces and best.area is not None
    ]
    cut = "one piece" if best.pieces == 1 else f"{best.pieces} pieces"
    said = f"{usual.strip} in {cut}, chosen by quick lays"
    sentence = f"{said}: {'; '.join(text for text, _ in saved)}" if saved else said
    return Fact(sentence, tuple(length for _, lengths in saved for length in lengths))


def _saved(area: int, other: int | None, width: int, what: str) -> tuple[str, tuple[float, ...]]:
    if other is None:
        return f"{what} would not fit the cloth", ()
    return f"{{}} of cloth less than with {what}", (to_mm((other - area) / width),)
