"""The record of a lay on pieces of a cloth."""

from dataclasses import replace
from decimal import Decimal

import lays_on_pieces
import pytest
import worked_lays
from lays_on_pieces import CLOTH, HIDE, REMNANT

from nesting.cloth.stock import Flaw
from nesting.layouts.measures import efficiency, gap_to_bound
from nesting.layouts.storage import as_record, to_json
from nesting.units import CM

LAYS = lays_on_pieces.lays()


def stored(*lays):
    (cloth,) = as_record(worked_lays.order_lay(*lays))["cloths"]
    return cloth


def test_each_piece_has_the_keys_that_apply_to_it():
    remnant, hide, roll = stored(*LAYS)["pieces"]
    assert [*remnant] == [
        *("name", "width_mm", "length_mm", "selvedge_mm", "widths_mm", "splices_mm", "shade"),
        *("flaws", "price", "used_length_mm", "cost"),
    ]
    assert [*hide] == [
        *("name", "width_mm", "length_mm", "outline_mm", "holes_mm", "shade"),
        *("used_length_mm", "cost"),
    ]
    assert [*roll] == [
        *("name", "width_mm", "length_mm", "selvedge_mm", "flaws"),
        *("used_length_mm", "buy_length_mm", "cost"),
    ]


def test_pieces_are_written_in_millimetres():
    remnant, hide, roll = stored(*LAYS)["pieces"]
    assert (remnant["width_mm"], remnant["length_mm"]) == (600.0, 1000.0)
    assert remnant["widths_mm"] == [[0.0, 600.0], [500.0, 550.0]]
    assert remnant["splices_mm"] == [450.0]
    assert remnant["flaws"] == [
        {
            "outline_mm": [[700.0, 200.0], [750.0, 200.0], [750.0, 250.0], [700.0, 250.0]],
            "what": "oil",
            "minor": False,
        }
    ]
    assert hide["outline_mm"][1:3] == [[500.0, 0.0], [600.0, 100.0]]
    assert len(hide["holes_mm"]) == 1
    assert (roll["name"], roll["length_mm"]) == ("roll", None)
    assert [flaw["minor"] for flaw in roll["flaws"]] == [True, False]


def test_the_figures_of_a_cloth_are_the_sums_of_its_pieces():
    """By hand, see the lays."""
    cloth = stored(*LAYS)
    assert [piece["used_length_mm"] for piece in cloth["pieces"]] == [640.0, 250.0, 603.0]
    assert [piece["cost"] for piece in cloth["pieces"]] == [4.0, 11.1, 12.95]
    assert (cloth["used_length_mm"], cloth["buy_length_mm"]) == (1493.0, 700.0)
    assert cloth["cost"] == 28.05
    assert cloth["panel_area_mm2"] == 340_000.0
    assert cloth["efficiency"] == round(3400 / (3328 + 1200 + 8236.1), 6)
    assert (cloth["lower_bound_mm"], cloth["proved_optimal"]) == (1403.0, False)
    assert cloth["gap_to_bound"] == round(1493 / 1403 - 1, 6)
    assert efficiency(*LAYS) == pytest.approx(cloth["efficiency"], abs=1e-6)
    assert gap_to_bound(*LAYS) == pytest.approx(cloth["gap_to_bound"], abs=1e-6)


def test_the_cloth_of_a_record_is_that_of_the_order_whatever_piece_is_used():
    cloth = stored(*LAYS[:2])
    assert (cloth["width_mm"], cloth["selvedge_mm"], cloth["end_allowance_mm"]) == (1400, 15, 20)
    assert cloth["buy_length_mm"] == 0.0
    assert CLOTH.on(REMNANT).as_sold == CLOTH.on(HIDE).as_sold == CLOTH


def test_a_placement_names_its_piece_and_a_panel_how_it_may_lie():
    cloth = stored(*LAYS)
    names = [place["piece"] for place in cloth["placements"]]
    assert names == ["remnant", "remnant", "hide", "roll", "roll"]
    assert [panel.get("hidden") for panel in cloth["panels"]] == [None, True, None]
    assert [panel.get("one_shade") for panel in cloth["panels"]] == [None, None, False]


def test_a_cost_that_is_not_known_of_every_piece_is_not_stated():
    remnant, hide = (replace(lay, cloth=replace(lay.cloth, price=None)) for lay in LAYS[:2])
    cloth = stored(remnant, hide)
    assert [piece.get("cost") for piece in cloth["pieces"]] == [4.0, None]
    assert not {"cost", "currency", "price_per_metre"} & {*cloth}
    paid = replace(remnant, piece=replace(REMNANT, price=Decimal(0)))
    assert stored(paid)["cost"] == 0.0


def test_a_flaw_in_a_flaw_counts_once():
    hide = LAYS[1]
    hole = HIDE.holes[0]
    twice = replace(hide, piece=replace(HIDE, flaws=(Flaw(hole),)))
    far = replace(hide.placed[0], x=40 * CM, y=25 * CM)  # up to the end: 60 cm are used
    assert efficiency(replace(twice, placed=(far,))) == efficiency(replace(hide, placed=(far,)))
    # By hand: 60 x 50 less three corners of 50 and a hole of 25 is 2825 cm².
    assert efficiency(replace(hide, placed=(far,))) == pytest.approx(400 / 2825, rel=1e-12)


def test_every_piece_begins_a_line():
    text = to_json(as_record(worked_lays.order_lay(*LAYS)))
    starts = [line[:16] for line in text.splitlines()]
    assert starts.count('{"name": "remnan') == 1
    assert len(starts) == 1 + 1 + 3 + 3 + 5  # opening, cloth, pieces, panels, placements
