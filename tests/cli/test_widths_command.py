"""`clothwright widths`."""

import json

import pytest

QUICK = ("--steps", "1", "--workers", "1")

ROLLS = """\
version = 1
name = "Spring list"
units = "cm"

[[cloth]]
name = "narrow"
width = 112
price_per_metre = 12
currency = "EUR"

[[cloth]]
name = "wide"
width = 150
price_per_metre = 30
currency = "EUR"
"""


@pytest.fixture
def rolls(folder):
    """A list of two rolls with prices."""
    path = folder / "rolls.toml"
    path.write_text(ROLLS)
    return path


def names(ended):
    return [roll["name"] for roll in json.loads(ended.out)["rolls"]]


def test_widths_are_ranked_by_cost(clothwright, order):
    ended = clothwright(
        "widths", order, "--width", "60cm", "--width", "55 1/8 in", *QUICK, "--json"
    )
    assert ended.status == 0
    record = json.loads(ended.out)
    assert record["ranked_by"] == "cost"
    costs = [roll["cost"] for roll in record["rolls"]]
    assert costs == sorted(costs)
    # 55 1/8 in are 55.125 x 25.4 = 1400.175 mm, to the grid of 0.01 mm.
    assert {roll["width_mm"] for roll in record["rolls"]} == {600.0, 1400.18}


def test_a_width_without_a_unit_is_in_the_units_of_the_order(clothwright, order):
    ended = clothwright("widths", order, "--width", "137.5", *QUICK, "--json")
    assert json.loads(ended.out)["rolls"][0]["width_mm"] == 1375.0
    assert names(ended) == ["Grey Wool 2, 137.5 cm wide"]


def test_the_table_is_written_and_says_whose_price_was_taken(clothwright, order):
    ended = clothwright("widths", order, "--width", "112cm", "--width", "140cm", *QUICK)
    assert ended.status == 0
    assert "ranked by cost" in ended.out
    assert "Grey Wool 2, 112cm wide" in ended.out
    assert "price of the order's cloth" in ended.out
    assert "Grey Wool 2, 112cm wide: " in ended.err


def test_the_comparison_and_the_best_lay_are_written(clothwright, order):
    clothwright("widths", order, "--width", "112cm", "--width", "140cm", *QUICK)
    folder = order.parent / "bench-widths"
    record = json.loads((folder / "widths.json").read_text(encoding="utf-8"))
    layout = json.loads((folder / "layout.json").read_text(encoding="utf-8"))
    assert [cloth["name"] for cloth in layout["cloths"]] == [record["rolls"][0]["name"]]
    assert clothwright("verify", folder / "layout.json").status == 0


def test_rolls_of_a_file_have_their_own_prices(clothwright, order, rolls):
    record = json.loads(clothwright("widths", order, "--rolls", rolls, *QUICK, "--json").out)
    by_name = {roll["name"]: roll for roll in record["rolls"]}
    assert by_name["narrow"]["cost"] == pytest.approx(
        12 * by_name["narrow"]["buy_length_mm"] / 1000, abs=0.005
    )
    assert by_name["wide"]["cost"] == pytest.approx(
        30 * by_name["wide"]["buy_length_mm"] / 1000, abs=0.005
    )


def test_without_a_price_the_area_bought_decides(clothwright, order, rolls):
    rolls.write_text(ROLLS.replace('price_per_metre = 12\ncurrency = "EUR"', ""))
    record = json.loads(clothwright("widths", order, "--rolls", rolls, *QUICK, "--json").out)
    assert record["ranked_by"] == "area"
    areas = [roll["bought_area_mm2"] for roll in record["rolls"]]
    assert areas == sorted(areas)
    for roll in record["rolls"]:
        assert roll["bought_area_mm2"] == pytest.approx(roll["buy_length_mm"] * roll["width_mm"])


def test_a_width_that_a_panel_does_not_fit_comes_last_with_the_reason(clothwright, order):
    ended = clothwright("widths", order, "--width", "40cm", "--width", "140cm", *QUICK, "--json")
    assert ended.status == 0
    assert names(ended) == ["Grey Wool 2, 140cm wide", "Grey Wool 2, 40cm wide"]
    refused = json.loads(ended.out)["rolls"][1]["refused"]
    assert refused[0]["place"] == 'item "seat", panel "plate"'
    shown = clothwright("widths", order, "--width", "40cm", "--width", "140cm", *QUICK).out
    assert "Grey Wool 2, 40cm wide: cannot be used" in shown


def test_no_width_that_fits_ends_with_1_and_writes_nothing(clothwright, order):
    ended = clothwright("widths", order, "--width", "30cm", "--width", "40cm", *QUICK)
    assert ended.status == 1
    assert "no lay plan on any roll" in ended.out
    assert not (order.parent / "bench-widths").exists()


def test_an_order_of_several_cloths_must_say_which_is_bought(clothwright, two_cloths):
    ended = clothwright("widths", two_cloths, "--width", "150cm", *QUICK)
    assert (ended.status, ended.out) == (2, "")
    assert '"Grey Wool 2", "lining"' in ended.err


def test_only_what_is_cut_from_the_named_cloth_is_laid(clothwright, two_cloths):
    clothwright("widths", two_cloths, "--cloth", "lining", "--width", "120cm", *QUICK)
    layout = json.loads((two_cloths.parent / "two-widths/layout.json").read_text())
    (cloth,) = layout["cloths"]
    assert {panel["item"] for panel in cloth["panels"]} == {"under"}


def test_a_cloth_that_nothing_is_cut_from_is_refused(clothwright, order):
    ended = clothwright("widths", order, "--cloth", "silk", "--width", "120cm", *QUICK)
    assert (ended.status, ended.out) == (2, "")
    assert '--cloth: nothing in the order is cut from this cloth: "silk"' in ended.err


def test_nothing_to_compare_is_refused(clothwright, order):
    ended = clothwright("widths", order, *QUICK)
    assert (ended.status, ended.out) == (2, "")
    assert "--width, --rolls: there is nothing to compare" in ended.err


def test_every_wrong_width_is_reported(clothwright, order):
    ended = clothwright(
        "widths", order, "--width", "wide", "--width", "-4 cm", "--width", "3", *QUICK
    )
    assert (ended.status, ended.out) == (2, "")
    assert ended.err.count("--width: ") == 3
    assert "must be wider than both selvedges" in ended.err
    assert not (order.parent / "bench-widths").exists()


def test_faults_of_a_rolls_file_are_reported_with_its_name_and_lines(clothwright, order, rolls):
    rolls.write_text(ROLLS.replace("width = 112", "width = true").replace("units", "unit"))
    ended = clothwright("widths", order, "--rolls", rolls, *QUICK)
    assert (ended.status, ended.out) == (2, "")
    assert f"{rolls}:3: unit" in ended.err
    assert f'{rolls}:7: cloth 1 "narrow", width: ' in ended.err


def test_an_absent_rolls_file_ends_with_3(clothwright, order):
    ended = clothwright("widths", order, "--rolls", "nowhere.toml", *QUICK)
    assert (ended.status, ended.out) == (3, "")
    assert "nowhere.toml" in ended.err
