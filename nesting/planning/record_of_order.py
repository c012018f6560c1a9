"""Checks a layout record against its order, whose panels are made anew; nothing is packed."""

from collections.abc import Iterator, Mapping
from typing import Any

from nesting.layouts.lay import Choice
from nesting.orders.order import Order
from nesting.panels.measurements import Measurement
from nesting.planning.auto import open_measurements, strips_of
from nesting.planning.items import can_exist, with_value
from nesting.planning.order_panels import make_order
from nesting.verification.against_order import Ordered, check_against_order
from nesting.verification.findings import Finding, Rule, finding

Json = Mapping[str, Any]


def check_record_of_order(record: Json, order: Order) -> tuple[Finding, ...]:
    """Every way in which a layout record is not what its order asks for.

    ``record`` has passed `check_record`, which judges the lay itself.

    Raises
    ------
    WorkError
        When the panels of the order cannot be made or do not fit their cloths.
    """
    wrong = (*_wrong_choices(record, order), *_choices_left_out(record, order))
    if wrong:
        return wrong
    made = make_order(order, (Choice(**choice) for choice in _choices(record)))
    ordered = [Ordered(cut.cloth, cut.panels) for cut in made.cuts]
    return check_against_order(record, order.name, ordered)


def _choices(record: Json) -> list[Json]:
    return list(record.get("choices", ()))


def _wrong_choices(record: Json, order: Order) -> Iterator[Finding]:
    """Choices of the record that its order does not leave open, or that cannot be made."""
    items = {item.name: item for item in order.items}
    for choice in _choices(record):
        item, name, pieces = (choice[key] for key in ("item", "measurement", "pieces"))
        where, known = f"{item}: {name}", items.get(item)
        open_ones = {each.name: each for each in open_measurements(known)} if known else {}
        if known is None or name not in open_ones:
            yield finding(Rule.CHOICE, where, f'{pieces}, but the order does not say "auto" there')
        elif not _within(open_ones[name], pieces) or not can_exist(with_value(known, name, pieces)):
            yield finding(Rule.CHOICE, where, f"{pieces} cannot be made")


def _within(measurement: Measurement, pieces: int) -> bool:
    """Whether a number lies within the limits of its measurement, before anything is drawn."""
    least, greatest = measurement.least, measurement.greatest
    return (least is None or least <= pieces) and (greatest is None or pieces <= greatest)


def _choices_left_out(record: Json, order: Order) -> Iterator[Finding]:
    """Strips for which the order says "auto" and the record names no number."""
    chosen = {(choice["item"], choice["measurement"]) for choice in _choices(record)}
    for item in order.items:
        for measurement in open_measurements(item):
            if (item.name, measurement.name) not in chosen and strips_of(item, measurement):
                detail = 'the order says "auto", and the record names no number: lay it again'
                yield finding(Rule.CHOICE, f"{item.name}: {measurement.name}", detail)
