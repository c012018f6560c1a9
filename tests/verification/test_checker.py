"""Faults planted in a sound layout record, each reported with its own number."""

import copy
import json
import math
import os
from dataclasses import replace
from decimal import Decimal

import pytest
import worked_lays
from hypothesis import given, settings
from hypothesis import strategies as st
from worked_lays import TWILL

from nesting.cloth.cloth import Nap, Price
from nesting.errors import AccessError, OrderError
from nesting.geometry.outline import Outline
from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.layouts.storage import as_record, to_json
from nesting.panels.panel import GrainRule
from nesting.units import CM, YD, M
from nesting.verification import checker
from nesting.verification.checker import check_file, check_record
from nesting.verification.findings import Rule

MIXED = as_record(worked_lays.order_lay())


def touching_lay(**rules):
    """Two items of a 40 x 30 cm plate and a 20 cm cap; plates touch, no gap, bound reached.

    Used length by hand: two plates side by side, 80 cm; bought with both ends
    82 cm, in steps of 10 cm 90 cm.
    """
    cloth = replace(TWILL, gap=0, end_allowance=1 * CM, **rules)
    plate = worked_lays.rectangle(40 * CM, 30 * CM, name="plate", item="stool", quantity=2)
    cap = worked_lays.disc(20 * CM, name="cap", item="stool", quantity=2)
    low = cloth.selvedge
    placed = (
        PlacedPanel(plate, 1, 1, 0, 1 * CM, low),
        PlacedPanel(plate, 2, 1, 0, 41 * CM, low),
        PlacedPanel(cap, 1, 1, 0, 1 * CM, low + 30 * CM),
        PlacedPanel(cap, 2, 1, 0, 41 * CM, low + 30 * CM),
    )
    return ClothLay(cloth, (plate, cap), placed, 80 * CM, proved_optimal=True)


def gore_lay(nap, turns=(0, 0, 0, 0), **rules):
    """Two poufs of two gores each, in a row, 62 cm used, 70 cm bought."""
    cloth = replace(TWILL, nap=nap, **rules)
    leaf = worked_lays.gore(62 * CM, 16 * CM, name="gore", item="pouf", per_item=2, quantity=2)
    names = ((1, 1), (1, 2), (2, 1), (2, 2))
    placed = tuple(
        PlacedPanel(leaf, *name, turn, 2 * CM, cloth.selvedge + row * 17 * CM)
        for row, (name, turn) in enumerate(zip(names, turns, strict=True))
    )
    return ClothLay(cloth, (leaf,), placed, 62 * CM, proved_optimal=True)


def stored(lay):
    return as_record(worked_lays.order_lay(lay))


def the(record, name):
    """The placement that findings call by this name."""
    for cloth in record["cloths"]:
        for place in cloth["placements"]:
            if f"{place['item']} / {place['panel']} / {place['copy']}.{place['part']}" == name:
                return place
    raise LookupError(name)


def push(place, dx, dy):
    """Move a placement and everything that is stated about it."""
    place["x_mm"], place["y_mm"] = round(place["x_mm"] + dx, 2), round(place["y_mm"] + dy, 2)
    place["outline_mm"] = [[round(x + dx, 2), round(y + dy, 2)] for x, y in place["outline_mm"]]


def found(record):
    """Numbers of the findings, and where they are."""
    return [(one.number, one.where) for one in check_record(record)]


@pytest.fixture
def mixed():
    return copy.deepcopy(MIXED)


@pytest.fixture
def touching():
    return stored(touching_lay())


@pytest.mark.parametrize(
    "lay",
    [
        worked_lays.mixed_lay(),
        touching_lay(),
        gore_lay(Nap.ONE_WAY),
        gore_lay(Nap.UP_AND_DOWN, (0, 0, 180, 180)),
        gore_lay(Nap.EITHER_WAY, (0, 180, 180, 0)),
        touching_lay(price=None),
        touching_lay(price=Price(Decimal("13.37"), YD, "GBP")),
    ],
)
def test_a_sound_lay_has_no_findings(lay):
    assert check_record(stored(lay)) == ()
    assert check_record(json.loads(to_json(stored(lay)))) == ()


