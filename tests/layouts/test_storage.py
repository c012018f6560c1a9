import json
import math
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import worked_lays
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.cloth.cloth import Price
from nesting.layouts.lay import Choice
from nesting.layouts.measures import efficiency, gap_to_bound
from nesting.layouts.storage import as_record, to_json
from nesting.units import MM, YD

CLOTH_KEYS = [
    *("name", "width_mm", "selvedge_mm", "usable_width_mm", "nap", "cross_grain", "gap_mm"),
    *("end_allowance_mm", "buy_step_mm", "used_length_mm", "buy_length_mm", "price_per_metre"),
    *("cost", "currency", "panel_area_mm2", "efficiency", "lower_bound_mm", "gap_to_bound"),
    *("proved_optimal", "pieces", "panels", "placements"),
]
PLACEMENT_KEYS = [
    *("panel", "item", "copy", "part", "piece", "x_mm", "y_mm", "turn_deg", "mirrored"),
    "outline_mm",
]


def stored(lay=None):
    return as_record(worked_lays.order_lay(*([lay] if lay else [])))


def numbers(value):
    """Every number anywhere in a record."""
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        for entry in value:
            yield from numbers(entry)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield value


def test_a_record_has_the_keys_of_the_contract_in_their_order():
    record = stored()
    (cloth,) = record["cloths"]
    assert list(record) == ["schema", "order", "seed", "cloths"]
    assert record["schema"] == "clothwright/layout/2"
    assert list(cloth) == CLOTH_KEYS
    assert all(list(place) == PLACEMENT_KEYS for place in cloth["placements"])
    assert list(cloth["panels"][0]) == ["panel", "item", "quantity", "area_mm2", "outline_mm"]


def test_lengths_are_millimetres_with_two_decimals():
    (cloth,) = stored()["cloths"]
    # By hand, see the lay: 140 cm with 1.5 cm selvedges, 62 cm used, 70 cm bought.
    assert (cloth["width_mm"], cloth["usable_width_mm"]) == (1400.0, 1370.0)
    assert (cloth["used_length_mm"], cloth["buy_length_mm"]) == (620.0, 700.0)
    for place in cloth["placements"]:
        for length in (place["x_mm"], place["y_mm"], *numbers(place["outline_mm"])):
            assert len(repr(length).partition(".")[2]) <= 2


def test_every_number_is_finite():
    assert all(math.isfinite(value) for value in numbers(stored()))


def test_the_outline_on_the_cloth_is_written_where_it_lies():
    boxing = stored()["cloths"][0]["placements"][2]
    # 64 x 10 cm turned a quarter, least corner at (443, 15) mm.
    assert boxing["turn_deg"] == 90
    assert sorted(boxing["outline_mm"]) == [
        [443.0, 175.0],
        [443.0, 655.0],
        [463.0, 15.0],
        [463.0, 175.0],
        [543.0, 15.0],
        [543.0, 655.0],
    ]


def test_a_panel_of_free_grain_says_so_and_others_do_not():
    panels = stored()["cloths"][0]["panels"]
    assert [entry.get("any_grain") for entry in panels] == [None, True, None, None]


def test_the_quantity_of_a_panel_is_that_of_the_order():
    plate = worked_lays.rectangle(
        400 * MM, 300 * MM, name="plate", item="cushion", per_item=2, quantity=3
    )
    lay = replace(worked_lays.mixed_lay(), panels=(plate,))
    assert stored(lay)["cloths"][0]["panels"][0]["quantity"] == 6


def test_without_a_price_nothing_is_said_of_costs():
    lay = worked_lays.mixed_lay(replace(worked_lays.TWILL, price=None))
    assert not {"price_per_metre", "cost", "currency"} & set(stored(lay)["cloths"][0])


def test_a_price_per_yard_is_written_per_metre():
    # 9.144 a yard of 0.9144 m is 10 a metre, so 0.7 m cost 7.
    cloth = replace(worked_lays.TWILL, price=Price(Decimal("9.144"), YD, "GBP"))
    entry = stored(worked_lays.mixed_lay(cloth))["cloths"][0]
    assert (entry["price_per_metre"], entry["cost"], entry["currency"]) == (10.0, 7.0, "GBP")


def test_the_text_of_a_record_reads_back_as_the_record():
    record = stored()
    assert json.loads(to_json(record)) == record


def test_equal_lays_give_equal_text():
    assert to_json(stored()) == to_json(stored())


def test_every_cloth_piece_panel_and_placement_begins_a_line():
    lines = to_json(stored()).splitlines()
    assert len(lines) == 1 + 1 + 1 + 4 + 6  # opening, cloth, roll, panels, placements
    assert all(line == line.rstrip() for line in lines)


def test_what_was_chosen_stands_before_the_cloths_a_line_each():
    chosen = (Choice("cushion", "strips", 3), Choice("cushion", "welt_strips", 2))
    record = as_record(replace(worked_lays.order_lay(), choices=chosen))
    assert list(record) == ["schema", "order", "seed", "choices", "cloths"]
    assert record["choices"] == [
        {"item": "cushion", "measurement": "strips", "pieces": 3},
        {"item": "cushion", "measurement": "welt_strips", "pieces": 2},
    ]
    lines = to_json(record).splitlines()
    assert lines[1] == '{"item": "cushion", "measurement": "strips", "pieces": 3},'
    assert len(lines) == 2 + len(to_json(stored()).splitlines())


@given(st.text(min_size=1, max_size=30).filter(lambda name: name.isprintable()))
@settings(deadline=None, max_examples=50)
def test_no_name_disturbs_the_text(name):
    tricky = name + '{"panel": {"name": , \n'
    order = replace(worked_lays.order_lay(), order=tricky)
    assert json.loads(to_json(as_record(order)))["order"] == tricky


def test_ratios_follow_their_definitions():
    lay = worked_lays.mixed_lay()
    (cloth,) = stored()["cloths"]
    area = sum(Fraction(placed.panel.cut.area2, 2) for placed in lay.placed)
    exact = area / (62_000 * 137_000)  # used length times usable width, 0.01 mm
    assert math.isclose(efficiency(lay), exact, rel_tol=1e-12)
    assert math.isclose(gap_to_bound(lay), 62 / 55 - 1, rel_tol=1e-12)
    assert cloth["efficiency"] == round(float(exact), 6)
    assert cloth["gap_to_bound"] == 0.127273  # 62 / 55 - 1 = 0.12727...
