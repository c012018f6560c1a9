"""Handles and ties: cut sizes worked by hand, and the fold in the middle of each."""

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from shapely import LinearRing, Polygon

from nesting.panels.making import make_panels
from nesting.panels.product import products


def test_a_pair_of_handles_is_cut_twice_as_wide_with_allowances(make):
    """200 + 2·25 by 2·30 + 2·10 mm (by hand)."""
    (panel,) = make("handle", 10.0, length=200.0, hem_allowance=25.0).panels
    assert panel.per_item == 2
    assert (panel.cut.length / 100, panel.cut.height / 100) == (250, 80)
    assert panel.lines == (((2_500, 4_000), (22_500, 4_000)),)


@pytest.mark.parametrize(
    ("product", "long", "area"),
    [
        ("handle", 200.0, 24_000),  # two of 200 by 2·30 mm (by hand)
        ("tie", 300.0, 28_800),  # four of 300 by 2·12 mm (by hand)
    ],
)
def test_straps_are_folded_from_twice_their_area(make, product, long, area):
    assert make(product, 5.0, length=long).area_mm2 == pytest.approx(area)


def test_with_an_allowance_as_wide_as_itself_a_strap_is_cut_four_times_as_wide(make):
    """Common practice for a folded strap of 1 in: 4 in of cloth."""
    (panel,) = make("handle", 25.4, length=300.0, width=25.4).panels
    assert panel.cut.height / 2540 == pytest.approx(4, abs=0.001)


def test_every_strap_is_topstitched_along_its_length(make):
    """Four of 300 mm at 2.5 to 1 and 15 % (melgeecrafts, apparelscience): 3450 mm by hand."""
    made = make("tie", 10.0, length=300.0)
    (seam,) = made.seams
    assert (seam.first_mm, seam.times, seam.stitch) == (300, 4, "topstitch")
    assert made.notions[0].lengths_mm == pytest.approx((3450,))
    turned = make("tie", 10.0, length=300.0, style="turned")
    assert "turn right side out" in turned.steps[0].words


def test_ties_warn_of_children(make):
    assert any("strangle" in caution for caution in products()["tie"].cautions)


@pytest.mark.parametrize("product", ["handle", "tie"])
def test_an_allowance_wider_than_the_strap_laid_open_is_refused(faults, product):
    """Its long edges are sewn to each other, so their allowances lie on each other in the strap.

    What is wider than the strap is folded once more or trimmed; only one wider than
    the cloth between the stitch lines, 24 mm here, cannot be turned in.
    """
    assert not faults(product, 24.0, length=300.0, width=12.0)
    found = faults(product, 24.1, length=300.0, width=12.0)
    assert "allow at most 24 mm" in found["seam_allowance"].remedy


def test_a_tie_of_the_usual_width_takes_a_common_allowance_of_half_an_inch(faults):
    assert faults("tie", 12.7, length=300.0) == {}


def test_hems_at_the_ends_of_a_strap_are_not_held_against_its_width(faults):
    """By hand: a strap 200 mm long has room for hems of 100 mm, whatever its width."""
    assert faults("handle", 5.0, length=200.0, width=10.0, hem_allowance=100.0) == {}
    found = faults("handle", 5.0, length=200.0, width=10.0, hem_allowance=101.0)
    assert "allow at most 100 mm" in found["hem_allowance"].remedy


@given(
    st.sampled_from(("handle", "tie")),
    st.floats(60, 1500),
    st.floats(10, 150),
    st.integers(1, 12),
    st.one_of(st.none(), st.floats(0, 60)),
    st.sampled_from((5.0, 10.0, 12.7)),
)
@settings(deadline=None, max_examples=30)
def test_any_strap_meets_itself_and_has_twice_its_area(name, long, wide, pieces, hem, allowance):
    product = products()[name]
    values = {m.name: m.default for m in product.measurements}
    values |= {"length": long, "width": wide, "pieces": pieces, "hem_allowance": hem}
    assume(not product.faults(values, allowance))
    made = make_panels(product, values, item="p", cloth="c", quantity=1, allowance_mm=allowance)
    assert all(abs(seam.unexplained_mm) <= 0.5 for seam in made.seams)
    assert made.area_mm2 == pytest.approx(2 * pieces * quad(lambda _: wide, 0, long)[0])
    (panel,) = made.panels
    cut, stitch = Polygon(panel.cut.points), Polygon(panel.stitch.points)
    least = min(edge.allowance for edge in panel.edges)
    assert cut.is_valid
    assert cut.covers(stitch)
    assert LinearRing(panel.cut.points).distance(stitch) >= least - 0.01
