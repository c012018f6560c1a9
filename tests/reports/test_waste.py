from dataclasses import replace
from fractions import Fraction

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from worked_lays import TWILL, mixed_lay

from nesting.reports.waste import Use, account, apportion
from nesting.units import CM, MM

#: Twice a square centimetre in square grid units.
CM2 = 2 * CM * CM


def test_uses_agree_with_those_worked_out_by_hand():
    areas2 = account(mixed_lay()).areas2
    # 70 cm bought of 140 cm, of which 2 x 1.5 cm are selvedge; 62 cm used, 2 x 2 cm of ends
    assert areas2[Use.SELVEDGES] == 70 * 3 * CM2
    assert areas2[Use.ENDS] == 2 * 2 * 137 * CM2
    assert areas2[Use.BUYING_STEP] == (70 - 62 - 4) * 137 * CM2
    assert areas2[Use.PANELS] + areas2[Use.GAPS] + areas2[Use.BETWEEN] == 62 * 137 * CM2


def test_a_gap_is_a_band_of_half_its_width_inside_the_lay():
    lay = mixed_lay()
    plates = replace(lay, placed=lay.placed[:2])
    # by hand: one plate 42 cm long on the lower edge, the other 3 mm above it; the lay ends where
    # they end, so three bands of 42 cm x 1.5 mm are inside it
    assert account(plates).areas2[Use.GAPS] == pytest.approx(3 * 42 * 0.15 * CM2)
    assert account(mixed_lay(replace(TWILL, gap=0))).areas2[Use.GAPS] == 0


def test_cloth_between_panels_agrees_with_another_library():
    lay = mixed_lay()
    cloth = lay.cloth
    used = shapely.box(
        cloth.end_allowance,
        cloth.selvedge,
        cloth.end_allowance + lay.used_length,
        cloth.selvedge + cloth.usable_width,
    )
    panels = shapely.union_all([shapely.Polygon(p.outline.points) for p in lay.placed])
    between = used.difference(panels).area
    near = used.intersection(panels.buffer(cloth.gap / 2)).difference(panels).area
    areas2 = account(lay).areas2
    assert (areas2[Use.BETWEEN] + areas2[Use.GAPS]) / 2 == pytest.approx(between, rel=1e-9)
    assert areas2[Use.GAPS] / 2 == pytest.approx(near, rel=1e-6)


@settings(max_examples=60, deadline=None)
@given(
    selvedge=st.integers(0, 50 * MM),
    end=st.integers(0, 80 * MM),
    step=st.integers(1, 200 * CM),
)
def test_uses_add_up_exactly_to_what_is_bought(selvedge, end, step):
    cloth = replace(TWILL, width=137 * CM + 2 * selvedge, selvedge=selvedge)
    lay = mixed_lay(replace(cloth, end_allowance=end, buy_step=step))
    figures = account(lay)
    assert figures.whole2 == 2 * lay.buy_length * lay.cloth.width
    assert min(figures.areas2.values()) >= 0
    assert figures.utilisation == Fraction(figures.areas2[Use.PANELS], figures.whole2)


def test_efficiency_leaves_out_cloth_that_utilisation_includes():
    figures = account(mixed_lay())
    panels2 = figures.areas2[Use.PANELS]
    assert figures.efficiency == Fraction(panels2, 62 * 137 * CM2)
    assert figures.utilisation == Fraction(panels2, 70 * 140 * CM2)


def test_the_bound_gives_the_greatest_possible_saving():
    lay = mixed_lay()  # used 62 cm, bound 55 cm
    assert account(lay).possible_saving == Fraction(7, 62)
    # by hand: 55 + 2 x 2 cm = 59 cm, bought in steps of 10 cm
    assert account(lay).least_buy_length == 60 * CM
    tight = replace(lay, lower_bound=lay.used_length)
    assert account(tight).possible_saving == 0


def test_shares_are_rounded_so_that_they_add_up():
    # by hand: thirds of 100 are 33 with a remainder each; the first gets the rest
    assert apportion(100, [1, 1, 1]) == (34, 33, 33)
    # quotas 5.6, 3.0 and 1.4: one is left for the largest remainder
    assert apportion(10, [56, 30, 14]) == (6, 3, 1)


@given(st.integers(0, 10**6), st.lists(st.integers(0, 10**12), min_size=1, max_size=9))
def test_no_share_is_further_than_one_from_its_quota(whole, parts):
    parts = [*parts, 1]
    shares = apportion(whole, parts)
    assert sum(shares) == whole
    quotas = [Fraction(whole * part, sum(parts)) for part in parts]
    assert all(abs(share - quota) < 1 for share, quota in zip(shares, quotas, strict=True))
