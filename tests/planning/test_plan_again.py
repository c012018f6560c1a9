"""Planning again what was spoiled: what is cut lies still, and little else is moved."""

import json
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_laid_pieces import CLOTH, cushion, panels, remnant

from nesting.cloth.cloth import Nap
from nesting.cloth.stock import Flaw
from nesting.errors import NotEnoughClothError, OrderError, WorkError
from nesting.geometry.outline import Outline
from nesting.layouts.storage import as_record, to_json
from nesting.orders.order import Order
from nesting.packing.running import Limits, uninterrupted
from nesting.planning.damage import Damage
from nesting.planning.plan import plan_order, unobserved
from nesting.planning.plan_again import must_be_sound, plan_again
from nesting.planning.run import Run
from nesting.units import CM
from nesting.verification.checker import check_record

STEPS = Limits(None, 6)
RUN = Run(STEPS, 0, 1, unobserved, uninterrupted)


def order_of(*items, **rules):
    return Order("Porch", "cm", (replace(CLOTH, **rules),), items)


def record_of(order):
    return json.loads(to_json(as_record(plan_order(order, STEPS, workers=1).lay)))


def again(order, record=None, piece="roll", **damage):
    record = record or record_of(order)
    damage = {"spoiled": frozenset(damage.pop("spoiled", ())), **damage}
    plan = plan_again(
        record, must_be_sound(record, order), {("serge", piece): Damage(**damage)}, RUN
    )
    found = json.loads(to_json(as_record(plan.lay)))
    must_be_sound(found, order)
    return record, found, plan.lay


def places(record):
    """Piece and place of each panel by its label."""
    return {
        f"{p['item']} / {p['panel']} / {p['copy']}.{p['part']}": (p["piece"], p["x_mm"], p["y_mm"])
        for cloth in record["cloths"]
        for p in cloth["placements"]
    }


def on_piece(place):
    """A place on what was bought at first, as it is called afterwards."""
    return ("bought roll" if place[0] == "roll" else place[0], *place[1:])


def box(x, y, along, across):
    ring = ((x, y), (x + along, y), (x + along, y + across), (x, y + across))
    return Outline(tuple((px * CM, py * CM) for px, py in ring))


def test_a_spoiled_panel_is_cut_from_what_is_left_and_everything_else_lies_still():
    # Three squares of half a metre on 1 m of cloth leave room for one.
    label = "square / panel / 1.1"
    before, found, lay = again(order_of(panels(3), buy_step=100 * CM), spoiled=[label])
    was, now = places(before), places(found)
    assert {k: v for k, v in now.items() if k != label} == {
        k: on_piece(v) for k, v in was.items() if k != label
    }
    assert now[label] != on_piece(was[label])
    assert [one.on.name for one in lay.cloths] == ["bought roll"]
    assert found["recut"] == [{"panel": label, "why": "spoiled"}]
    assert lay.cloths[0].cost == Decimal("10.00")


def test_where_nothing_is_left_cloth_is_bought():
    label = "square / panel / 1.1"
    _, found, lay = again(order_of(panels(2)), spoiled=[label])
    assert places(found)[label][0] == "roll"
    assert [(one.on.name, one.buy_length) for one in lay.cloths] == [
        ("bought roll", 0),
        ("roll", 50 * CM),
    ]


def test_a_piece_that_is_there_comes_before_cloth_to_buy():
    order = order_of(panels(2), stock=(remnant("dear", 60, price=Decimal(9)),))
    before, found, _ = again(order, spoiled=["square / panel / 1.1"])
    assert places(before)["square / panel / 1.1"][0] == "roll"
    assert places(found)["square / panel / 1.1"][0] == "dear"


def test_cloth_of_another_shade_is_no_help():
    order = order_of(
        cushion(),
        stock=(remnant("A", 50, shade="a", price=Decimal(0)), remnant("B", 50, shade="b")),
        may_buy=False,
    )
    record = record_of(order)
    with pytest.raises(NotEnoughClothError, match="same shade"):
        again(order, record, piece="A", spoiled=["cushion / cover / 1.1"])


