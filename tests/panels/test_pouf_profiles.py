"""Gored poufs of every profile, with caps of two sizes and closures, by other routes."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.interpolate import PchipInterpolator
from shapely import LinearRing, Polygon

from nesting.panels.making import make_panels
from nesting.panels.parts.gored.profiles import profile_through
from nesting.panels.product import products

VASE = ((0.0, 100.0), (80.0, 220.0), (200.0, 250.0), (300.0, 150.0), (340.0, 80.0))


def extent(panel):
    xs, ys = zip(*panel.ring, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def test_a_sphere_holds_four_thirds_pi_r_cubed(make):
    """R = 300: 4/3·π·27 dm³ = 113.097 l; 65 to 80 % of it: 73.51 to 90.48 l (by hand)."""
    made = make("gored-pouf", diameter=600.0, profile="sphere", fill="beads")
    assert made.volume_litres == pytest.approx(113.097, abs=0.001)
    (fill,) = (n for n in made.notions if n.kind == "fill")
    assert fill.litres == pytest.approx((73.51, 90.48), abs=0.01)


def test_an_oblate_pouf_holds_what_its_half_axes_say(make):
    """A = 350, b = 200: 4/3·π·a²·b = 102.625 l (computed)."""
    made = make("gored-pouf", diameter=700.0, height=400.0)
    assert made.volume_litres == pytest.approx(102.625, abs=0.001)


@pytest.mark.parametrize(
    ("diameter", "litres", "outside"),
    [
        (60, 100, 9.5),  # 80 % of 113.1 l are 90.5 l: sold fuller than we advise
        (80, 200, 0),
        (96, 300, -1.1),  # 65 % of 463.2 l are 301.1 l
        (104, 400, 0),
        (112, 500, 0),
        (120, 600, 0),
    ],
)
def test_sold_fillings_of_round_bean_bags_beside_our_range(make, diameter, litres, outside):
    """Diameter in cm and litres as a seller states them (beanbagsrus 2019).

    Ours are 65 to 80 % (ITplast 2026) of π·D³/6. Two of the seller's figures, which are
    whole hundreds, lie outside that range, by so many litres.
    """
    made = make("gored-pouf", diameter=10.0 * diameter, fill="beads")
    (fill,) = (n for n in made.notions if n.kind == "fill")
    least, greatest = fill.litres
    beyond = max(0, litres - greatest) + min(0, litres - least)
    assert beyond == pytest.approx(outside, abs=0.05)


def test_a_drum_with_gored_ends_worked_by_hand(draft):
    """D = 500, H = 400, straight side 200: half a sphere of R = 250 would need ends of 250.

    Ends of b = 100, pointed. Straight side π·0.25²·0.2 = 39.270 l, both ends
    4/3·π·2.5²·1 = 26.180 l. A gore of 8 is π·500/8 = 196.350 wide.
    """
    made = draft("gored-pouf", diameter=500.0, height=400.0, profile="drum")
    gore = made.panels[0]
    assert made.volume_litres == pytest.approx(39.270 + 26.180, abs=0.001)
    assert extent(gore)[1] == pytest.approx(196.350, abs=0.001)
    quarter = quad(lambda t: math.hypot(250 * math.sin(t), 100 * math.cos(t)), 0, math.pi / 2)[0]
    assert extent(gore)[0] == pytest.approx(200 + 2 * quarter, abs=0.005)
    straight = [p for p in gore.ring if abs(abs(p[1]) - 98.175) < 0.001]
    assert {round(x, 6) for x, _ in straight} >= {-100.0, 100.0}


def test_a_smaller_bottom_cap_has_a_name_of_its_own(make, by_name):
    """Sphere of 500 with caps of 300 and 140: 200 + 240 = 440 high (by hand, 3-4-5 and 7-24-25)."""
    made = make("gored-pouf", diameter=500.0, cap_diameter=300.0, bottom_cap_diameter=140.0)
    panels = by_name(made.panels)
    assert set(panels) == {"gore", "top-cap", "bottom-cap"}
    assert panels["top-cap"].cut.length == pytest.approx(30_000, abs=2)
    assert panels["bottom-cap"].cut.length == pytest.approx(14_000, abs=2)
    assert "height of the sphere: 44.0 cm" in [fact.in_unit("cm") for fact in made.facts]


def test_a_bottom_cap_of_nothing_leaves_a_point_below(make, draft):
    given_ = {"diameter": 500.0, "cap_diameter": 180.0, "bottom_cap_diameter": 0.0}
    assert [p.name for p in make("gored-pouf", **given_).panels] == ["gore", "top-cap"]
    assert set(draft("gored-pouf", **given_).panels[0].edges) == {"right", "top", "left"}


def test_points_give_the_caps_and_the_height(draft, by_name):
    """Radii 100 below and 80 above; the tail of a gore of 10 is 2π·100/10 = 62.832 (by hand)."""
    panels = by_name(
        draft("gored-pouf", diameter=500.0, gores=10, profile="points", profile_points=VASE).panels
    )
    assert panels["gore"].edges["bottom"].length_mm == pytest.approx(62.832, abs=0.001)
    assert panels["gore"].edges["top"].length_mm == pytest.approx(50.265, abs=0.001)
    assert panels["bottom-cap"].edges["rim"].length_mm == pytest.approx(628.319, abs=0.001)


def test_a_cone_of_points_has_slanted_edges_worked_by_hand(draft):
    """Radius 100 to 250 on 200 mm: slant 250 mm; edge √(250² + (π/10·150)²) = 254.403 mm."""
    points = ((0.0, 250.0), (100.0, 175.0), (200.0, 100.0))
    gore = draft(
        "gored-pouf", diameter=500.0, gores=10, profile="points", profile_points=points
    ).panels[0]
    assert extent(gore)[0] == pytest.approx(250, abs=0.001)
    assert gore.edges["left"].length_mm == pytest.approx(254.403, abs=0.001)


def test_profiles_through_points_are_those_of_another_library():
    """Scipy's monotone piecewise cubics, from the same paper."""
    dense = np.array(profile_through(VASE))
    reference = PchipInterpolator(*np.array(VASE).T)
    assert np.abs(reference(dense[:, 0]) - dense[:, 1]).max() < 1e-9


