"""Checks a layout file against its order, whose panels are made anew; nothing is packed."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, cast

from nesting.layouts.lay import Choice
from nesting.orders.order import Order
from nesting.planning.auto import open_measurements
from nesting.planning.items import can_exist, with_value
from nesting.planning.order_panels import make_order
from nesting.verification.against_order import Ordered, check_against_order
from nesting.verification.checker import check_record, read_json
from nesting.verification.findings import Finding, Rule, finding

Json = Mapping[str, Any]


def check_file_of_order(path: Path, order: Order) -> tuple[Finding, ...]:
    """Every breach of a rule in a layout file, and every way in which it is not its order's.

    Raises
    ------
    AccessError
        When the file cannot be read.
    OrderError
        When it is not a layout file of this version; all faults together.
    WorkError
        When the panels of the order cannot be made or do not fit their cloths.
    """
    read = read_json(path)
    found = check_record(read)
    record = cast("Json", read)  # or the check would have refused it
    wrong = tuple(_wrong_choices(record, order))
    if wrong:
        return (*found, *wrong)
    made = make_order(order, (Choice(**choice) for choice in record.get("choices", ())))
    ordered = [Ordered(cut.cloth, cut.panels) for cut in made.cuts]
    return (*found, *check_against_order(record, order.name, ordered))


def _wrong_choices(record: Json, order: Order) -> Iterator[Finding]:
    """Choices of the record that its order does not leave open, or that cannot be made."""
    items = {item.name: item for item in order.items}
    for choice in record.get("choices", ()):
        item, name, pieces = (choice[key] for key in ("item", "measurement", "pieces"))
        where = f"{item}: {name}"
        known = items.get(item)
        if known is None or name not in {each.name for each in open_measurements(known)}:
            yield finding(Rule.CHOICE, where, f'{pieces}, but the order does not say "auto" there')
        elif not can_exist(with_value(known, name, pieces)):
            yield finding(Rule.CHOICE, where, f"{pieces} cannot be made")