def test_what_lies_before_the_cut_is_cut_and_the_rest_may_move():
    # By hand: squares in pairs at 0 and 50 cm. A flaw at 60 to 64 cm spoils one of the second pair,
    # which is not cut. There is room for it behind the flaw.
    order = order_of(panels(4), buy_step=150 * CM)
    flaw = Flaw(box(60, 10, 4, 4))
    before, found, lay = again(order, flaws=(flaw,), cut_to=50 * CM)
    (placed,) = [p for one in lay.cloths for p in one.placed if p.is_new]
    assert sum(p.is_cut for one in lay.cloths for p in one.placed) == 2
    assert placed.x >= 64 * CM
    assert len(lay.again.spoiled) == 1
    assert not lay.again.moved
    # nothing of it was cut, so that its cloth can be used but for the flaw
    assert [spot["what"] for spot in found["cloths"][0]["pieces"][0]["flaws"]] == [""]
    assert len(places(before)) == len(places(found))


def test_panels_that_are_not_cut_make_room_if_that_is_enough():
    # 30 cm at each end and 40 cm between them are free beside two panels of 50 x 30 cm; the
    # spoiled one of 60 cm fits only where they have moved together.
    big, small = panels(1, 600.0, 1000.0, "rug"), panels(2, 500.0, 300.0, "mat")
    order = order_of(big, small, buy_step=180 * CM)
    record = record_of(order)
    _, found, lay = again(order, record, spoiled=["rug / panel / 1.1"], cut_to=1)
    assert places(found)["rug / panel / 1.1"][0] == "bought roll"
    assert [one.on.name for one in lay.cloths] == ["bought roll"]


def test_up_and_down_a_panel_keeps_the_way_of_its_copy():
    order = order_of(cushion(), nap=Nap.UP_AND_DOWN, buy_step=200 * CM)
    record = record_of(order)
    for placement in record["cloths"][0]["placements"]:
        placement["turn_deg"] = 180
    _, found, _ = again(order, record, spoiled=["cushion / cover / 1.1"])
    assert {p["turn_deg"] for p in found["cloths"][0]["placements"]} == {180}


def test_it_can_be_done_twice():
    # Four panels fill a metre. The first spoiled one lies on half a metre that is bought, and
    # the second beside it.
    order = order_of(panels(4, 500.0, 490.0))
    _, first, _ = again(order, spoiled=["square / panel / 1.1"])
    _, second, lay = again(order, first, piece="bought roll", spoiled=["square / panel / 2.1"])
    assert [one.on.name for one in lay.cloths] == ["bought roll", "bought roll 2"]
    now = places(second)
    assert [now[f"square / panel / {n}.1"][0] for n in (1, 2)] == ["bought roll 2"] * 2


def test_nothing_spoiled_is_no_reason_to_plan_again():
    with pytest.raises(OrderError, match="no panel was spoiled"):
        again(order_of(panels(2)), flaws=(Flaw(box(0, 99, 1, 1), minor=True),))


def test_a_record_that_was_changed_by_hand_is_refused():
    order = order_of(panels(2))
    record = record_of(order)
    record["cloths"][0]["placements"][0]["x_mm"] += 30
    with pytest.raises(WorkError, match="lay the order again"):
        again(order, record, spoiled=["square / panel / 1.1"])


def test_a_lay_of_another_order_is_refused():
    record = record_of(order_of(panels(2)))
    with pytest.raises(WorkError, match="the order was changed after the lay"):
        again(order_of(panels(3)), record, spoiled=["square / panel / 1.1"])


@given(st.data())
@settings(max_examples=12, deadline=None)
def test_whatever_is_spoiled_the_new_lay_is_sound_and_what_is_cut_lies_still(data):
    order = order_of(panels(5, 400.0, 300.0), panels(2, 700.0, 250.0, "b"), buy_step=50 * CM)
    record = record_of(order)
    labels = sorted(places(record))
    spoiled = data.draw(st.sets(st.sampled_from(labels), min_size=1, max_size=3))
    cut_to = data.draw(st.none() | st.integers(0, 100).map(lambda at: at * CM))
    _, found, lay = again(order, record, spoiled=spoiled, cut_to=cut_to)
    assert check_record(found) == ()
    was, now = places(record), places(found)
    for one in lay.cloths:
        for placed in one.placed:
            if placed.is_cut:
                assert now[placed.label] == on_piece(was[placed.label])
    moved = {label for label in labels if now[label] != on_piece(was[label])}
    assert moved == spoiled | set(lay.again.moved)