def test_a_zip_in_the_bottom_cap_halves_it(make, by_name):
    """240 - 20 = 220 mm (by hand)."""
    made = make(
        "gored-pouf",
        10.0,
        diameter=500.0,
        cap_diameter=240.0,
        closure="zip",
        closure_place="bottom-cap",
        zip_allowance=15.0,
    )
    panels = by_name(made.panels)
    assert set(panels) == {"gore", "top-cap", "bottom-cap-front", "bottom-cap-back"}
    # Half of 240 and both allowances: 120 + 10 + 15 (by hand).
    assert panels["bottom-cap-front"].cut.height == pytest.approx(14_500, abs=3)
    (zipped,) = (n for n in made.notions if n.kind == "zip")
    assert zipped.lengths_mm[1] == pytest.approx(220)
    assert made.steps[-1].words == "close the zip"


def test_a_slit_is_cut_in_the_bottom_cap(make, by_name):
    made = make(
        "gored-pouf",
        diameter=500.0,
        cap_diameter=240.0,
        closure="slit",
        closure_place="bottom-cap",
        closure_length=150.0,
    )
    ((start, end),) = by_name(made.panels)["bottom-cap"].inner_cuts
    assert math.dist(start, end) == pytest.approx(15_000, abs=2)


def test_an_opening_in_a_seam_lies_in_one_gore_seam_alone(make):
    made = make("gored-pouf", 10.0, diameter=500.0, closure="zip", closure_length=300.0)
    found = {s.seam: (s.times, s.opening_mm) for s in made.seams}
    assert found == {"gore to gore": (7, 0), "closing seam": (1, 300)}
    assert [p.name for p in made.panels] == ["gore"]


def test_no_opening_goes_into_a_cap_that_is_not_there(faults):
    found = faults("gored-pouf", diameter=500.0, closure="zip", closure_place="bottom-cap")
    assert "an opening of at least 50 mm does not fit in the bottom-cap" in found["closure"].rule


@pytest.mark.parametrize(
    ("place", "given_"),
    [
        ("height", {"profile": "sphere", "height": 400.0}),
        ("height", {"profile": "drum"}),
        ("side_height", {"side_height": 100.0}),
        ("side_height", {"profile": "drum", "height": 400.0, "side_height": 360.0}),
        ("profile_points", {"profile": "points"}),
        ("profile_points", {"profile_points": VASE}),
        ("bottom_cap_diameter", {"bottom_cap_diameter": 500.0}),
        ("bottom_cap_diameter", {"bottom_cap_diameter": 9.0}),
        ("cap_diameter", {"profile": "points", "profile_points": VASE, "cap_diameter": 90.0}),
        ("profile_points", {"profile": "points", "profile_points": VASE[::-1]}),
        (
            "profile_points",
            {"profile": "points", "profile_points": ((0, 9), (50, 3), (90, 250), (99, 9))},
        ),
        ("profile_points", {"profile": "points", "profile_points": (*VASE[:2], VASE[4])}),
        ("zip_allowance", {"closure": "zip", "zip_allowance": 15.0}),
    ],
)
def test_what_says_nothing_or_cannot_be_is_refused(faults, place, given_):
    assert list(faults("gored-pouf", 10.0, diameter=500.0, **given_)) == [place]


