"""Teardrop bags: hexagons by hand, lengths and volumes by numerical integration."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from shapely import LinearRing, LineString, Polygon

from nesting.panels.making import make_panels
from nesting.panels.product import products
from nesting.tolerances import CHORD_MM

BAG = {"diameter": 800.0, "height": 1000.0, "base_side": 300.0}


def radius_at(values):
    """Radius by height, and its derivative, written from the description of the shape."""
    across, low = values["diameter"] / 2, values["widest_at"]
    foot, top = (values[f"{end}_side"] * 3 / math.pi for end in ("base", "cap"))
    tall = low / math.sqrt(1 - (foot / across) ** 2)
    rest = values["height"] - low

    def radius(h):
        if h < low:
            return across * math.sqrt(1 - ((low - h) / tall) ** 2)
        return top + (across - top) / 2 * (1 + math.cos(math.pi * (h - low) / rest))

    def slope(h):
        if h < low:
            return across**2 * (low - h) / tall**2 / radius(h)
        return -(across - top) / 2 * math.pi / rest * math.sin(math.pi * (h - low) / rest)

    return radius, slope


def integral(function, values):
    low, height = values["widest_at"], values["height"]
    return quad(function, 0, low, epsabs=1e-6)[0] + quad(function, low, height, epsabs=1e-6)[0]


def test_the_base_is_a_hexagon_as_wide_as_two_sides(draft, by_name):
    """(3√3/2)·300² = 233 826.859 mm²; a panel is 300 at the base, π·800/6 = 418.879 wide."""
    panels = by_name(draft("teardrop-bag", **BAG).panels)
    assert panels["base"].area_mm2 == pytest.approx(233_826.859, abs=0.001)
    assert panels["base"].narrowest_mm == pytest.approx(519.615, abs=0.001)
    assert panels["panel"].per_item == 6
    assert panels["panel"].edges["bottom"].length_mm == pytest.approx(300)
    assert panels["panel"].edges["top"].length_mm == pytest.approx(60)
    assert panels["panel"].narrowest_mm == pytest.approx(418.879, abs=0.001)


def test_its_volume_worked_by_hand(make):
    """Foot 900/π = 286.479, neck 180/π = 57.296, widest at 350 mm.

    Below: π·350·(2·400² + 286.479²)/3 = 147.366 l; above, e + d·(1 + cos)/2 with e = 57.296
    and d = 342.704: π·650·(e² + e·d + 3·d²/8) = 136.736 l.
    """
    assert make("teardrop-bag", **BAG).volume_litres == pytest.approx(147.366 + 136.736, abs=0.002)


def test_a_zip_lies_across_the_base_from_corner_to_corner(make, by_name):
    """2·300 - 2·10 = 580 mm (by hand)."""
    made = make("teardrop-bag", 10.0, **BAG, closure="zip")
    assert {"base-front", "base-back"} <= set(by_name(made.panels))
    (zipped,) = (n for n in made.notions if n.kind == "zip")
    assert zipped.lengths_mm[1] == pytest.approx(580)


def test_a_zip_between_two_panels_leaves_the_panels_alike(make):
    made = make(
        "teardrop-bag",
        10.0,
        **BAG,
        closure="zip",
        closure_place="seam",
        closure_length=400.0,
    )
    times = {s.seam: (s.times, s.opening_mm) for s in made.seams}
    assert times["panel to panel"] == (5, 0)
    assert times["closing seam"] == (1, 400)


def test_a_zip_between_two_panels_has_no_allowance_of_its_own(faults):
    found = faults(
        "teardrop-bag", 10.0, **BAG, closure="zip", closure_place="seam", zip_allowance=15.0
    )
    assert "all alike" in found["zip_allowance"].rule


@pytest.mark.parametrize("key", ["base_side", "cap_side"])
def test_a_hexagon_as_wide_as_the_bag_is_refused(faults, key):
    """π·800/6 = 418.88 mm."""
    assert "418.8 mm" in faults("teardrop-bag", **(BAG | {key: 419.0}))[key].rule


def test_a_widest_place_near_the_top_is_refused(faults):
    rule = faults("teardrop-bag", **BAG, widest_at=950.0)["widest_at"].rule
    assert "between 100 mm and 900 mm" in rule


@given(
    st.floats(300, 2000),
    st.floats(0.5, 2.0),
    st.floats(0.15, 0.85),
    st.floats(0.2, 0.95),
    st.floats(0.1, 0.9),
    st.sampled_from(("none", "zip")),
    st.sampled_from((5.0, 10.0, 15.0)),
)
@settings(deadline=None, max_examples=25)
def test_any_teardrop_meets_at_its_seams_and_agrees_with_numerical_integration(
    diameter, tall, low, base, cap, closure, allowance
):
    product = products()["teardrop-bag"]
    values = {m.name: m.default for m in product.measurements}
    side = math.pi * diameter / 6
    values |= {"diameter": diameter, "height": tall * diameter, "closure": closure}
    values |= {"base_side": base * side, "cap_side": cap * side}
    values |= {"widest_at": low * tall * diameter}
    assume(base * side >= 40)
    assume(cap * side >= 20)
    assume(not product.faults(values, allowance))
    made = make_panels(product, values, item="p", cloth="c", quantity=1, allowance_mm=allowance)
    assert all(abs(seam.unexplained_mm) <= 0.5 for seam in made.seams)
    assert {s.seam for s in made.seams} == {n for step in made.steps for n in step.seams}
    radius, slope = radius_at(values)
    volume = integral(lambda h: math.pi * radius(h) ** 2, values)
    assert made.volume_litres * 1e6 == pytest.approx(volume, rel=1e-5)
    share = math.pi / 6
    edge = integral(
        lambda h: math.sqrt(1 + slope(h) ** 2 + (share * slope(h)) ** 2),
        values,
    )
    between = next(s for s in made.seams if s.seam == "panel to panel")
    assert between.first_mm == pytest.approx(edge, abs=0.02)
    panels = {p.name: p for p in product.draft(values).panels}
    area = integral(lambda h: 2 * share * radius(h) * math.sqrt(1 + slope(h) ** 2), values)
    assert panels["panel"].area_mm2 == pytest.approx(area, abs=2 * 0.05 * edge)
    for panel in made.panels:
        stitch, cut = Polygon(panel.stitch.points), Polygon(panel.cut.points)
        assert cut.is_valid
        assert cut.covers(stitch)
        assert LinearRing(panel.cut.points).distance(stitch) >= 100 * allowance - 0.01
        assert stitch.buffer(100 * allowance + 3, join_style="mitre", mitre_limit=100).covers(cut)


@pytest.mark.parametrize("height", [40.0, 200.0, 340.0, 500.0, 800.0, 960.0])
def test_six_panels_go_once_round_the_bag_at_every_level(draft, height):
    """Each is 1/6 of the circumference at its level (themathdoctors.org, sphere).

    The level lies as far from the widest place as the profile is long, by numerical integration.
    """
    values = {**BAG, "widest_at": 350.0, "cap_side": 60.0}
    radius, slope = radius_at(values)
    away = quad(lambda h: math.hypot(1, slope(h)), 350, height, epsabs=1e-6)[0]
    panel = draft("teardrop-bag", **values).panel("panel")
    ring = Polygon(panel.ring)
    width = ring.intersection(LineString([(away, -500), (away, 500)])).length
    assert 6 * width == pytest.approx(math.tau * radius(height), abs=6 * 2.2 * CHORD_MM)
