"""What would help a panel that does not fit its cloth in any allowed turn.

Nothing is guessed: every change suggested here has been tried, and the panel
fits after it.
"""

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Final

from nesting.cloth.cloth import Cloth, Nap
from nesting.errors import Fault
from nesting.layouts.fit import fits, least_height
from nesting.orders.order import Item, Order
from nesting.panels.measurements import Measurement, MeasurementKind, Value
from nesting.panels.panel import Panel
from nesting.planning.cloth_panels import panels_by_cloth
from nesting.planning.items import can_exist, make_item, with_value
from nesting.units import Limit, format_length

#: A count is tried up to this many times its present value.
_MOST_TIMES: Final = 4

#: The whole item a quarter round, or no longer so.
_RAILROADED: Final = "railroad = true, if the grain of the whole item may run across the roll"
_UPRIGHT: Final = "railroad = false, if the grain of the whole item may run along the roll"


def misfit_fault(panel: Panel, cloth: Cloth, item: Item, order: Order) -> Fault:
    """Name the panel, its size, the cloth's usable width and what would help."""
    units = order.units
    if cloth.stock:
        return _fits_no_piece(panel, cloth, units)
    usable = format_length(cloth.usable_width, units)
    length, height = (format_length(n, units) for n in (panel.cut.length, panel.cut.height))
    return Fault(
        place=f'item "{panel.item}", panel "{panel.name}"',
        rule=f'must fit the usable width of "{cloth.name}", {usable}, in an allowed turn',
        value=f"{length} along the roll, {height} across",
        remedy="what would help: " + ", or ".join(_remedies(panel, cloth, item, order)),
    )


def _fits_no_piece(panel: Panel, cloth: Cloth, units: str) -> Fault:
    """A panel that is too long or too wide for every piece of its cloth."""
    length, width = (format_length(n, units) for n in (panel.cut.length, panel.cut.height))
    listed = ", ".join(f'"{piece.name}"' for piece in cloth.pieces)
    least = format_length(least_height(panel, cloth), units, Limit.AT_LEAST)
    return Fault(
        place=f'item "{panel.item}", panel "{panel.name}"',
        rule=f'must fit a piece of "{cloth.name}" in an allowed turn: {listed}',
        value=f"{length} along the roll, {width} across",
        remedy=f"add a piece that is long enough and has {least} between its selvedges",
    )


def _remedies(panel: Panel, cloth: Cloth, item: Item, order: Order) -> Iterator[str]:
    units = order.units
    yield from _in_the_item(panel, cloth, item, order.cloths)
    yield from _in_the_cloth(panel, cloth)
    needed = least_height(panel, cloth)
    if needed <= cloth.width:
        narrower = format_length((cloth.width - needed) // 2, units, Limit.AT_MOST)
        yield f"selvedges of no more than {narrower} each, if the real ones are that narrow"
    wider = format_length(needed + 2 * cloth.selvedge, units, Limit.AT_LEAST)
    yield f"a cloth at least {wider} wide"


def _in_the_cloth(panel: Panel, cloth: Cloth) -> Iterator[str]:
    """Changes to the rules of the cloth that let the panel be turned."""
    if fits(panel, replace(cloth, cross_grain=True)):
        yield "cross_grain = true, if the cloth may be used across"
    elif fits(panel, replace(cloth, nap=Nap.EITHER_WAY, cross_grain=True)):
        yield "a cloth without a one-way nap, with cross_grain = true"


def _in_the_item(panel: Panel, cloth: Cloth, item: Item, cloths: Sequence[Cloth]) -> Iterator[str]:
    """Other values of one key with which this panel fits and no new misfit appears."""
    other_misfits = _misfits(item, cloths) - {(cloth.name, panel.name)}
    for measurement in item.made_as.measurements:
        for value in _others(measurement, item.values[measurement.name]):
            changed = with_value(item, measurement.name, value)
            if can_exist(changed) and _misfits(changed, cloths) <= other_misfits:
                yield f"{measurement.name} = {json.dumps(value)}"
                break
    turned = replace(item, railroad=not item.railroad)
    if _may_lie(turned) and _misfits(turned, cloths) <= other_misfits:
        yield _RAILROADED if turned.railroad else _UPRIGHT


def _may_lie(item: Item) -> bool:
    """Whether every panel of an item may lie the way that the item does."""
    panels = item.made_as.draft(item.values).panels
    return not item.railroad or all(panel.may_railroad for panel in panels)


def _others(measurement: Measurement, value: Value) -> Iterable[Value]:
    """Values that a measurement might have instead; lengths are not changed."""
    if measurement.kind is MeasurementKind.CHOICE:
        return [choice for choice in measurement.choices if choice != value]
    counted = (MeasurementKind.COUNT, MeasurementKind.COUNT_OR_AUTO)
    if measurement.kind in counted and isinstance(value, int):
        greatest = measurement.greatest or value * _MOST_TIMES
        return range(value + 1, int(min(greatest, value * _MOST_TIMES)) + 1)
    return ()


def _misfits(item: Item, cloths: Sequence[Cloth]) -> frozenset[tuple[str, str]]:
    """Cloth and name of every panel of an item that does not fit its cloth."""
    cuts = panels_by_cloth(cloths, [make_item(item)])
    return frozenset((cut.cloth.name, panel.name) for cut in cuts for panel in cut.misfits)