# The six faults that a maker fears most


@pytest.mark.parametrize("name", ["cushion / plate / 1.2", "pouf / cap / 1.1", "pouf / gore / 1.2"])
@pytest.mark.parametrize("way", range(0, 360, 45))
def test_a_vertex_moved_by_a_tenth_is_found(mixed, name, way):
    # Such a move along the curve of a cap changes the shape only by hundredths.
    outline = the(mixed, name)["outline_mm"]
    vertex = outline[len(outline) // 3]
    vertex[0] += 0.1 * math.cos(math.radians(way))
    vertex[1] += 0.1 * math.sin(math.radians(way))
    (finding,) = [one for one in check_record(mixed) if one.number == 202]
    assert finding.where == f"teal twill: {name}"
    assert f"0.10 mm at ({vertex[0]:.2f}, {vertex[1]:.2f}) mm" in finding.detail


def test_swapped_names_are_found_at_both_panels(mixed):
    first, second = the(mixed, "cushion / plate / 1.1"), the(mixed, "pouf / gore / 1.1")
    for key in ("item", "panel"):
        first[key], second[key] = second[key], first[key]
    assert found(mixed) == [
        (202, "teal twill: pouf / gore / 1.1"),
        (202, "teal twill: cushion / plate / 1.1"),
    ]


def test_swapped_names_of_equal_shapes_are_found_by_copy_and_part():
    """Two items have the same plate; one plate changes its name but keeps its copy and part."""
    lay = touching_lay()
    plate, cap = lay.panels
    twin = replace(plate, item="bench", quantity=1)
    placed = (*lay.placed[:2], PlacedPanel(twin, 1, 1, 0, 1 * CM, 60 * CM), *lay.placed[2:])
    record = stored(replace(lay, panels=(plate, twin, cap), placed=placed))
    assert check_record(record) == ()
    the(record, "bench / plate / 1.1")["item"] = "stool"
    the(record, "stool / plate / 2.1")["item"] = "bench"
    assert found(record) == [
        (103, "teal twill: bench / plate / 2.1"),
        (102, "teal twill: stool / plate / 1.1"),
        (101, "teal twill: stool / plate / 2.1"),
        (101, "teal twill: bench / plate / 1.1"),
    ]


def test_a_panel_against_the_nap_is_found():
    assert found(stored(gore_lay(Nap.ONE_WAY, (0, 0, 180, 0)))) == [
        (401, "teal twill: pouf / gore / 2.1")
    ]


def wedge_record(turn):
    """One triangular panel without symmetry, laid at a turn."""
    lay = touching_lay(nap=Nap.ONE_WAY)
    cut = Outline(((0, 0), (40 * CM, 0), (40 * CM, 20 * CM)))
    wedge = replace(lay.panels[0], cut=cut, quantity=1)
    return stored(
        replace(lay, panels=(wedge,), placed=(PlacedPanel(wedge, 1, 1, turn, 1000, 1500),))
    )


def test_a_panel_turned_without_saying_so_is_found():
    record = wedge_record(180)
    record["cloths"][0]["placements"][0]["turn_deg"] = 0
    (finding,) = [one for one in check_record(record) if one.number == 202]
    assert "it would fit if turned 180°" in finding.detail


def test_a_removed_panel_is_found(mixed):
    mixed["cloths"][0]["placements"].remove(the(mixed, "pouf / cap / 1.1"))
    assert (101, "teal twill: pouf / cap / 1.1") in found(mixed)


def test_a_panel_over_the_lower_selvedge_line_is_found(mixed):
    push(the(mixed, "cushion / plate / 1.1"), 0, -0.1)
    (finding,) = check_record(mixed)
    assert (finding.number, finding.where) == (301, "teal twill: cushion / plate / 1.1")
    assert finding.detail == "0.10 mm beyond the lower selvedge line at (20.00, 14.90) mm"


def test_a_panel_over_the_upper_selvedge_line_is_found():
    lay = touching_lay()
    top = lay.cloth.width - lay.cloth.selvedge - 30 * CM
    placed = (replace(lay.placed[0], y=top), *lay.placed[1:])
    record = stored(replace(lay, placed=placed))
    assert check_record(record) == ()
    push(the(record, "stool / plate / 1.1"), 0, 0.02)
    assert check_record(record) == ()
    push(the(record, "stool / plate / 1.1"), 0, 0.08)
    (finding,) = check_record(record)
    assert (finding.number, finding.where) == (301, "teal twill: stool / plate / 1.1")
    assert "0.10 mm beyond the upper one" in finding.detail


def test_a_panel_in_its_neighbour_is_found(touching):
    push(the(touching, "stool / cap / 1.1"), 0, -0.1)
    (finding,) = check_record(touching)
    assert finding.number == 303
    assert finding.where == "teal twill: stool / plate / 1.1 and stool / cap / 1.1"
    assert finding.detail.startswith("0.10 mm deep")


@pytest.mark.parametrize(("depth", "numbers"), [(0.02, []), (0.03, [303])])
def test_two_hundredths_of_depth_count_as_rounding_and_three_do_not(touching, depth, numbers):
    push(the(touching, "stool / cap / 1.1"), 0, -depth)
    assert [number for number, _ in found(touching)] == numbers


def test_a_panel_in_the_gap_of_its_neighbour_is_found(mixed):
    push(the(mixed, "cushion / plate / 1.2"), 0, -0.1)
    (finding,) = check_record(mixed)
    assert finding.number == 304
    assert finding.where == "teal twill: cushion / plate / 1.1 and cushion / plate / 1.2"
    assert finding.detail.startswith("2.90 mm apart instead of 3.00 mm at (")


def test_a_panel_over_the_cut_end_is_found(mixed):
    push(the(mixed, "pouf / cap / 1.1"), -0.1, 0)
    assert (302, "teal twill: pouf / cap / 1.1") in found(mixed)


def test_blank_cloth_before_the_lay_is_found(mixed):
    for place in mixed["cloths"][0]["placements"]:
        push(place, 5, 0)
    assert found(mixed) == [(302, "teal twill")]


# Which panels


def test_a_panel_laid_twice_is_found(touching):
    twice = copy.deepcopy(the(touching, "stool / cap / 1.1"))
    touching["cloths"][0]["placements"].append(twice)
    push(twice, 0, 400)
    assert (102, "teal twill: stool / cap / 1.1") in found(touching)


@pytest.mark.parametrize(("key", "value"), [("copy", 3), ("part", 2), ("panel", "cap 2")])
def test_a_panel_that_was_not_ordered_is_found(touching, key, value):
    the(touching, "stool / cap / 2.1")[key] = value
    numbers = [number for number, _ in found(touching)]
    assert numbers[:2] == [103, 101]


def test_a_quantity_that_does_not_divide_among_the_items_is_found(touching):
    touching["cloths"][0]["panels"][1]["quantity"] = 3
    assert found(touching) == [(104, "teal twill: stool / cap")]


def test_missing_panels_are_listed_to_a_limit(touching):
    touching["cloths"][0]["panels"][1]["quantity"] = 200
    findings = check_record(touching)
    assert [one.number for one in findings] == [101] * 51
    assert findings[-1].detail == "148 more are not laid"  # 200 less 2 laid and 50 listed


def test_all_panels_of_an_empty_cloth_are_missing(touching):
    touching["cloths"][0]["placements"] = []
    assert {number for number, _ in found(touching)} == {101, 105, 504}


# Their shape


def test_a_mirrored_panel_is_found_whatever_the_record_says():
    record = wedge_record(0)
    place = the(record, "stool / plate / 1.1")
    place["outline_mm"] = [[x, 230 - y] for x, y in place["outline_mm"]]  # about y = 115
    assert {203, 202} <= {number for number, _ in found(record)}


def test_a_panel_stated_as_mirrored_is_found(mixed):
    the(mixed, "pouf / cap / 1.1")["mirrored"] = True
    assert found(mixed) == [(203, "teal twill: pouf / cap / 1.1")]


@pytest.mark.parametrize("key", ["x_mm", "y_mm"])
def test_a_wrong_corner_is_found(mixed, key):
    the(mixed, "pouf / cap / 1.1")[key] += 0.01
    assert found(mixed) == [(204, "teal twill: pouf / cap / 1.1")]


def test_an_outline_that_crosses_itself_is_found(mixed):
    outline = the(mixed, "cushion / plate / 1.1")["outline_mm"]
    outline[1], outline[2] = outline[2], outline[1]
    assert (201, "teal twill: cushion / plate / 1.1") in found(mixed)


def test_an_outline_without_area_is_found_and_raises_no_error(touching):
    for place in touching["cloths"][0]["placements"]:
        place["outline_mm"] = [[10, 15], [10, 20], [10, 30]]
    assert [number for number, _ in found(touching)].count(201) == 4


def test_a_panel_whose_own_outline_is_broken_is_found(touching):
    touching["cloths"][0]["panels"][0]["outline_mm"] = [[0, 0], [400, 300], [400, 0], [0, 300]]
    assert (201, "teal twill: stool / plate") in found(touching)


# How they point


def test_a_quarter_turn_needs_cross_grain_or_a_free_grain():
    lay = worked_lays.mixed_lay()
    boxing = lay.panels[1]
    bound = replace(boxing, grain_rule=GrainRule.AS_DRAWN)
    placed = tuple(replace(one, panel=bound) if one.panel is boxing else one for one in lay.placed)
    panels = tuple(bound if one is boxing else one for one in lay.panels)
    tied = replace(lay, panels=panels, placed=placed)
    assert found(stored(tied)) == [(401, "teal twill: cushion / boxing / 1.1")]
    crossed = replace(tied, cloth=replace(tied.cloth, cross_grain=True))
    assert check_record(stored(crossed)) == ()


def test_a_turn_between_the_quarters_is_found(mixed):
    the(mixed, "pouf / cap / 1.1")["turn_deg"] = 45
    assert (401, "teal twill: pouf / cap / 1.1") in found(mixed)


def test_an_item_that_points_both_ways_is_found_at_the_minority_of_its_panels():
    lay = gore_lay(Nap.UP_AND_DOWN, (180, 0, 0, 0))
    assert found(stored(lay)) == [(402, "teal twill: pouf / gore / 1.1")]


def test_quarter_turns_count_as_one_of_two_ways():
    """0 and 90 degrees point one way of the nap, 180 and 270 the other."""
    lay = worked_lays.mixed_lay(replace(TWILL, nap=Nap.UP_AND_DOWN))
    sound = replace(lay, placed=tuple(replace(one, turn=one.turn % 180) for one in lay.placed))
    assert check_record(stored(sound)) == ()
    (boxing,) = [one for one in sound.placed if one.panel.name == "boxing"]
    turned = tuple(replace(one, turn=270) if one is boxing else one for one in sound.placed)
    assert found(stored(replace(sound, placed=turned))) == [
        (402, "teal twill: cushion / boxing / 1.1")
    ]


# The figures


@pytest.mark.parametrize(
    ("key", "value", "number"),
    [
        ("usable_width_mm", 1370.01, 501),
        ("used_length_mm", 620.01, 502),
        ("buy_length_mm", 800.0, 503),
        ("buy_length_mm", 660.0, 503),
        ("panel_area_mm2", 490305.79, 504),
        ("efficiency", 0.5774, 505),
        ("gap_to_bound", 0.1274, 507),
        ("proved_optimal", True, 508),
        ("cost", 12.96, 509),
        ("cost", None, 509),
        ("price_per_metre", None, 509),
    ],
)
def test_a_wrong_figure_is_found(mixed, key, value, number):
    mixed["cloths"][0][key] = value
    expected = "cost" if number == 509 else key
    assert found(mixed) == [(number, f"teal twill: {expected}")]


def test_a_bound_above_the_used_length_is_found(mixed):
    mixed["cloths"][0] |= {"lower_bound_mm": 620.02, "gap_to_bound": 620 / 620.02 - 1}
    assert found(mixed) == [(506, "teal twill: lower_bound_mm")]


def test_a_wrong_area_of_one_panel_is_found(mixed):
    mixed["cloths"][0]["panels"][0]["area_mm2"] += 1
    assert found(mixed) == [(504, "teal twill: cushion / plate, area_mm2")]


def test_costs_are_rounded_half_up_in_decimal():
    # 0.9 m at 0.05 are 4.5 cents: half up gives 5, half to even would give 4.
    record = stored(touching_lay(price=Price(Decimal("0.05"), M, "EUR")))
    (cloth,) = record["cloths"]
    assert (cloth["buy_length_mm"], cloth["cost"]) == (900.0, 0.05)
    cloth["cost"] = 0.04
    assert found(record) == [(509, "teal twill: cost")]


@given(st.decimals("0.01", "999.99", places=2), st.integers(1, 40))
@settings(deadline=None, max_examples=60)
def test_costs_from_a_price_per_yard_are_accepted(amount, quarters):
    step = quarters * YD // 4
    lay = touching_lay(price=Price(amount, YD, "GBP"), buy_step=step)
    assert check_record(stored(lay)) == ()


# Files


def test_a_file_gives_the_findings_of_its_record(tmp_path, mixed):
    file = tmp_path / "layout.json"
    file.write_text(to_json(mixed), encoding="utf-8")
    assert check_file(file) == ()
    the(mixed, "pouf / cap / 1.1")["mirrored"] = True
    file.write_text(to_json(mixed), encoding="utf-8")
    assert [one.number for one in check_file(file)] == [203]


def test_a_missing_file_and_a_folder_cannot_be_read(tmp_path):
    with pytest.raises(AccessError, match=r"absent\.json: cannot be read"):
        check_file(tmp_path / "absent.json")
    with pytest.raises(AccessError, match="cannot be read"):
        check_file(tmp_path)


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root reads everything")
def test_a_file_without_permission_cannot_be_read(tmp_path):
    file = tmp_path / "layout.json"
    file.write_text("{}")
    file.chmod(0)
    with pytest.raises(AccessError, match="cannot be read"):
        check_file(file)


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"schema = 1",
        b"\xff\xfe\x00\x01 binary",
        b'{"schema": "clothwright/layout/2", ',
        b"[" * 100_000,
        b'{"seed": ' + b"9" * 5000 + b"}",
    ],
)
def test_a_file_that_is_not_json_is_refused(tmp_path, data):
    file = tmp_path / "layout.json"
    file.write_bytes(data)
    with pytest.raises(OrderError, match="must be a JSON file"):
        check_file(file)


def test_a_file_over_the_size_limit_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(checker, "LARGEST_BYTES", 1000)
    file = tmp_path / "layout.json"
    file.write_bytes(b" " * 1001)
    with pytest.raises(OrderError, match="must not be larger than"):
        check_file(file)


def test_every_rule_has_its_own_number_and_words():
    assert len({rule.number for rule in Rule}) == len(Rule)
    assert len({rule.text for rule in Rule}) == len(Rule)
