"""plan_again(): from the record of a lay, its order and some damage to a new plan."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from time import perf_counter

from nesting.cloth.cloth import Cloth
from nesting.errors import Fault, NotEnoughClothError, OrderError, WorkError
from nesting.layouts.lay import Again, ClothLay, OrderLay
from nesting.layouts.measures import efficiency
from nesting.layouts.storage import as_record
from nesting.orders.order import Order
from nesting.planning.cloth_panels import ClothPanels
from nesting.planning.damage import Damage, Damaged, after
from nesting.planning.plan import Plan, must_be_proved
from nesting.planning.record_of_order import check_record_of_order
from nesting.planning.recorded import Json, lays_of_record, panels_of_record, with_pieces_of_shelf
from nesting.planning.recut import recut
from nesting.planning.run import Run, Search
from nesting.shelf.piece import FROM_SHELF
from nesting.verification.checker import check_record
from nesting.verification.findings import Finding

#: Damages by the names of a cloth and of one of its pieces.
Damages = Mapping[tuple[str, str], Damage]


def must_be_sound(record: Json, order: Order) -> Order:
    """Refuse a record that is no sound lay of the order; return the order with its shelf pieces.

    Raises
    ------
    WorkError
        With what is wrong: the record was changed by hand, or the order after the lay.
    """
    order = with_pieces_of_shelf(order, record, FROM_SHELF)
    findings = check_record(record)
    remedy = "the file was changed after the lay was made: lay the order again"
    if not findings:
        findings = check_record_of_order(record, order)
        remedy = "the order was changed after the lay was made: change it back, or lay it again"
    if findings:
        raise WorkError([_fault(found, remedy) for found in findings])
    return order


def _fault(found: Finding, remedy: str) -> Fault:
    return Fault(found.where, f"{found.rule} (finding {found.number})", found.detail, remedy)


def plan_again(record: Json, order: Order, damages: Damages, run: Run) -> Plan:
    """A plan in which lost panels lie elsewhere, and as much else as possible where it was.

    ``record`` is sound (`must_be_sound`).

    Raises
    ------
    OrderError
        When nothing is lost.
    NotEnoughClothError
        When lost panels fit nowhere.
    """
    made = panels_of_record(record, order)
    recorded = {cloth["name"]: cloth for cloth in record["cloths"]}
    lays: list[ClothLay] = []
    searches: list[Search] = []
    reasons: list[Again] = []
    for cut in made.cuts:
        before = lays_of_record(recorded[cut.cloth.name], cut)
        own = {
            piece: damage for (cloth, piece), damage in damages.items() if cloth == cut.cloth.name
        }
        started = perf_counter()
        found, again = _planned(cut, before, own, run, order.units)
        lays += found
        if again:
            reasons.append(again)
            seconds = perf_counter() - started
            searches.append(Search(cut.cloth.name, 0, seconds, run.interrupted()))
    if not reasons:
        rule = "no panel was spoiled, and no flaw lies in one"
        raise OrderError([Fault("--spoiled, --flaw", rule, "", "nothing has to be cut again")])
    spoiled = tuple(label for again in reasons for label in again.spoiled)
    moved = tuple(label for again in reasons for label in again.moved)
    lay = OrderLay(order.name, run.seed, tuple(lays), made.choices, Again(spoiled, moved))
    must_be_proved(check_record(as_record(lay)))
    return Plan(made.order, made.made, lay, tuple(searches))


def _planned(
    cut: ClothPanels,
    before: Sequence[ClothLay],
    damages: Mapping[str, Damage],
    run: Run,
    units: str,
) -> tuple[tuple[ClothLay, ...], Again | None]:
    """The lays of one cloth, and what was planned again; unchanged if nothing is lost."""
    damaged = after(before, damages)
    if not any(each.lost for each in damaged):
        return tuple(before), None
    whole = _with_every_piece(cut.cloth, damaged)
    used = {each.lay.on.name for each in damaged}
    rest = tuple(piece for piece in whole.stock if piece.name not in used)
    try:
        lays, again = recut(
            replace(cut, cloth=replace(whole, stock=rest)), damaged, efficiency(*before), run
        )
    except NotEnoughClothError as short:
        raise short.in_unit(units) from None
    return tuple(replace(lay, cloth=whole.on(lay.on)) for lay in lays), again


def _with_every_piece(cloth: Cloth, damaged: Sequence[Damaged]) -> Cloth:
    """The cloth with the pieces that panels lie on as they are now."""
    now = {each.lay.on.name: each.lay.on for each in damaged}
    others = (piece for piece in cloth.stock if piece.name not in now)
    return replace(cloth, stock=(*now.values(), *others))
