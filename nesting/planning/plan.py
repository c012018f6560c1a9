"""plan_order(): from an order to checked lays on one page: panels, problems, lays, check."""

import os
from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass
from functools import partial
from typing import Final

from nesting.errors import Fault, NotEnoughClothError, RollTooShortError, UnprovenLayError
from nesting.layouts.lay import ClothLay, OrderLay
from nesting.layouts.storage import as_record
from nesting.orders.order import Order
from nesting.packing.running import Limits, Progress, uninterrupted
from nesting.panels.making import Made
from nesting.planning.auto_from_quick_lays import choose_pieces
from nesting.planning.cloth_panels import ClothPanels
from nesting.planning.laying import lay_cloths
from nesting.planning.order_panels import make_order
from nesting.planning.run import Run, Search
from nesting.units import format_finely, format_length, mark
from nesting.verification.checker import check_record
from nesting.verification.findings import Finding

DEFAULT_LIMITS: Final = Limits()


@dataclass(frozen=True)
class Plan:
    """A verified lay for each cloth that an order uses, and what it was made from.

    ``order`` has a number wherever the given order says "auto".
    """

    order: Order
    made: tuple[Made, ...]
    lay: OrderLay
    searches: tuple[Search, ...]

    @property
    def interrupted(self) -> bool:
        """Whether a search was stopped early."""
        return any(search.interrupted for search in self.searches)


def unobserved(_cut: ClothPanels, _progress: Progress) -> None:
    """Observe nothing."""


def plan_order(
    order: Order,
    limits: Limits = DEFAULT_LIMITS,
    *,
    seed: int = 0,
    workers: int | None = None,
    observe: Callable[[ClothPanels, Progress], None] = unobserved,
    interrupted: Callable[[], bool] = uninterrupted,
    executor: Executor | None = None,
) -> Plan:
    """Make the panels of an order, lay them on each of its cloths, and verify the lays.

    ``limits`` apply to each cloth; ``workers`` (default: one per core) are
    shared out over the cloths. With several cloths and workers, processes are
    started, so a script needs the ``__main__`` guard of `multiprocessing`.
    With one worker, a seed and ``limits`` in steps the lay is always the same.

    Raises
    ------
    SeamError
        When edges that are sewn together differ.
    PanelTooLargeError
        When panels do not fit their cloth in any allowed turn.
    RollTooShortError
        When a lay is longer than its roll.
    NotEnoughClothError
        When panels do not fit on the pieces of cloths of which no more may be bought.
    UnprovenLayError
        When the independent check finds fault with a lay: a fault in the program.
    """
    panels = make_order(order, *choose_pieces(order))
    run = Run(limits, seed, workers or os.cpu_count() or 1, observe, interrupted, executor)
    try:
        laid = lay_cloths(panels.cuts, run)
    except NotEnoughClothError as short:
        raise short.in_unit(order.units) from None
    lays = tuple(lay for each in laid for lay in each.lays)
    lay = OrderLay(order.name, seed, lays, panels.choices)
    _must_fit_the_rolls(lays, order.units)
    must_be_proved(check_record(as_record(lay)))
    return Plan(panels.order, panels.made, lay, tuple(each.search for each in laid))


def must_be_proved(findings: tuple[Finding, ...]) -> None:
    """Refuse a lay with which the independent check finds fault.

    Raises
    ------
    UnprovenLayError
        With every finding.
    """
    if findings:
        raise unproven(findings)


def unproven(findings: tuple[Finding, ...]) -> UnprovenLayError:
    """The error that tells of findings in what this program made."""
    return UnprovenLayError([_unproven(found) for found in findings])


def _unproven(found: Finding) -> Fault:
    return Fault(
        found.where,
        f"{found.rule} (finding {found.number})",
        found.detail,
        "a fault in the program, not in your order; nothing was written. "
        "Please send the order file and this message to whoever gave you clothwright",
    )


def _must_fit_the_rolls(lays: tuple[ClothLay, ...], units: str) -> None:
    faults = [
        _too_long(lay, lay.cloth.roll_length, units)
        for lay in lays
        if lay.cloth.roll_length is not None and lay.buy_length > lay.cloth.roll_length
    ]
    if faults:
        raise RollTooShortError(faults)


def _too_long(lay: ClothLay, roll_length: int, units: str) -> Fault:
    """How much the roll is short of, and whether a longer search could help."""
    needed, least = lay.buy_length, lay.cloth.buy_length(lay.lower_bound)
    lacking, certain = needed - roll_length, least - roll_length
    coarse = lacking >= mark(units) and not 0 < certain < mark(units)
    text = partial(format_length if coarse else format_finely, unit=units)
    if certain > 0:
        proof = f"it is proved that no lay fits: the roll is at least {text(certain)} too short"
        remedy = "take a longer roll, or make fewer items from it"
    else:
        proof = "no lay that fits was found in the time given; it is not proved that none exists"
        remedy = "search longer, take a longer roll, or make fewer items from it"
    if lay.used_length + 2 * lay.cloth.end_allowance <= roll_length:
        remedy = (
            "it is only the buy_step that is too long: give a smaller one, or none if the roll is "
            f"in the shop already; or {remedy}"
        )
    return Fault(
        place=f'cloth "{lay.cloth.name}"',
        rule=f"the lay must fit the roll of {text(roll_length)}",
        value=f"the best lay needs {text(needed)}, {text(lacking)} more; {proof}",
        remedy=remedy,
    )
