from dataclasses import replace

import pytest
from worked_lays import TWILL, mixed_lay

from nesting.cloth.cloth import Nap
from nesting.reports.rules import rule_reports
from nesting.reports.waste import account
from nesting.units import CM, M


def _reports(lay, units="cm"):
    return {report.rule: report for report in rule_reports(lay, account(lay), units)}


def test_every_rule_of_the_cloth_is_listed_with_its_effect():
    reports = _reports(mixed_lay())
    assert list(reports) == ["Nap", "Grain", "Gap", "Selvedge", "Ends", "Buying step"]
    # by hand: of six panels a plate and a gore lie at 180 degrees, the boxing at 90
    assert reports["Nap"].did == "2 of the 6 panels are turned end for end."
    assert reports["Grain"].asks == "along the roll; 1 panel may lie any way"
    assert reports["Grain"].did == "1 of the 6 panels is turned by a quarter."
    # by hand: 2 x 1.5 cm of 140 cm are 2.14 per cent, 0.021 square metres of 70 cm
    assert reports["Selvedge"].did == (
        "137.0 cm of 140.0 cm can be used; 0.021 m² (2.1 %) is lost."
    )
    # 2 x 2 cm x 137 cm = 548 cm² of 9800 cm²
    assert reports["Ends"].did == "Both ends together: 0.055 m² (5.6 %)."
    assert reports["Buying step"].did == "Rounding up added 4.0 cm: 0.055 m² (5.6 %)."


def test_the_band_of_a_gap_is_half_of_it_around_every_panel():
    lay = mixed_lay()
    plates = replace(lay, placed=lay.placed[:2])
    # by hand, in test_waste: 18.9 cm² of 50 cm bought x 140 cm
    assert _reports(plates)["Gap"].did == "Half of it around every panel: 0.002 m² (0.3 %)."


def test_rules_that_ask_for_nothing_say_so():
    plain = replace(TWILL, gap=0, end_allowance=0, selvedge=0, buy_step=62 * CM)
    reports = _reports(mixed_lay(plain))
    assert reports["Gap"].asks == "none: panels may touch"
    assert reports["Ends"].asks == "no allowance"
    assert reports["Selvedge"].did == "The whole width can be used."
    assert reports["Buying step"].did == "The lay ends on a step; nothing is added."


@pytest.mark.parametrize(
    ("nap", "did"),
    [
        (Nap.ONE_WAY, "2 of the 6 panels are turned end for end."),
        # by hand: of the two items, both have one panel turned
        (Nap.UP_AND_DOWN, "All of the 2 items are laid pointing the other way."),
    ],
)
def test_the_rule_of_the_nap_counts_panels_or_items_that_point_the_other_way(nap, did):
    assert _reports(mixed_lay(replace(TWILL, nap=nap)))["Nap"].did == did


@pytest.mark.parametrize(
    ("index", "did"),
    [
        (0, "The only panel is not turned end for end."),
        (-1, "The only panel is turned end for end."),
    ],
)
def test_a_rule_speaks_of_a_single_panel_in_the_singular(index, did):
    lay = mixed_lay()
    alone = sorted(lay.placed, key=lambda placed: placed.turn)[index]
    assert _reports(replace(lay, placed=(alone,)))["Nap"].did == did


def test_the_rule_of_the_roll_says_how_much_stays_on_it():
    lay = mixed_lay(replace(TWILL, roll_length=5 * M))
    assert _reports(lay)["Roll"].did == "430.0 cm stays on it."
    whole = mixed_lay(replace(TWILL, roll_length=70 * CM))
    assert _reports(whole)["Roll"].did == "0.0 cm stays on it."
