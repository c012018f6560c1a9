"""Knife-edge cushions: published tapers and fibre, areas by another route."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from shapely import LinearRing, Polygon

from nesting.panels.making import make_panels
from nesting.panels.product import products

INCH = 25.4
CUSHION = {"length": 500.0, "width": 400.0}


@pytest.mark.parametrize(
    ("side", "taper"), [(10, 0.25), (12, 0.25), (18, 0.5), (24, 0.5), (26, 1.0)]
)
def test_corners_are_drawn_in_by_the_published_tapers(draft, side, taper):
    """Of getasquiltingstudio 2021: 1/2 in from a quarter of the side; 1 over 24, 1/4 up to 12."""
    (panel,) = draft("knife-edge-cushion", length=side * INCH, width=side * INCH).panels
    points = panel.edges["lower"].points
    corner, quarter, other, _ = points
    assert corner == pytest.approx((taper * INCH, taper * INCH))
    assert quarter == pytest.approx((side * INCH / 4, 0))
    assert other == pytest.approx((side * INCH * 3 / 4, 0))


def test_a_cover_of_50_by_40_cm(make, by_name):
    """By hand, taper 12.7: area 200 000 - 12.7·(500 + 400)/2 = 194 285 mm².

    Lower side 250 + 2·√(112.3² + 12.7²) = 476.032; right 200 + 2·√(87.3² + 12.7²) = 376.438.
    """
    made = make("knife-edge-cushion", **CUSHION)
    assert made.panels[0].per_item == 2
    assert made.panels[0].cut.area_mm2 == pytest.approx(194_285, abs=20)
    firsts = [seam.first_mm for seam in made.seams]
    assert firsts == pytest.approx([476.032, 376.438] * 2, abs=0.001)
    wide = by_name(make("knife-edge-cushion", 10.0, **CUSHION).panels)["cover"].cut
    assert (wide.length / 100, wide.height / 100) == pytest.approx((520, 420), abs=0.03)


def test_without_a_taper_it_is_a_rectangle(make):
    made = make("knife-edge-cushion", **CUSHION, taper=0.0)
    assert made.panels[0].cut.area_mm2 == pytest.approx(200_000)
    assert [seam.first_mm for seam in made.seams] == pytest.approx([500, 400, 500, 400])


@pytest.mark.parametrize(("side", "ounces"), [(20, 20.0), (22, 24.2)])
def test_fibre_is_a_twentieth_of_an_ounce_to_the_square_inch(make, side, ounces):
    """quiltcraft: length × width × 5 %."""
    made = make("knife-edge-cushion", length=side * INCH, width=side * INCH)
    (fibre,) = (n for n in made.notions if n.kilograms)
    assert fibre.kilograms[0] / 0.0283495 == pytest.approx(ounces, rel=1e-4)


def test_a_zip_lies_in_the_lower_seam_with_an_allowance_of_its_own(make):
    """Edge 476.032 - 2·10 = 456.032 mm of opening; 10 + 15 mm on 400 mm of height (by hand)."""
    made = make("knife-edge-cushion", 10.0, **CUSHION, closure="zip", zip_allowance=15.0)
    assert made.seams[0].opening_mm == pytest.approx(456.032, abs=0.001)
    assert made.panels[0].cut.height / 100 == pytest.approx(425, abs=0.03)
    assert made.steps[0].seams == ("lower side",)


def test_a_zip_across_the_back_halves_it(make, by_name):
    made = make("knife-edge-cushion", 10.0, **CUSHION, closure="zip", closure_place="back")
    panels = by_name(made.panels)
    assert set(panels) == {"front", "back-lower", "back-upper"}
    assert panels["back-lower"].cut.height / 100 == pytest.approx(220, abs=0.03)
    right = next(seam for seam in made.seams if seam.seam == "right side")
    assert right.second == "back-lower left + back-upper left"


def test_a_slit_lies_in_the_back(make, by_name, faults):
    """500 - 2·10 = 480 mm."""
    back = by_name(make("knife-edge-cushion", 10.0, **CUSHION, closure="slit").panels)["back"]
    ((start, end),) = back.inner_cuts
    assert math.dist(start, end) == pytest.approx(48_000, abs=2)
    assert "closure_place" in faults(
        "knife-edge-cushion", **CUSHION, closure="slit", closure_place="seam"
    )


def test_a_zip_is_opened_before_the_cover_is_sewn_round_but_a_slit_is_open(make):
    for closure, begun in (("zip", "open it; sew front"), ("slit", "sew front")):
        made = make("knife-edge-cushion", **CUSHION, closure=closure, closure_place="back")
        assert made.steps[1].words.startswith(begun)


def test_a_taper_that_flattens_the_corner_is_refused(faults):
    assert "taper" in faults("knife-edge-cushion", **CUSHION, taper=40.1)
    assert not faults("knife-edge-cushion", **CUSHION, taper=40.0)


@given(
    st.floats(120, 2500),
    st.floats(120, 2500),
    st.one_of(st.none(), st.floats(0, 60)),
    st.sampled_from(("none", "zip", "slit")),
    st.sampled_from((None, "seam", "back")),
    st.sampled_from((5.0, 10.0, 15.0)),
)
@settings(deadline=None, max_examples=40)
def test_any_cover_meets_at_its_seams_and_has_its_area(x, y, taper, closure, place, allowance):
    product = products()["knife-edge-cushion"]
    values = {m.name: m.default for m in product.measurements}
    values |= {"length": x, "width": y, "taper": taper, "closure": closure}
    values["closure_place"] = place if closure != "none" else None
    assume(not product.faults(values, allowance))
    made = make_panels(product, values, item="p", cloth="c", quantity=1, allowance_mm=allowance)
    assert all(abs(seam.unexplained_mm) <= 0.5 for seam in made.seams)
    assert {s.seam for s in made.seams} == {n for step in made.steps for n in step.seams}
    if taper is None:
        lesser = min(x, y) / INCH
        taper = INCH * (0.25 if lesser <= 12 else 0.5 if lesser <= 24 else 1)

    def height(across):
        """Between the lower and the upper side, within the left half of a panel."""
        if across < taper:  # from (0, y/4) to the corner (t, t)
            return y - 2 * (y / 4 + (taper - y / 4) * across / taper)
        return y - 2 * taper * max(0.0, (x / 4 - across) / (x / 4 - taper))

    half = quad(height, 0, x / 2, points=[taper, x / 4])[0]
    assert made.area_mm2 == pytest.approx(4 * half, rel=1e-6)
    for panel in made.panels:
        cut, stitch = Polygon(panel.cut.points), Polygon(panel.stitch.points)
        assert cut.is_valid
        assert cut.covers(stitch)
        assert LinearRing(panel.cut.points).distance(stitch) >= 100 * allowance - 0.01
