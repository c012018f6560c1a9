"""What would help a panel that does not fit its cloth in any allowed turn.

Nothing is guessed: every change suggested here has been tried, and the panel
fits after it.
"""

import json
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Final

from nesting.cloth.cloth import Cloth, Nap
from nesting.errors import Fault
from nesting.layouts.fit import fits, least_height
from nesting.orders.order import Item
from nesting.panels.measurements import Measurement, MeasurementKind, Value
from nesting.panels.panel import Panel
from nesting.planning.cloth_panels import panels_from
from nesting.planning.items import can_exist, make_item, with_value
from nesting.units import Limit, format_length

#: A count is tried up to this many times its present value.
_MOST_TIMES: Final = 4


def misfit_fault(panel: Panel, cloth: Cloth, item: Item, units: str) -> Fault:
    """Name the panel, its size, the cloth's usable width and what would help."""
    usable = format_length(cloth.usable_width, units)
    length, height = (format_length(n, units) for n in (panel.cut.length, panel.cut.height))
    return Fault(
        place=f'item "{panel.item}", panel "{panel.name}"',
        rule=f'must fit the usable width of "{cloth.name}", {usable}, in an allowed turn',
        value=f"{length} along the roll, {height} across",
        remedy="what would help: " + ", or ".join(_remedies(panel, cloth, item, units)),
    )


def _remedies(panel: Panel, cloth: Cloth, item: Item, units: str) -> Iterator[str]:
    yield from _in_the_item(panel, cloth, item)
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


def _in_the_item(panel: Panel, cloth: Cloth, item: Item) -> Iterator[str]:
    """Other values of one measurement with which this panel fits and no new misfit appears."""
    other_misfits = _misfits(item, cloth) - {panel.name}
    for measurement in item.made_as.measurements:
        for value in _others(measurement, item.values[measurement.name]):
            changed = with_value(item, measurement.name, value)
            if can_exist(changed) and _misfits(changed, cloth) <= other_misfits:
                yield f"{measurement.name} = {json.dumps(value)}"
                break


def _others(measurement: Measurement, value: Value) -> Iterable[Value]:
    """Values that a measurement might have instead; lengths are not changed."""
    if measurement.kind is MeasurementKind.CHOICE:
        return [choice for choice in measurement.choices if choice != value]
    counted = (MeasurementKind.COUNT, MeasurementKind.COUNT_OR_AUTO)
    if measurement.kind in counted and isinstance(value, int):
        greatest = measurement.greatest or value * _MOST_TIMES
        return range(value + 1, int(min(greatest, value * _MOST_TIMES)) + 1)
    return ()


def _misfits(item: Item, cloth: Cloth) -> frozenset[str]:
    """Names of the panels of an item that are cut from a cloth and do not fit it."""
    return frozenset(panel.name for panel in panels_from(cloth, [make_item(item)]).misfits)
