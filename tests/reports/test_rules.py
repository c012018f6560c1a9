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
    assert list(reports) == [
        "Nap", "Grain", "Spacing", "Selvedge", "End allowance", "Rounding to sale length",
    ]  # fmt: skip
    # by hand: of six panels a plate and a gore lie at 180 degrees, the boxing at 90
    assert reports["Nap"].effect == "2 of the 6 panels are turned end for end."
    assert reports["Grain"].required == "along the roll; 1 panel may lie any way"
    assert reports["Grain"].effect == "1 of the 6 panels is turned by a quarter."
    # by hand: 2 x 1.5 cm of 140 cm are 2.14 per cent, 0.021 square metres of 70 cm
    assert reports["Selvedge"].effect == (
        "137.0 cm of the width of 140.0 cm can be used. "
        "Selvedges take 0.021 m², 2.1 % of the bought cloth."
    )
    # 2 x 2 cm x 137 cm = 548 cm² of 9800 cm²
    assert reports["End allowance"].effect == "Both ends take 0.055 m², 5.6 % of the bought cloth."
    assert reports["Rounding to sale length"].effect == (
        "4.0 cm is bought but not needed: 0.055 m², 5.6 % of the bought cloth."
    )


def test_the_band_of_a_gap_is_half_of_it_around_every_panel():
    lay = mixed_lay()
    plates = replace(lay, placed=lay.placed[:2])
    # by hand, in test_waste: 18.9 cm² of 50 cm bought x 140 cm
    assert _reports(plates)["Spacing"].effect == "It takes 0.002 m², 0.3 % of the bought cloth."


def test_rules_that_ask_for_nothing_say_so():
    plain = replace(TWILL, gap=0, end_allowance=0, selvedge=0, buy_step=62 * CM)
    reports = _reports(mixed_lay(plain))
    assert reports["Spacing"].required == "none: panels may touch"
    assert reports["End allowance"].required == "none"
    assert reports["Selvedge"].effect == "The whole width can be used."
    assert reports["Rounding to sale length"].effect == "Nothing is added."


@pytest.mark.parametrize(
    ("nap", "effect"),
    [
        (Nap.ONE_WAY, "2 of the 6 panels are turned end for end."),
        # by hand: of the two items, both have one panel turned
        (Nap.UP_AND_DOWN, "All of the 2 items are turned end for end."),
    ],
)
def test_the_rule_of_the_nap_counts_panels_or_items_that_point_the_other_way(nap, effect):
    assert _reports(mixed_lay(replace(TWILL, nap=nap)))["Nap"].effect == effect


@pytest.mark.parametrize(
    ("index", "effect"),
    [
        (0, "The only panel is not turned end for end."),
        (-1, "The only panel is turned end for end."),
    ],
)
def test_a_rule_speaks_of_a_single_panel_in_the_singular(index, effect):
    lay = mixed_lay()
    alone = sorted(lay.placed, key=lambda placed: placed.turn)[index]
    assert _reports(replace(lay, placed=(alone,)))["Nap"].effect == effect


def test_the_rule_of_the_roll_says_how_much_stays_on_it():
    lay = mixed_lay(replace(TWILL, roll_length=5 * M))
    assert _reports(lay)["Roll"].effect == "430.0 cm stays on the roll."
    whole = mixed_lay(replace(TWILL, roll_length=70 * CM))
    assert _reports(whole)["Roll"].effect == "0.0 cm stays on the roll."
