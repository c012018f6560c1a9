"""Gores against the published projection, elliptic integrals and worked examples."""

import math

import pytest
from scipy.special import ellipe, ellipeinc
from shapely import LineString, Polygon

from nesting.tolerances import CHORD_MM

POUF = {"diameter": 500.0, "height": 380.0, "gores": 10, "cap_diameter": 180.0}


def half_width_at(gore, x):
    """Half-width of a finished gore at a distance from its equator."""
    line = LineString([(x, 0), (x, 10_000)])
    return line.intersection(Polygon(gore.ring)).length


def gore_of(draft, **given):
    return draft("gored-pouf", **given).panels[0]


def extent(panel):
    xs, ys = zip(*panel.ring, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


@pytest.mark.parametrize(
    ("latitude", "half_width"),
    [(0, 117.810), (15, 113.795), (30, 102.026), (45, 83.304), (60, 58.905), (75, 30.491)],
)
def test_half_widths_are_those_of_the_sinusoidal_projection(draft, latitude, half_width):
    """Computed from x = R·λ·cos φ (USGS Professional Paper 1395), R = 300 mm, 8 gores."""
    gore = gore_of(draft, diameter=600.0)
    found = half_width_at(gore, 300 * math.radians(latitude))
    assert half_width - 1.1 * CHORD_MM <= found <= half_width + 0.001


def test_the_worked_point_of_the_sinusoidal_projection(draft):
    """R = 1, Δλ = 15°, φ = -50° gives x = 0.1682814, y = -0.8726646 (USGS PP 1395, from memory).

    15° is half of one of 12 gores.
    """
    gore = gore_of(draft, diameter=2000.0, gores=12)
    assert half_width_at(gore, -872.6646) == pytest.approx(168.2814, abs=1.1 * CHORD_MM)


def test_a_pointed_gore_of_a_sphere_has_the_closed_length_width_and_area(draft):
    """Length πR = 942.478, width 2πR/n = 235.619, area 4πR²/n = 141 371.67 mm²; R = 300, n = 8."""
    gore = gore_of(draft, diameter=600.0)
    assert extent(gore) == pytest.approx((942.478, 235.619), abs=0.001)
    # Chords leave out at most 2/3 of their sagitta along both edges.
    left_out = 2 / 3 * CHORD_MM * 2 * 977.83
    assert 141_371.67 - left_out <= Polygon(gore.ring).area <= 141_371.67


@pytest.mark.parametrize(
    ("gores", "factor"),
    [(4, 1.1398), (6, 1.0654), (8, 1.0375), (10, 1.0242), (12, 1.0169), (16, 1.0096)],
)
def test_the_edge_of_a_gore_is_longer_than_its_centre_line(draft, gores, factor):
    """Computed: √(1 + (π/n)² sin²) integrated from pole to pole over π."""
    gore = gore_of(draft, diameter=600.0, gores=gores)
    assert gore.edges["left"].length_mm / (300 * math.pi) == pytest.approx(factor, abs=6e-5)


def test_a_sphere_capped_at_seventy_degrees(draft):
    """R = 300, n = 8: length 733.038, end 80.587, n·end = 2π·102.606 = 644.693 (computed)."""
    made = draft("gored-pouf", diameter=600.0, cap_diameter=2 * 102.606)
    gore, cap = made.panels
    assert extent(gore)[0] == pytest.approx(733.038, abs=0.005)
    assert gore.edges["top"].length_mm == pytest.approx(80.587, abs=0.001)
    assert 8 * gore.edges["bottom"].length_mm == pytest.approx(644.693, abs=0.005)
    assert cap.edges["rim"].length_mm == pytest.approx(644.693, abs=0.005)
    # The zone of a sphere: 4πR²·sin 70° = 1.062767 m² in all gores.
    assert 8 * Polygon(gore.ring).area == pytest.approx(1_062_767, rel=5e-4)


def test_an_oblate_pouf_has_the_meridian_of_the_elliptic_integral(draft):
    """Half axes 350 and 200: pole to pole 880.079 mm, surface 1.124580 m² (computed)."""
    gore = gore_of(draft, diameter=700.0, height=400.0, gores=12)
    meridian = 2 * 350 * ellipe(1 - (200 / 350) ** 2)
    assert meridian == pytest.approx(880.079, abs=0.001)
    assert extent(gore)[0] == pytest.approx(meridian, abs=0.005)
    assert 12 * Polygon(gore.ring).area == pytest.approx(1_124_580, rel=1e-3)


@pytest.mark.parametrize(
    ("diameter", "height", "gores", "cap"),
    [
        (500, 380, 10, 180),
        (400, 300, 10, 150),
        (900, 90, 6, 0),
        (900, 90, 12, 850),
        (200, 1900, 4, 60),
        (10_000, 3_000, 48, 200),
    ],
)
def test_lengths_agree_with_incomplete_elliptic_integrals(draft, diameter, height, gores, cap):
    """The centre line and the edge, a flat curve, are arcs of ellipses b·E(φ | 1 - a²/b²).

    The edge widens with π/n, so its ellipse has a·√(1 + (π/n)²) in place of a.
    """
    gore = gore_of(draft, diameter=diameter, height=height, gores=gores, cap_diameter=float(cap))
    a, b = diameter / 2, height / 2 / math.sqrt(1 - (cap / diameter) ** 2)
    last = math.acos(cap / diameter)
    stretched = a * math.hypot(1, math.pi / gores)
    centre = 2 * b * ellipeinc(last, 1 - (a / b) ** 2)
    edge = 2 * b * ellipeinc(last, 1 - (stretched / b) ** 2)
    assert extent(gore)[0] == pytest.approx(centre, rel=2e-6)
    assert gore.edges["left"].length_mm == pytest.approx(edge, rel=2e-6)
    assert gore.edges["right"].length_mm == gore.edges["left"].length_mm


@pytest.mark.parametrize("gores", [5, 7, 12])
@pytest.mark.parametrize("height", [300.0, 700.0])
def test_a_gore_is_its_share_of_the_way_round_at_every_level(draft, gores, height):
    """Each of n gores is 1/n of the circumference at its level (themathdoctors.org, sphere).

    Levels are points of the ellipse: at an angle t from the equator the radius is a·cos t, and
    the gore is as far from its middle as the meridian is long, an incomplete elliptic integral.
    """
    gore = gore_of(draft, diameter=700.0, height=height, gores=gores)
    a, b = 350.0, height / 2
    for t in (0.1, 0.5, 0.9, 1.3):
        width = 2 * half_width_at(gore, b * ellipeinc(t, 1 - (a / b) ** 2))
        assert gores * width == pytest.approx(
            math.tau * a * math.cos(t), abs=gores * 2.2 * CHORD_MM
        )


def test_a_gore_of_a_kite_of_seven_sections_has_whole_inches_where_its_maker_measured_them(draft):
    """Kitecraft (chestofbooks.com): 7 sections, 5 in at the mouth and 15 in at the widest.

    A maker measures round a ball: 105 in, so 33 27/64 in across; the mouth 35 in, 11 9/64 in
    across. To the nearest 1/64 in of the diameters, π/64/7 = 0.007 in of a gore at most.
    """
    gore = gore_of(
        draft,
        diameter=(33 + 27 / 64) * 25.4,
        height=500.0,
        gores=7,
        cap_diameter=(11 + 9 / 64) * 25.4,
    )
    assert extent(gore)[1] / 25.4 == pytest.approx(15, abs=math.pi / 128 / 7)
    assert gore.edges["top"].length_mm / 25.4 == pytest.approx(5, abs=math.pi / 128 / 7)


def test_the_height_of_a_sphere_follows_from_its_cap(make):
    """√(500² - 300²) = 400."""
    facts = make("gored-pouf", diameter=500.0, cap_diameter=300.0).facts
    assert "height of the sphere: 40.0 cm" in [fact.in_unit("cm") for fact in facts]


def test_a_given_height_is_not_reported_back(make):
    assert not [fact for fact in make("gored-pouf", **POUF).facts if "height" in fact.sentence]


def test_it_reports_the_edge_and_the_width_round_the_circumference(make):
    """Chord 2R·sin(π/n) = 0.97450 of the arc for 8 gores (computed): 229.61 mm of 235.62 mm."""
    facts = " ".join(fact.in_unit("cm") for fact in make("gored-pouf", diameter=600.0).facts)
    assert "94.2 cm along its centre line; its edges are 97.8 cm, 3.75 % longer" in facts
    assert "23.6 cm wide at the equator" in facts
    assert "23.0 cm" in facts


def test_it_is_made_of_gores_and_two_caps(make):
    panels = make("gored-pouf", **POUF).panels
    assert [(p.name, p.per_item, p.copies) for p in panels] == [("gore", 10, 20), ("cap", 2, 4)]


def test_without_caps_there_are_only_gores_and_they_meet_in_points(make, draft):
    assert [p.name for p in make("gored-pouf", diameter=600.0).panels] == ["gore"]
    assert set(gore_of(draft, diameter=600.0).edges) == {"left", "right"}


def test_ten_gores_and_two_caps_of_a_common_pouf_fit_a_metre_by_their_area(make):
    """Common practice: a pouf of 40 x 30 cm, caps 15 cm, comes out of 1 m of 54 in cloth."""
    panels = make(
        "gored-pouf", 10.0, diameter=400.0, height=300.0, gores=10, cap_diameter=150.0
    ).panels
    assert sum(p.per_item * p.cut.area_mm2 for p in panels) < 0.8 * 1000 * 54 * 25.4


def test_a_gore_is_the_same_upside_down_and_in_a_mirror(make):
    """Cut lines keep this property, which packers and cutters rely on."""
    gore = make("gored-pouf", 12.0, **POUF).panels[0].cut
    reflected = {(gore.length - x, y) for x, y in gore.points}
    mirrored = {(x, gore.height - y) for x, y in gore.points}
    assert reflected == set(gore.points) == mirrored


def test_a_cap_as_wide_as_the_pouf_is_refused(faults):
    fault = faults("gored-pouf", diameter=500.0, cap_diameter=500.0)["cap_diameter"]
    assert "less than the diameter of the pouf (500 mm)" in fault.rule
    assert fault.value == "500 mm"


def test_a_cap_too_small_to_be_turned_is_refused(faults):
    assert (
        "0 or at least 10 mm"
        in faults("gored-pouf", diameter=500.0, cap_diameter=5.0)["cap_diameter"].rule
    )


@pytest.mark.parametrize("height", [49.0, 5001.0])
def test_a_height_out_of_all_proportion_is_refused(faults, height):
    fault = faults("gored-pouf", diameter=500.0, height=height)["height"]
    assert "between 50 mm and 5000 mm" in fault.rule


def test_a_cap_that_leaves_a_sphere_no_height_is_refused(faults):
    """√(500² - 499²) = 31.6 mm, less than a tenth of the diameter."""
    fault = faults("gored-pouf", diameter=500.0, cap_diameter=499.0)["cap_diameter"]
    assert fault.value == "31.6 mm"


def test_an_allowance_wider_than_half_a_gore_is_refused(faults):
    """500π/48 = 32.7 mm wide at the equator."""
    found = faults("gored-pouf", 17.0, diameter=500.0, gores=48)
    assert "32.7 mm" in found["seam_allowance"].rule
    assert not faults("gored-pouf", 16.0, diameter=500.0, gores=48)
