"""Strips left to the plan, panels from a second cloth, products from outside."""

from dataclasses import replace

import pytest
from test_planning import ONE_STEP, SERGE, item, order

from nesting.cloth.cloth import Cloth
from nesting.errors import PanelTooLargeError
from nesting.layouts.storage import as_record
from nesting.panels import product as register
from nesting.panels.drafting.draft import Draft, EdgeUse, Seam
from nesting.panels.drafting.finished import EdgeSort, rectangle
from nesting.panels.measurements import Measurement, MeasurementKind, length
from nesting.panels.product import products
from nesting.planning.auto import with_choices
from nesting.planning.auto_from_quick_lays import choose_pieces
from nesting.planning.plan import plan_order
from nesting.purchasing import compare_rolls
from nesting.units import CM
from nesting.verification.checker import check_record

LONG = item("box-cushion", length=900.0, width=400.0, thickness=80.0, strips="auto")


def chosen_order(one):
    """The order with the numbers that quick lays choose, and the facts about them."""
    choices, facts = choose_pieces(one)
    return with_choices(one, choices), facts


#: Least lengths in cm by the number of strips, by hand. Both plates, 92 by 42 cm, lie side by
#: side on 138 cm and leave 54 cm beside them. Strips are 10 cm along the roll and 132, 92, 47 or
#: 42 across. One of 132 takes 10 cm of the whole width. One of 92 does not fit beside two plates
#: but beside one, 92 + 42 = 134; so with one plate 10 cm further on than the other there is room
#: for one at either end. In 2 pieces there are two of 132; in 3 one and one of 92; in 4 two of
#: 92, in 5 one; in 6 none, and 6 of 10 cm follow one another beside the plates.
LEAST = {2: 112, 3: 112, 4: 102, 5: 102, 6: 92}


@pytest.mark.parametrize(("strips", "least"), LEAST.items())
def test_so_many_strips_lie_in_the_length_worked_by_hand(strips, least):
    one = replace(LONG, values={**LONG.values, "strips": strips})
    (lay,) = plan_order(order(one), ONE_STEP, workers=1).lay.cloths
    assert lay.used_length == least * CM


def test_the_plan_chooses_the_number_of_strips_that_needs_least_cloth():
    """One strip across is 262 cm long and fits no roll of 138."""
    chosen, facts = chosen_order(order(LONG))
    assert chosen.items[0].values["strips"] == min(LEAST, key=lambda n: (LEAST[n], n)) == 6
    (fact,) = facts["seat"]
    told = fact.in_unit("cm")
    assert told.startswith("boxing in 6 pieces, chosen by quick lays")
    assert "one piece would not fit the cloth" in told
    # Quick lays put both plates at the start, so that two strips of 92 cm follow them: 112 - 92.
    assert "20.0 cm less cloth than with one for each side" in told


def test_the_choice_and_what_it_saves_are_told_with_the_item():
    plan = plan_order(order(LONG), ONE_STEP, workers=1)
    assert (
        plan.order.items[0].values["strips"]
        == chosen_order(order(LONG))[0].items[0].values["strips"]
    )
    facts = [fact.in_unit("cm") for fact in plan.made[0].facts]
    assert any("chosen by quick lays" in fact for fact in facts)
    assert any("join" in fact for fact in facts)
    assert check_record(as_record(plan.lay)) == ()


def test_a_strip_of_one_side_is_not_compared_with_one_for_each_side():
    """6 m of welt lie at 45° in 4.2 m of width; so one piece fits no roll of 138 cm."""
    for strip in (
        item("welt", length=6_000.0, strips="auto"),
        item("round-cushion", diameter=900.0, thickness=80.0, strips="auto"),
    ):
        fact, *_ = chosen_order(order(strip))[1]["seat"]
        assert fact.in_unit("cm").count("would not fit") == 1
        assert fact.in_unit("cm").endswith("one piece would not fit the cloth")


def test_a_very_long_welt_is_cut_in_as_many_pieces_as_fit():
    """At 45° a piece is at most 138·√2 = 195.2 cm; 3003/195.2 = 15.4, so at least 16 (by hand)."""
    chosen, facts = chosen_order(order(item("welt", length=30_000.0, strips="auto")))
    assert chosen.items[0].values["strips"] >= 16
    assert "one piece would not fit the cloth" in facts["seat"][0].in_unit("cm")


WELTED = item("box-cushion", length=900.0, width=400.0, thickness=80.0, welt_cord=5.0)


def test_the_plan_chooses_the_pieces_of_a_welt_as_well():
    """Straight across, 263 cm of welt fit no roll of 138 in one piece."""
    straight = replace(WELTED, values={**WELTED.values, "welt_cut": "across"})
    chosen, facts = chosen_order(order(straight))
    assert chosen.items[0].values["welt_strips"] in range(2, 7)
    told = facts["seat"][0].in_unit("cm")
    assert told.startswith("each welt in ")
    assert told.endswith("one piece would not fit the cloth")
    plan = plan_order(order(straight), ONE_STEP, workers=1)
    pieces = plan.order.items[0].values["welt_strips"]
    welts = [placed for lay in plan.lay.cloths for placed in lay.placed]
    assert sum(placed.panel.name == "welt" for placed in welts) == 2 * pieces
    assert check_record(as_record(plan.lay)) == ()


