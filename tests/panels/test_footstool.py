"""Footstools against sizes worked by hand."""

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LinearRing, Polygon, box

from nesting.panels.making import make_panels
from nesting.panels.product import products

STOOL = {"length": 600.0, "width": 400.0, "height": 350.0}


def sizes(panels):
    return {p.name: (p.per_item, p.cut.length / 100, p.cut.height / 100) for p in panels}


def test_a_cube_is_six_equal_squares(make):
    """450 + 2·10 = 470 mm each way, 6·45² = 12 150 cm², 91.125 l (by hand)."""
    made = make("footstool", 10.0, length=450.0)
    assert sizes(made.panels) == {"face": (2, 470, 470), "side": (4, 470, 470)}
    assert made.area_mm2 == pytest.approx(1_215_000)
    assert made.volume_litres == pytest.approx(91.125)


def test_six_faces_of_a_rectangular_one(make):
    """Half an inch all round: 600 + 25.4, 400 + 25.4, 350 + 25.4 (by hand).

    A side is drawn with its height along the grain.
    """
    made = make("footstool", 12.7, **STOOL)
    assert sizes(made.panels) == {
        "face": (2, pytest.approx(625.4), pytest.approx(425.4)),
        "side-long": (2, pytest.approx(375.4), pytest.approx(625.4)),
        "side-short": (2, pytest.approx(375.4), pytest.approx(425.4)),
    }


def test_a_wrap_in_one_piece_goes_round_the_ends(make):
    """2·(400 + 350) + 2·10 = 1520 by 600 + 20; ends 370 (along the grain) by 420 (by hand)."""
    made = make("footstool", 10.0, **STOOL, construction="wrap", strips=1)
    assert sizes(made.panels) == {"end": (2, 370, 420), "wrap": (1, 620, 1520)}


def test_both_constructions_cover_the_same_surface(draft):
    """2·(60·40 + 60·35 + 40·35) = 11 800 cm² (by hand)."""
    for construction in ("faces", "wrap"):
        area = draft("footstool", **STOOL, construction=construction).area_mm2
        assert area == pytest.approx(1_180_000)


def test_foam_stands_half_an_inch_over_length_and_width(make):
    """600 + 12.7 by 400 + 12.7 by 350 (goodoldboat: half an inch over)."""
    (foam,) = (n for n in make("footstool", **STOOL).notions if n.kind == "foam")
    assert foam.lengths_mm[:3] == pytest.approx((612.7, 412.7, 350))


def test_a_zip_lies_along_the_bottom_or_from_front_to_back_of_a_wrap(make):
    """600 - 20 = 580 mm; 400 - 20 = 380 mm (by hand)."""
    for construction, opening in (("faces", 580), ("wrap", 380)):
        made = make("footstool", 10.0, **STOOL, construction=construction, closure="zip")
        (zipped,) = (n for n in made.notions if n.kind == "zip")
        assert zipped.lengths_mm[1] == pytest.approx(opening)


def test_it_warns_of_the_rules_for_upholstered_furniture():
    cautions = " ".join(products()["footstool"].cautions)
    assert "1988/1324" in cautions
    assert "16 CFR 1640" in cautions


@given(
    st.tuples(st.floats(100, 2000), st.floats(100, 2000), st.floats(50, 1500)),
    st.sampled_from(("faces", "wrap")),
    st.integers(1, 9),
    st.sampled_from(("none", "zip")),
    st.sampled_from((5.0, 12.7, 20.0)),
)
@settings(deadline=None, max_examples=40)
def test_any_footstool_meets_at_its_seams_and_has_the_surface_and_volume_of_a_box(
    size, construction, strips, closure, allowance
):
    product = products()["footstool"]
    values = {m.name: m.default for m in product.measurements}
    values |= dict(zip(("length", "width", "height"), size, strict=True))
    values |= {"construction": construction, "strips": strips, "closure": closure}
    assume(not product.faults(values, allowance))
    made = make_panels(product, values, item="p", cloth="c", quantity=1, allowance_mm=allowance)
    assert all(abs(seam.unexplained_mm) <= 0.5 for seam in made.seams)
    assert {s.seam for s in made.seams} == {n for step in made.steps for n in step.seams}
    x, y, z = size
    assert made.area_mm2 == pytest.approx(2 * (x * y + y * z + z * x))
    assert made.volume_litres == pytest.approx(x * y * z / 1e6)
    for panel in made.panels:
        stitch, cut = Polygon(panel.stitch.points), Polygon(panel.cut.points)
        assert cut.equals(box(*stitch.buffer(100 * allowance, join_style="mitre").bounds))
        assert LinearRing(panel.cut.points).distance(stitch) >= 100 * allowance - 0.01
