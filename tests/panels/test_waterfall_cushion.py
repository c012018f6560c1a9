"""Waterfall cushions: the wrap by a sum of arcs, surface and volume by another route.

No published size of such a cushion was found: top + πt/2 + bottom is common practice and plane
geometry.
"""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from shapely import LinearRing, Polygon

from nesting.panels.making import make_panels
from nesting.panels.product import products

SEAT = {"depth": 550.0, "width": 600.0, "thickness": 120.0}


def test_the_wrap_of_a_bullnose_is_top_half_circle_and_bottom(make, by_name):
    """Top + πt/2 + bottom (common practice): 490 + 188.496 + 490 = 1168.496 mm (by hand)."""
    made = make("waterfall-cushion", **SEAT)
    panels = by_name(made.panels)
    wrap = panels["wrap"].cut
    assert (wrap.length / 100, wrap.height / 100) == pytest.approx((1168.496, 600), abs=0.02)
    assert (panels["back"].cut.length / 100, panels["back"].cut.height / 100) == (120, 600)
    # 490·120 + π·60²/2 = 64 454.9 mm²; its chords leave out 2/3·0.05·188.5 = 6.3 at most.
    assert panels["side"].cut.area_mm2 == pytest.approx(64_454.9, abs=20)
    assert made.volume_litres == pytest.approx(38.673, abs=0.001)


def test_a_lesser_radius_leaves_an_upright_front(make, by_name):
    """Radius 30: 520 + 2·(π/2·30) + 60 + 520 = 1194.248 mm (by hand)."""
    wrap = by_name(make("waterfall-cushion", **SEAT, front_radius=30.0).panels)["wrap"].cut
    assert wrap.length / 100 == pytest.approx(1194.248, abs=0.02)


def test_both_sides_are_one_panel_turned_over(make):
    made = make("waterfall-cushion", 10.0, **SEAT, strips=3)
    assert (made.panels[0].name, made.panels[0].per_item) == ("side", 2)
    met = {seam.seam: seam.first for seam in made.seams}
    assert met["wrap to left side, bottom"] == "side bottom"
    assert met["wrap to right side, bottom"] == "side top"


def test_a_zip_runs_from_side_to_side_in_the_back(make, by_name):
    """Halves 120/2 + 10 + 12 by 600 + 2·10; opening 600 - 2·10 (by hand)."""
    made = make("waterfall-cushion", 10.0, **SEAT, closure="zip", zip_allowance=12.0)
    lower = by_name(made.panels)["back-lower"].cut
    assert (lower.length / 100, lower.height / 100) == (82, 620)
    assert [seam.opening_mm for seam in made.seams if seam.seam == "zip"] == [580]
    assert made.steps[0].seams == ("zip",)


def test_foam_is_half_an_inch_over_with_its_front_rounded(make):
    """Goodoldboat 117937: foam 1/2 in over length and width."""
    made = make("waterfall-cushion", **SEAT)
    (foam,) = (n for n in made.notions if n.kind == "foam")
    assert foam.lengths_mm[:3] == pytest.approx((562.7, 612.7, 120))
    assert any(fact.lengths_mm == (60,) for fact in made.facts)


def test_fibre_is_12_to_16_ounces_to_the_cubic_foot(make):
    """Source coziepillow: 38.673 l are 1.3657 ft³: 16.39 to 21.85 oz (by hand)."""
    (fibre,) = (n for n in make("waterfall-cushion", **SEAT, fill="fibre").notions if n.kilograms)
    assert fibre.kilograms == pytest.approx((16.39 * 0.0283495, 21.85 * 0.0283495), rel=0.001)


def test_rounds_larger_than_the_cushion_are_refused(faults):
    assert "front_radius" in faults("waterfall-cushion", **SEAT, front_radius=61.0)
    assert "front_radius" in faults("waterfall-cushion", **SEAT, front_radius=59.8)
    assert "depth" in faults("waterfall-cushion", depth=150.0, width=500.0, thickness=300.0)


@given(
    st.floats(150, 1500),
    st.floats(120, 1500),
    st.floats(40, 400),
    st.one_of(st.none(), st.floats(5, 150)),
    st.integers(1, 6),
    st.sampled_from(("none", "zip")),
    st.sampled_from(("along", "across", "any")),
    st.sampled_from((5.0, 10.0, 15.0)),
)
@settings(deadline=None, max_examples=40)
def test_any_waterfall_cushion_meets_at_its_seams_and_has_its_surface_and_volume(
    depth, width, thickness, radius, strips, closure, grain, allowance
):
    product = products()["waterfall-cushion"]
    values = {m.name: m.default for m in product.measurements}
    values |= {"depth": depth, "width": width, "thickness": thickness, "front_radius": radius}
    values |= {"strips": strips, "closure": closure, "strip_grain": grain}
    assume(not product.faults(values, allowance))
    made = make_panels(product, values, item="p", cloth="c", quantity=1, allowance_mm=allowance)
    assert all(abs(seam.unexplained_mm) <= 0.5 for seam in made.seams)
    assert {s.seam for s in made.seams} == {n for step in made.steps for n in step.seams}
    r = thickness / 2 if radius is None else radius
    nose = quad(lambda x: thickness - 2 * (r - math.sqrt(max(r**2 - x**2, 0))), 0, r)[0]
    profile = (depth - r) * thickness + nose
    around = 2 * (depth - r) + math.pi * r + (thickness - 2 * r) + thickness
    assert made.volume_litres == pytest.approx(profile * width / 1e6, rel=1e-6)
    assert made.area_mm2 == pytest.approx(2 * profile + around * width, abs=0.07 * around + 1)
    for panel in made.panels:
        cut, stitch = Polygon(panel.cut.points), Polygon(panel.stitch.points)
        assert cut.is_valid
        assert cut.covers(stitch)
        assert LinearRing(panel.cut.points).distance(stitch) >= 100 * allowance - 0.01