def test_boxing_and_welt_are_both_left_to_the_plan():
    both = replace(WELTED, values={**WELTED.values, "strips": "auto"})
    chosen, facts = chosen_order(order(both))
    assert isinstance(chosen.items[0].values["strips"], int)
    assert isinstance(chosen.items[0].values["welt_strips"], int)
    told = [fact.in_unit("cm") for fact in facts["seat"]]
    assert [t.split(" in ")[0] for t in told if "chosen" in t] == ["boxing", "each welt"]


def test_nothing_is_chosen_for_a_strip_that_an_item_does_not_have():
    plain = order(replace(WELTED, values={**WELTED.values, "welt_cord": None}))
    assert plain.items[0].values["welt_strips"] == "auto"
    assert chosen_order(plain) == (plain, {})


def test_an_order_without_auto_is_left_as_it_is():
    fixed = order(replace(LONG, values={**LONG.values, "strips": 4}))
    assert chosen_order(fixed) == (fixed, {})


def test_an_item_of_very_many_panels_is_tried_with_a_few():
    many = order(replace(LONG, quantity=200))
    chosen, _ = chosen_order(many)
    assert chosen.items[0].quantity == 200
    assert isinstance(chosen.items[0].values["strips"], int)


def test_two_strips_left_to_the_plan_are_both_chosen_though_neither_fits_in_one_piece():
    """Round 90 cm: 283 cm of side, more than the cloth is wide."""
    drum = item("drum-pouf", diameter=900.0, height=300.0)
    drums = order(drum, replace(drum, name="other"))
    chosen, _ = chosen_order(drums)
    assert all(each.values["strips"] >= 3 for each in chosen.items)
    assert check_record(as_record(plan_order(drums, ONE_STEP, workers=1).lay)) == ()


def test_an_item_that_does_not_fit_leaves_the_strips_of_another_as_they_would_be():
    """The fault must name the panel that is too wide, and no strip beside it."""
    wide = item("panel", length=400.0, width=1_600.0)
    alone, _ = chosen_order(order(LONG))
    both, _ = chosen_order(order(LONG, replace(wide, name="throw")))
    assert both.items[0].values == alone.items[0].values
    with pytest.raises(PanelTooLargeError) as refused:
        plan_order(order(LONG, replace(wide, name="throw")), ONE_STEP, workers=1)
    assert [fault.place for fault in refused.value.faults] == ['item "throw", panel "panel"']


CALICO = Cloth("calico", 90 * CM)


def two_cloths():
    seat = item("round-cushion", diameter=400.0, thickness=60.0, quantity=2)
    return order(replace(seat, panel_cloths={"bottom-plate": "calico"}), cloths=(SERGE, CALICO))


def test_a_bottom_plate_is_laid_on_its_own_cloth():
    serge, calico = plan_order(two_cloths(), ONE_STEP, workers=1).lay.cloths
    assert {(p.panel.name, p.copy, p.part) for p in calico.placed} == {
        ("bottom-plate", 1, 1),
        ("bottom-plate", 2, 1),
    }
    assert {p.panel.name for p in serge.placed} == {"plate", "boxing"}
    assert len(serge.placed) == 4


def test_rolls_are_compared_for_the_panels_of_one_cloth_alone():
    """The candidate has the name of the other cloth, but still gets none of its panels."""
    wide = Cloth("serge", 100 * CM)
    (offer,) = compare_rolls(two_cloths(), "calico", [wide], ONE_STEP, workers=1).offers
    assert {p.panel.name for p in offer.lays[0].placed} == {"bottom-plate"}


class Bag:
    """A product from outside: two sides sewn round three edges, hemmed at the mouth."""

    name = "bag"
    summary = "a flat bag"
    cautions = ()
    measurements = (
        Measurement("width", MeasurementKind.LENGTH, "its width", required=True, least=50.0),
        Measurement("hem_allowance", MeasurementKind.LENGTH, "at the mouth", default=40.0, least=0),
    )

    def faults(self, values, allowance_mm):
        return ()

    def draft(self, values):
        edges = ("bottom", "right", "mouth", "left")
        hem = {"mouth": EdgeSort.HEM}
        side = rectangle("side", 2, length(values, "width"), 400.0, edges, sorts=hem)
        around = (EdgeUse("side", "left"), EdgeUse("side", "bottom"), EdgeUse("side", "right"))
        hems = {EdgeSort.HEM: length(values, "hem_allowance")}
        return Draft((side,), (Seam("side to side", around, around),), allowances_mm=hems)


def test_a_product_from_outside_is_laid_and_proved(monkeypatch):
    monkeypatch.setattr(register, "_register", dict(products()))
    register.register(Bag())
    plan = plan_order(order(item("bag", width=300.0, quantity=3)), ONE_STEP, workers=1)
    (lay,) = plan.lay.cloths
    assert len(lay.placed) == 6
    # 300 + 2 x 10 along, 400 + 10 + 40 across: by hand.
    assert (lay.panels[0].cut.length, lay.panels[0].cut.height) == (32_000, 45_000)
    assert check_record(as_record(plan.lay)) == ()


@pytest.mark.parametrize(("railroad", "size"), [(False, (52, 42)), (True, (42, 52))])
def test_a_railroaded_item_lies_a_quarter_round(railroad, size):
    seat = replace(item("panel", length=500.0, width=400.0), railroad=railroad)
    (lay,) = plan_order(order(seat), ONE_STEP, workers=1).lay.cloths
    bounds = lay.placed[0].outline
    assert (bounds.length // CM, bounds.height // CM) == size
