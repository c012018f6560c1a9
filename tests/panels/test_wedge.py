"""Wedges: slopes by Pythagoras, mirrored sides, surface and volume by another route."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from shapely import LinearRing, Polygon
from shapely.affinity import scale

from nesting.panels.making import make_panels
from nesting.panels.product import products

#: 3 : 4 : 5, so that the slope is 750 mm.
WEDGE = {"depth": 600.0, "width": 500.0, "height": 450.0}


def test_the_wrap_goes_round_the_profile(make, by_name):
    """600 + 450 + √(600² + 450²) = 1800 mm by 500, sides 600·450/2 = 135 000 mm² (by hand)."""
    made = make("wedge", **WEDGE)
    panels = by_name(made.panels)
    wrap = panels["wrap"].cut
    assert (wrap.length / 100, wrap.height / 100) == pytest.approx((1800, 500))
    assert panels["left-side"].cut.area_mm2 == pytest.approx(135_000, abs=12)
    assert made.area_mm2 == pytest.approx(1_170_000)
    assert made.volume_litres == pytest.approx(67.5)


def test_a_front_of_its_own_height_makes_a_trapezium(make, by_name):
    """Front 130, rise 320: slope √(600² + 320²) = 680 mm; around 600 + 130 + 680 + 450 = 1860."""
    made = make("wedge", **WEDGE, front_height=130.0)
    assert by_name(made.panels)["wrap"].cut.length / 100 == pytest.approx(1860)
    # 600·(450 + 130)/2 · 500 mm³ = 87 litres (by hand).
    assert made.volume_litres == pytest.approx(87)


def test_each_side_is_the_mirror_image_of_the_other(make, by_name):
    panels = by_name(make("wedge", 10.0, **WEDGE).panels)
    left, right = (Polygon(panels[f"{side}-side"].cut.points) for side in ("left", "right"))
    turned = scale(left, yfact=-1, origin=(0, left.bounds[3] / 2))
    assert turned.symmetric_difference(right).area < 1e-4 * right.area
    assert left.symmetric_difference(right).area > 0.5 * right.area


def test_a_zip_runs_from_side_to_side_in_the_back(make, by_name):
    """Halves 450/2 + 2·10 by 500 + 2·10; opening 500 - 2·10 (by hand)."""
    made = make("wedge", 10.0, **WEDGE, closure="zip")
    upper = by_name(made.panels)["back-upper"].cut
    assert (upper.length / 100, upper.height / 100) == (245, 520)
    assert [seam.opening_mm for seam in made.seams if seam.seam == "zip"] == [480]
    wrap = by_name(made.panels)["wrap"].cut
    assert wrap.length / 100 == pytest.approx(600 + 750 + 20)


def test_an_allowance_of_the_zip_is_added_to_its_edges_alone(make, by_name):
    """The halves of the bottom: 600/2 + 10 + 15 by 520 (by hand)."""
    made = make("wedge", 10.0, **WEDGE, closure="zip", closure_place="bottom", zip_allowance=15.0)
    half = by_name(made.panels)["bottom-front"].cut
    assert (half.length / 100, half.height / 100) == (325, 520)


def test_foam_is_half_an_inch_over_and_cut_on_the_slope(make):
    """Source: goodoldboat 117937."""
    made = make("wedge", **WEDGE)
    (foam,) = (n for n in made.notions if n.kind == "foam")
    assert foam.lengths_mm[:3] == pytest.approx((612.7, 512.7, 450))
    # atan(450/600) = 36.87° (by hand).
    assert any("36.9°" in fact.sentence for fact in made.facts)
    assert any(fact.lengths_mm == (450,) for fact in made.facts)


def test_seating_carries_the_cautions_of_fire_rules():
    text = " ".join(products()["wedge"].cautions)
    assert "SI 1988/1324" in text
    assert "16 CFR 1640" in text
    assert "not legal advice" in text


def test_wedges_too_sharp_or_without_a_slope_are_refused(faults):
    assert "height" in faults("wedge", depth=600.0, width=500.0, height=80.0)
    assert "front_height" in faults("wedge", **WEDGE, front_height=445.0)
    assert "closure_length" in faults("wedge", **WEDGE, closure="zip", closure_length=490.0)


@given(
    st.floats(120, 1500),
    st.floats(120, 1500),
    st.floats(50, 900),
    st.one_of(st.none(), st.floats(20, 500)),
    st.integers(1, 6),
    st.sampled_from((None, "back", "bottom")),
    st.sampled_from(("along", "across")),
    st.sampled_from((5.0, 10.0, 15.0)),
)
@settings(deadline=None, max_examples=40)
def test_any_wedge_meets_at_its_seams_and_has_its_surface_and_volume(
    depth, width, height, front, strips, place, grain, allowance
):
    product = products()["wedge"]
    values = {m.name: m.default for m in product.measurements}
    values |= {"depth": depth, "width": width, "height": height, "front_height": front}
    values |= {"strips": strips, "strip_grain": grain, "closure_place": place}
    values["closure"] = "zip" if place else "none"
    assume(not product.faults(values, allowance))
    made = make_panels(product, values, item="p", cloth="c", quantity=1, allowance_mm=allowance)
    assert all(abs(seam.unexplained_mm) <= 0.5 for seam in made.seams)
    assert {s.seam for s in made.seams} == {n for step in made.steps for n in step.seams}
    low = front or 0.0
    profile = quad(lambda x: height + (low - height) * x / depth, 0, depth)[0]
    around = depth + height + low + math.hypot(depth, height - low)
    assert made.volume_litres == pytest.approx(profile * width / 1e6)
    assert made.area_mm2 == pytest.approx(2 * profile + around * width)
    for panel in made.panels:
        cut, stitch = Polygon(panel.cut.points), Polygon(panel.stitch.points)
        assert cut.is_valid
        assert cut.covers(stitch)
        assert LinearRing(panel.cut.points).distance(stitch) >= 100 * allowance - 0.01
