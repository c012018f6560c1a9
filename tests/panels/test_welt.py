"""Welt strips against published widths, lengths and losses."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LinearRing, Polygon, box
from shapely.affinity import translate

from nesting.panels.making import make_panels
from nesting.panels.parts.welt.welt_strip import strip_width
from nesting.panels.product import products

INCH = 25.4
YARD = 36 * INCH


def size(panel):
    return panel.cut.length / 100, panel.cut.height / 100


def bias(make, run_mm, wide_mm):
    """One piece on the bias, cut to the size that is given."""
    cord = wide_mm / math.pi
    made = make("welt", length=run_mm, cord=cord, overlap=0.0, strips=1)
    return Polygon(made.panels[0].cut.points)


def test_a_strip_is_as_wide_as_its_cord_is_round_and_two_allowances(make):
    """Cord of 5/32 in, 1/2 in allowance: 1.491 in (rule: esprit670, upholstery workrooms)."""
    made = make("welt", INCH / 2, length=1_000.0, cord=5 / 32 * INCH, cut="along", strips=1)
    assert size(made.panels[0])[1] / INCH == pytest.approx(1.491, abs=0.001)
    assert strip_width(5 / 32 * INCH) / INCH == pytest.approx(0.4909, abs=0.0001)


def test_pieces_are_alike_and_each_join_costs_two_allowances(make):
    """(2400 + 60)/3 + 2·10 = 840 mm each (by hand); two joins, the ends overlap."""
    made = make("welt", 10.0, length=2_400.0, overlap=60.0, cut="along", strips=3)
    (panel,) = made.panels
    assert panel.per_item == 3
    assert size(panel) == pytest.approx((840, 5 * math.pi + 20), abs=0.02)
    assert (made.seams[0].seam, made.seams[0].times) == ("welt join", 2)
    assert any("1/3 of its length, 2/3 of its length" in fact.in_unit("mm") for fact in made.facts)
    (corded,) = (n for n in made.notions if n.kind == "welt cord")
    assert corded.lengths_mm == pytest.approx((5, 2_460))


def test_across_the_roll_the_strip_stands_upright(make):
    made = make("welt", 10.0, length=970.0, cut="across", strips=1)
    assert size(made.panels[0]) == pytest.approx((5 * math.pi + 20, 1_020), abs=0.02)


@pytest.mark.parametrize(
    ("square", "wide", "run"),
    [
        (36, 2, 648),  # 18 yd: Lewis 2006, 1ststeptosewingsuccess
        (12, 2, 72),  # sewaquilt
        (20, 2, 200),  # the same rule
        (22.36, 2, 250),  # mydecozo forum: cut 23 in
        (18.71, 3.5, 100),  # quiltersquestiontime 2021: cut 19 in
    ],
)
def test_a_bias_strip_has_the_area_of_the_square_that_it_is_reckoned_from(make, square, wide, run):
    """Published rule: length = area of the square / width of the strip."""
    strip = bias(make, run * INCH, wide * INCH)
    assert strip.area == pytest.approx((square * INCH * 100) ** 2, rel=0.001)


def test_a_square_of_26_in_gives_just_over_5_yd_of_bias_3_in_wide(make):
    """Published: "just over" 5 yd (qualitysewing), where area over width says 6.26 yd.

    Bands of 3 in lie 3√2 = 4.243 in apart along an edge, on both sides of the
    diagonal. The k-th is √2·(26 - 4.243·k) long: 30.77, 24.77, 18.77, 12.77, 6.77 and
    0.77 in; without the last 93.85 in, twice that 187.7 in = 5.214 yd (by hand).
    """
    side, step = 26 * INCH * 100, 3 * math.sqrt(2) * INCH * 100
    runs = [math.sqrt(2) * (26 - 3 * math.sqrt(2) * k) * INCH for k in range(1, 6)]
    laid = []
    for k, run in enumerate(runs):
        strip = bias(make, run, 3 * INCH)
        height = strip.bounds[3]
        laid += [translate(strip, 0, k * step + step), translate(strip, k * step, 0)]
        assert height <= side - (k + 1) * step + 2
    square = box(0, 0, side, side).buffer(3)
    below = [piece for piece in laid if piece.centroid.x > piece.centroid.y]
    above = [piece for piece in laid if piece.centroid.x < piece.centroid.y]
    assert len(below) == len(above) == 5
    assert all(square.covers(piece) for piece in laid)
    shared = sum(a.intersection(b).area for i, a in enumerate(laid) for b in laid[:i])
    assert shared < 1e-3 * side**2
    assert 2 * sum(runs) / YARD == pytest.approx(5.214, abs=0.001)
    assert 5 < 2 * sum(runs) / YARD < 6.26


def test_eighteen_strips_of_a_54_in_roll_make_950_in_of_welt_and_take_27_in(make):
    """Published: 950 in x 1.5 in on 54 in, 18 strips, 27 in (forum.upholster.com 10184)."""
    made = make(
        "welt", length=950 * INCH, cord=1.5 * INCH / math.pi, overlap=0.0, cut="across", strips=18
    )
    (panel,) = made.panels
    assert panel.per_item == 18
    assert size(panel)[1] <= 54 * INCH
    assert 18 * size(panel)[0] == pytest.approx(27 * INCH, abs=0.3)


def test_the_longest_bias_strip_of_that_roll_reaches_from_edge_to_edge(make):
    """54√2 = 76.37 in; published as 76 in (the same)."""
    strip = bias(make, 54 * math.sqrt(2) * INCH, 1.5 * INCH)
    assert strip.bounds[3] / 100 == pytest.approx(54 * INCH, abs=0.02)


def test_pieces_shorter_than_wide_are_refused(faults):
    assert "strips" in faults("welt", 10.0, length=300.0, strips=20)


@given(
    st.floats(200, 20_000),
    st.floats(2, 20),
    st.floats(0, 100),
    st.sampled_from(("bias", "across", "along")),
    st.one_of(st.integers(1, 20), st.just("auto")),
    st.sampled_from((5.0, 10.0, 12.7)),
)
@settings(deadline=None, max_examples=40)
def test_any_welt_has_the_area_of_its_run_by_its_width(run, cord, overlap, cut, strips, allowance):
    product = products()["welt"]
    values = {"length": run, "cord": cord, "overlap": overlap, "cut": cut, "strips": strips}
    assume(not product.faults(values, allowance))
    made = make_panels(product, values, item="w", cloth="c", quantity=1, allowance_mm=allowance)
    assert all(abs(seam.unexplained_mm) <= 0.5 for seam in made.seams)
    assert made.area_mm2 == pytest.approx((run + overlap) * math.pi * cord)
    assert {s.seam for s in made.seams} == {n for step in made.steps for n in step.seams}
    (panel,) = made.panels
    outline, stitch = Polygon(panel.cut.points), Polygon(panel.stitch.points)
    assert outline.is_valid
    assert outline.covers(stitch)
    assert LinearRing(panel.cut.points).distance(stitch) == pytest.approx(100 * allowance, abs=3)


def test_one_piece_that_is_too_short_is_not_to_be_cut_in_fewer(faults):
    """300 mm of strip for a cord of 100 mm, which is cut 314 + 20 mm wide."""
    (fault,) = faults("welt", 10.0, length=250.0, cord=100.0, overlap=50.0).values()
    assert "fewer" not in fault.remedy
    assert "thinner cord" in fault.remedy
    (fault,) = faults("welt", 10.0, length=250.0, cord=50.0, overlap=50.0, strips=2).values()
    assert "fewer pieces" in fault.remedy
