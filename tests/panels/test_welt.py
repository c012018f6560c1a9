"""Welt strips against published widths, lengths and losses."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LinearRing, Polygon, box, unary_union
from shapely.affinity import scale, translate

from nesting.panels.making import make_panels
from nesting.panels.parts.welt.welt_strip import strip_width
from nesting.panels.product import products

INCH = 25.4


def size(panel):
    return panel.cut.length / 100, panel.cut.height / 100


#: Cords in inches, and how wide the strip of the thin one is cut with allowances of 1/2 in:
#: π·5/32 + 1. Workrooms cut 1½ and 2 in for them (common practice).
THIN, THIN_WIDE = 5 / 32, 1.4909
THICK = 5 / 16


def piece(make, run_in, cord_in, cut="bias", strips=1):
    """One piece of a welt as it is cut, in inches, allowances of 1/2 in included."""
    made = make(
        "welt",
        INCH / 2,
        length=run_in * INCH,
        cord=cord_in * INCH,
        overlap=0.0,
        cut=cut,
        strips=strips,
    )
    return scale(Polygon(made.panels[0].cut.points), *[1 / 100 / INCH] * 2, origin=(0, 0))


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
    ("square", "run", "more"),
    [
        (36, 648, -9.56),  # 18 yd: Lewis 2006, 1ststeptosewingsuccess
        (12, 72, 0.95),  # sewaquilt
        (20, 200, -1.39),  # the same rule
        (22.36, 250, -2.27),  # mydecozo forum, which cuts 23 in
    ],
)
def test_a_bias_strip_beside_the_square_that_it_is_reckoned_from(make, square, run, more):
    """Published rule for strips of 2 in: length = area of the square / width.

    Ours for a cord of 5/16 in is 1.9817 in wide, 0.0183 less. At 45° the allowances of both ends
    take √2 in of strip more, and of two corners (1.3066 - 0.5)²·tan 22.5° = 0.27 in² are squared
    off. So the piece has √2·1.9817 - 0.54 - 0.0183·run in² more than the square: for 72 in of
    strip the square of 12 in is a little too small. Each edge is rounded outward by up to
    0.0004 in.
    """
    found = piece(make, run, THICK).area - square**2
    assert more - 0.01 <= found <= more + 0.01 + 2 * 0.0004 * run


def test_a_square_of_26_in_gives_just_over_5_yd_of_bias_3_in_wide(make):
    """Published: "just over" 5 yd (qualitysewing), where area over width says 6.26 yd.

    A cord of 5/8 in with allowances of 1/2 in takes strips of π·5/8 + 1 = 2.9635 in. They lie
    2.9635·√2 = 4.191 in apart along an edge, on both sides of the diagonal. The k-th has
    26 - 4.191·k in of edge, √2 of that in length: 30.842, 24.915, 18.988, 13.061 and 7.134 in,
    94.94 in together and twice that 189.9 in = 5.275 yd (by hand), just over 5 yd. The page
    counts no allowances: those of the ends take √2 in of each piece, and 4.882 yd are left.
    """
    side, step = 26, 2.9635 * math.sqrt(2)
    lengths = [30.842, 24.915, 18.988, 13.061, 7.134]
    laid = []
    for k, length in enumerate(lengths):
        strip = piece(make, length - math.sqrt(2), 5 / 8)
        assert strip.bounds[3] == pytest.approx(side - (k + 1) * step, abs=0.002)
        laid += [translate(strip, 0, (k + 1) * step), translate(strip, k * step, 0)]
    square = box(0, 0, side, side).buffer(0.003)
    assert all(square.covers(each) for each in laid)
    assert unary_union(laid).area == pytest.approx(sum(each.area for each in laid), rel=1e-3)
    cut = sum(math.sqrt(2) * (each.bounds[3] - each.bounds[1]) for each in laid)
    assert cut / 36 == pytest.approx(5.275, abs=0.001)
    assert (cut - 10 * math.sqrt(2)) / 36 == pytest.approx(4.882, abs=0.001)


def test_950_in_of_welt_take_18_strips_of_a_54_in_roll_and_27_in_of_it(make):
    """Published: 950 in x 1.5 in on 54 in, 18 strips, 27 in (forum.upholster.com 10184).

    Ours for a cord of 5/32 in is 1.4909 in wide: 18·1.4909 = 26.836 in. In 17 pieces each would
    be 950/17 + 1 = 56.9 in long, in 18 it is 53.78 in (by hand).
    """
    sizes = {}
    for strips in (17, 18):
        x0, y0, x1, y1 = piece(make, 950, THIN, "across", strips).bounds
        sizes[strips] = x1 - x0, y1 - y0
    assert sizes[17][1] == pytest.approx(56.882, abs=0.001)
    assert sizes[18] == pytest.approx((THIN_WIDE, 53.778), abs=0.001)
    assert sizes[18][1] <= 54 < sizes[17][1]
    assert 27 - 18 * sizes[18][0] == pytest.approx(0.164, abs=0.003)


def test_the_longest_bias_strip_of_that_roll_reaches_from_edge_to_edge(make):
    """54√2 = 76.37 in (by hand), published as 76 in; √2 in of it are the allowances of its ends."""
    strip = piece(make, 76.368 - math.sqrt(2), THIN)
    assert strip.bounds[3] == pytest.approx(54, abs=0.002)
    assert piece(make, 76 - math.sqrt(2), THIN).bounds[3] == pytest.approx(53.740, abs=0.002)


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