@st.composite
def poufs(draw):
    """Measurements of any profile, and the radius by height as a function for each stretch."""
    diameter = draw(st.floats(300, 2000))
    profile = draw(st.sampled_from(("squashed", "sphere", "drum", "points")))
    top, bottom = (draw(st.sampled_from((0.0, 0.2, 0.5, 0.8))) * diameter for _ in "ab")
    values = {m.name: m.default for m in products()["gored-pouf"].measurements}
    values |= {"diameter": diameter, "gores": draw(st.integers(4, 16)), "profile": profile}
    if profile == "points":
        count = draw(st.integers(3, 7))
        steps = draw(st.lists(st.floats(20, 200), min_size=count, max_size=count))
        radii = draw(st.lists(st.floats(0.1, 0.45), min_size=count, max_size=count))
        radii[draw(st.integers(0, count - 1))] = 0.5
        heights = np.cumsum(steps)
        values["profile_points"] = tuple(
            (float(h), r * diameter) for h, r in zip(heights, radii, strict=True)
        )
    else:
        values |= {"cap_diameter": top, "bottom_cap_diameter": bottom}
        if profile != "sphere":
            values["height"] = draw(st.floats(0.3, 1.5)) * diameter
        if profile == "drum":
            values["side_height"] = draw(st.floats(0, 0.5)) * values["height"]
    values["closure"] = draw(st.sampled_from(("none", "zip", "slit")))
    if values["closure"] != "none" and draw(st.booleans()):
        values["closure_place"] = "bottom-cap"
    return values


def integrated(values):
    """Volume, length of a gore's edge and area of all gores, by numerical integration."""
    share, across = math.pi / values["gores"], values["diameter"] / 2
    if values["profile"] == "points":
        heights, radii = np.array(values["profile_points"]).T
        radius = PchipInterpolator(heights, radii)
        slope = radius.derivative()
        stretches = [(radius, slope, lambda h: 1.0, a, b) for a, b in pairwise(heights)]
        rest = (0.0, 0.0, 0.0)
    else:
        lasts = [
            math.acos(values[key] / values["diameter"])
            for key in ("cap_diameter", "bottom_cap_diameter")
        ]
        side = values["side_height"] or 0.0
        ends = sum(math.sin(last) for last in lasts)
        tall = across if values["profile"] == "sphere" else (values["height"] - side) / ends
        stretches = [
            (
                lambda t: across * math.cos(t),
                lambda t: -across * math.sin(t),
                lambda t: tall * math.cos(t),
                0.0,
                last,
            )
            for last in lasts
        ]
        rest = (math.pi * across**2 * side, side, math.tau * across * side)
    sums = list(rest)
    for radius, across_by, up_by, a, b in stretches:

        def along(t, turn, across_by=across_by, up_by=up_by):
            return math.sqrt(up_by(t) ** 2 + (1 + turn**2) * across_by(t) ** 2)

        integrands = (
            lambda t, r=radius, up=up_by: math.pi * r(t) ** 2 * up(t),
            lambda t, along=along: along(t, share),
            lambda t, r=radius, along=along: math.tau * r(t) * along(t, 0),
        )
        for i, integrand in enumerate(integrands):
            sums[i] += quad(integrand, a, b, epsrel=1e-8, epsabs=1e-6)[0]
    return sums


@given(poufs(), st.sampled_from((5.0, 10.0, 15.0)))
@settings(deadline=None, max_examples=40)
def test_any_pouf_meets_at_its_seams_and_agrees_with_numerical_integration(values, allowance):
    product = products()["gored-pouf"]
    assume(not product.faults(values, allowance))
    made = make_panels(product, values, item="p", cloth="c", quantity=1, allowance_mm=allowance)
    assert all(abs(seam.unexplained_mm) <= 0.5 for seam in made.seams)
    assert {s.seam for s in made.seams} == {n for step in made.steps for n in step.seams}
    volume, edge, area = integrated(values)
    assert made.volume_litres * 1e6 == pytest.approx(volume, rel=2e-5)
    between = next(s for s in made.seams if s.seam == "gore to gore")
    assert between.first_mm == pytest.approx(edge, abs=0.01)
    gore = product.draft(values).panels[0]
    gores = values["gores"]
    assert gores * gore.area_mm2 == pytest.approx(area, abs=gores * 2 * 0.05 * edge)
    for panel in made.panels:
        stitch, cut = Polygon(panel.stitch.points), Polygon(panel.cut.points)
        assert cut.is_valid
        assert cut.covers(stitch)
        assert LinearRing(panel.cut.points).distance(stitch) >= 100 * allowance - 0.01
        assert stitch.buffer(100 * allowance + 3, join_style="mitre", mitre_limit=100).covers(cut)
