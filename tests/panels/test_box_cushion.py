"""Box cushions against published examples."""

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from shapely import LinearRing, LineString, Point, Polygon

from nesting.panels.drafting.notches import marked_places
from nesting.panels.making import make_panels
from nesting.panels.panel import GrainRule
from nesting.panels.product import products

INCH = 25.4


def cut_sizes(panels):
    """Cut length along the grain and height across it, in inches."""
    return {p.name: (p.cut.length / 2540, p.cut.height / 2540) for p in panels}


def test_a_twelve_inch_cushion_has_thirteen_inch_plates_and_48_inches_of_stitch_line(make):
    """Beeson 2008, sewgirls.com: allowance 1/2 in; 12 in square."""
    made = make(
        "box-cushion",
        INCH / 2,
        length=12 * INCH,
        width=12 * INCH,
        thickness=4 * INCH,
        strips=1,
        strip_grain="along",
    )
    assert cut_sizes(made.panels) == {"plate": (13, 13), "boxing": (49, 5)}
    top = made.seams[0]
    assert top.first_mm == pytest.approx(48 * INCH)
    assert top.second_mm == pytest.approx(48 * INCH)


def test_foam_of_11_by_15_by_3_inches(make):
    """Plates 12 × 16, boxing 4 wide, allowance 1/2 in (ehow.co.uk 5112747)."""
    panels = make(
        "box-cushion", INCH / 2, length=11 * INCH, width=15 * INCH, thickness=3 * INCH
    ).panels
    sizes = cut_sizes(panels)
    assert sizes["plate"] == (12, 16)
    # Each strip is its side and one allowance at each end: 15 + 1 and 11 + 1.
    assert sizes["boxing-long"] == (4, 16)
    assert sizes["boxing-short"] == (4, 12)


def test_a_square_has_four_equal_strips(make):
    panels = make("box-cushion", length=500.0, width=500.0, thickness=80.0).panels
    assert [(p.name, p.per_item) for p in panels] == [("plate", 2), ("boxing", 4)]


@pytest.mark.parametrize(("length", "width"), [(500.0, 400.0), (400.0, 500.0)])
def test_an_oblong_has_two_long_and_two_short_strips(make, by_name, length, width):
    panels = make("box-cushion", length=length, width=width, thickness=80.0).panels
    assert [(p.name, p.per_item) for p in panels] == [
        ("plate", 2),
        ("boxing-long", 2),
        ("boxing-short", 2),
    ]
    named = by_name(panels)
    assert named["boxing-long"].cut.height == 50_000
    assert named["boxing-short"].cut.height == 40_000
    assert (named["plate"].cut.length, named["plate"].cut.height) == (length * 100, width * 100)


def test_one_strip_goes_all_round(make, by_name):
    panels = make("box-cushion", length=500.0, width=400.0, thickness=80.0, strips=1).panels
    assert [(p.name, p.per_item) for p in panels] == [("plate", 2), ("boxing", 1)]
    assert by_name(panels)["boxing"].cut.height == 180_000


@pytest.mark.parametrize(
    ("grain", "size", "rule"),
    [
        ("across", (8_000, 50_000), GrainRule.AS_DRAWN),
        ("along", (50_000, 8_000), GrainRule.AS_DRAWN),
        ("any", (8_000, 50_000), GrainRule.ANY),
    ],
)
def test_strips_lie_as_their_grain_says(make, grain, size, rule):
    strip = make(
        "box-cushion", length=500.0, width=500.0, thickness=80.0, strip_grain=grain
    ).panels[1]
    assert (strip.cut.length, strip.cut.height) == size
    assert strip.grain_rule is rule


def test_every_side_of_both_plates_and_every_corner_is_a_seam(make):
    made = make("box-cushion", length=500.0, width=400.0, thickness=80.0)
    assert [seam.first_mm for seam in made.seams] == [400, 500] * 4 + [80, 80]
    assert all(seam.meets for seam in made.seams)


def test_one_strip_is_notched_where_the_corners_of_the_plate_will_lie(make, by_name):
    """Corners of 500 × 400 from behind round by left, front, right: 400, 900, 1300 (by hand)."""
    panels = make(
        "box-cushion",
        10.0,
        length=500.0,
        width=400.0,
        thickness=80.0,
        strips=1,
        strip_grain="along",
    ).panels
    boxing = by_name(panels)["boxing"]
    upper = {round(n.foot[0] / 100) - 10 for n in boxing.notches if n.foot[1] == 10_000}
    lower = {round(n.foot[0] / 100) - 10 for n in boxing.notches if n.foot[1] == 0}
    # With the middles of the sides; the back's is double, 6 mm apart.
    assert lower == upper == {200, 400, 650, 900, 1100, 1300, 1547, 1553}


def test_notches_of_a_plate_are_the_middles_of_its_sides(make, by_name):
    plate = by_name(make("box-cushion", 10.0, length=500.0, width=400.0, thickness=80.0).panels)[
        "plate"
    ]
    assert {n.foot for n in plate.notches} == {
        (26_000, 0),
        (52_000, 21_000),
        (26_000, 42_000),
        (0, 21_000),
    }


def test_an_allowance_wider_than_half_the_boxing_is_refused(faults):
    found = faults("box-cushion", 26.0, length=500.0, width=500.0, thickness=50.0)
    assert '"boxing" (50 mm)' in found["seam_allowance"].rule
    assert not faults("box-cushion", 25.0, length=500.0, width=500.0, thickness=50.0)


SEAT = {"length": 500.0, "width": 400.0, "thickness": 80.0}
FLOOR = {"length": 1900.0, "width": 800.0, "thickness": 120.0}


def test_rounded_corners_shorten_the_boxing_and_the_plate(make, by_name):
    """Radius 60: round 2·(380 + 280) + 2π·60 = 1696.991; plate 200 000 - (4 - π)·3600 (hand)."""
    made = make("box-cushion", **SEAT, corner_radius=60.0, strips=1)
    panels = by_name(made.panels)
    assert made.seams[0].first_mm == pytest.approx(1696.991, abs=0.001)
    assert panels["boxing"].cut.height / 100 == pytest.approx(1696.991, abs=0.02)
    # Chords of a sagitta of 0.05 mm leave out at most 2/3 · 0.05 · 377 = 12.6 mm².
    assert panels["plate"].cut.area_mm2 == pytest.approx(196_909.7, abs=14)
    assert made.volume_litres == pytest.approx(15.7528, abs=0.0001)


def test_joins_of_rounded_boxing_fall_where_front_and_back_end(draft):
    """Two pieces of 380 and two of 280 + π·60 = 468.496 mm (by hand)."""
    drawn = draft("box-cushion", **SEAT, corner_radius=60.0)
    runs = sorted(
        (panel.per_item, panel.edges["lower"].length_mm)
        for panel in drawn.panels
        if panel.name.startswith("boxing")
    )
    assert runs == [(2, pytest.approx(380)), (2, pytest.approx(468.496, abs=0.001))]
    assert "the corner between front and right" in drawn.joinings[0].joins


def along_the_seam(panel, edges, allowance):
    """Where the notches of cut edges stand, measured on the stitch line from the first one on."""
    found, met = [], 0.0
    for name in edges:
        (edge,) = (e for e in panel.edges if e.name == name)
        line = LineString(edge.points)
        for notch in panel.notches:
            foot = Point(notch.foot)
            if foot.distance(line) < 100 * allowance + 4:
                found.append((met + line.project(foot)) / 100)
        met += line.length
    near = pairwise([-1.0, *sorted(found)])  # one between two edges is found on both
    return [at for before, at in near if at - before > 0.5]


def test_notches_stand_where_straight_sides_meet_rounds_on_plate_and_boxing(make, by_name):
    """The boxing begins in the middle of the back (by hand): 190, then 94.25 + 280 + 94.25.

    The front's 380, the same round and 190 follow; middles of the sides lie between.
    The plate is followed from its front on: 380, then 94.25 + 280 + 94.25; in the
    middle of its back a double notch faces the join.
    """
    made = make("box-cushion", 10.0, **SEAT, corner_radius=60.0, strips=1, strip_grain="along")
    panels = by_name(made.panels)
    expected = [190, 284.25, 424.25, 564.25, 658.5, 848.5]
    expected += [1038.5, 1132.74, 1272.74, 1412.74, 1506.99]
    run = along_the_seam(panels["boxing"], ["lower"], 10)
    assert run == pytest.approx(expected, abs=0.5)
    run = along_the_seam(panels["boxing"], ["upper"], 10)
    assert run == pytest.approx([1696.99 - at for at in reversed(expected)], abs=0.5)
    around = [edge.name for edge in panels["plate"].edges]
    run = along_the_seam(panels["plate"], around, 10)
    expected = [190, 380, 474.25, 614.25, 754.25, 848.5]
    expected += [1035.5, 1041.5, 1228.5, 1322.74, 1462.74, 1602.74]
    assert run == pytest.approx([0, *expected, 1696.99], abs=0.5)


def test_a_plate_is_notched_where_boxing_is_joined_on_a_smooth_rim(draft):
    """With four strips the joins fall at the ends of front and back, without corners."""
    marked = marked_places(draft("box-cushion", **SEAT, corner_radius=60.0))
    for edge in ("front", "front-right", "right", "back-right", "back", "back-left", "left"):
        assert (0.0, False) in marked["plate", edge]
    square = marked_places(draft("box-cushion", **SEAT))
    assert all(at > 0.0 for at, _ in square["plate", "front"])


def test_rounds_too_small_for_two_notches_get_none_that_would_read_as_a_double_one(draft):
    """Radius 6: 9.4 mm from side to side, less than 12."""
    marked = marked_places(draft("box-cushion", **SEAT, corner_radius=6.0, strips=1))
    places_ = sorted(at for at, double in marked["boxing", "upper"] if not double)
    assert min(b - a for a, b in pairwise(places_)) > 12


def test_corners_whose_rounds_overlap_are_refused(faults):
    assert "corner_radius" in faults("box-cushion", **SEAT, corner_radius=201.0)
    assert not faults("box-cushion", **SEAT, corner_radius=200.0)


def test_a_zip_takes_the_boxing_of_the_back(make, by_name):
    """Halves 500 + 2·10 by 80/2 + 2·10, with a zip allowance of 15: 40 + 10 + 15 = 65 (hand)."""
    made = make("box-cushion", 10.0, **SEAT, closure="zip", zip_allowance=15.0)
    lower = by_name(made.panels)["boxing-zip-lower"].cut
    assert (lower.length / 100, lower.height / 100) == (65, 520)
    (zipped,) = (n for n in made.notions if n.kind == "zip")
    assert zipped.lengths_mm == (504, 480)
    assert made.steps[0].seams == ("boxing-zip",)


def test_a_zip_in_the_bottom_leaves_the_boxing_as_it_was(make, by_name):
    made = make("box-cushion", 10.0, **SEAT, closure="zip", closure_place="bottom")
    panels = by_name(made.panels)
    assert list(panels) == [
        "top-plate", "bottom-front", "bottom-back", "boxing-long", "boxing-short"
    ]  # fmt: skip
    half = panels["bottom-back"].cut
    assert (half.length / 100, half.height / 100) == (520, 220)


BOTTOM = {**SEAT, "closure": "zip", "closure_place": "bottom"}


def test_buttons_of_a_bottom_with_a_zip_lie_on_its_halves(make, by_name):
    """Inset 120 on 500 × 400, allowance 10, that of the zip 15, below the back half (by hand).

    Front half: 120 + 10 either way. Back half: 280 - 200 + 15 = 95 up from its cut zip edge.
    """
    made = make("box-cushion", 10.0, **BOTTOM, zip_allowance=15.0, buttons="four",
                button_spacing=120.0)  # fmt: skip
    panels = by_name(made.panels)
    assert {d.at for d in panels["bottom-front"].drills} == {(13_000, 13_000), (39_000, 13_000)}
    assert {d.at for d in panels["bottom-back"].drills} == {(13_000, 9_500), (39_000, 9_500)}
    assert [n.pieces for n in made.notions if n.kind == "button"] == [8]


@pytest.mark.parametrize("buttons", ["centre", "diamond"])
def test_a_button_on_the_zip_is_refused_with_its_place(faults, buttons):
    fault = faults("box-cushion", 10.0, **BOTTOM, buttons=buttons, button_spacing=190.0)["buttons"]
    assert "must keep at least 15 mm from the zip along the middle of the bottom" in fault.rule
    assert " 0 mm from it, at (250, 200) mm" in fault.rule
    assert 'closure_place = "boxing"' in fault.remedy
    in_boxing = {**BOTTOM, "closure_place": "boxing"}
    assert not faults("box-cushion", 10.0, **in_boxing, buttons=buttons, button_spacing=190.0)


def test_buttons_keep_away_from_the_allowance_of_the_zip(faults, make):
    """200 - 20 = 180 mm is the widest inset for an allowance of 20; 15 mm is the least room."""
    wide = {**BOTTOM, "buttons": "four", "zip_allowance": 20.0}
    fault = faults("box-cushion", 10.0, **wide, button_spacing=181.0)["button_spacing"]
    assert "at most 180 mm" in fault.remedy
    make("box-cushion", 10.0, **wide, button_spacing=180.0)
    narrow = {**BOTTOM, "buttons": "four"}
    assert "button_spacing" in faults("box-cushion", 10.0, **narrow, button_spacing=186.0)
    make("box-cushion", 10.0, **narrow, button_spacing=185.0)


def test_a_button_beyond_the_end_of_a_slit_is_no_fault(faults):
    """A slit of 60 mm ends 30 mm from the middle, the buttons stand 60 mm from it, 10 mm beside."""
    slit = {**SEAT, "closure": "slit", "closure_length": 60.0}
    assert "buttons" in faults("box-cushion", **slit, buttons="centre")
    assert not faults("box-cushion", **slit, buttons="four", button_spacing=190.0)
    long = {**slit, "closure_length": 100.0}
    assert "button_spacing" in faults("box-cushion", **long, buttons="four", button_spacing=190.0)


@given(
    st.floats(200, 1500),
    st.floats(200, 1500),
    st.floats(20, 700),
    st.one_of(st.none(), st.floats(5, 40)),
    st.sampled_from((5.0, 10.0, 20.0)),
)
@settings(deadline=None, max_examples=60)
def test_buttons_of_the_halves_are_those_of_the_top_and_clear_of_the_zip(
    x, y, inset, zipped, allowance
):
    product = products()["box-cushion"]
    values = {m.name: m.default for m in product.measurements} | BOTTOM
    values |= {"length": x, "width": y, "buttons": "four", "button_spacing": inset}
    values |= {"zip_allowance": zipped}
    assume(not product.faults(values, allowance))
    top, front, back = product.draft(values).panels[:3]
    halves = [(d.at, half) for half in (front, back) for d in half.drills]
    assert {at for at, _ in halves} == {d.at for d in top.drills}
    clear = max(15.0, allowance if zipped is None else zipped)
    for at, half in halves:
        assert Polygon(half.ring).contains(Point(at))
        assert LineString(half.edges["zip"].points).distance(Point(at)) >= clear - 1e-6


def test_foam_is_half_an_inch_over_and_so_are_its_rounds(make):
    """Source goodoldboat 117937: 1/2 in over length and width, 1/4 in on each side."""
    made = make("box-cushion", **SEAT, corner_radius=60.0)
    (foam,) = (n for n in made.notions if n.kind == "foam")
    assert foam.lengths_mm[:3] == pytest.approx((512.7, 412.7, 80))
    assert any(fact.lengths_mm == (66.35,) for fact in made.facts)


def test_fibre_of_a_cushion_of_24_by_24_by_4_inches_is_about_18_6_ounces(make):
    """coziepillow: 1.33 ft³ at 14 oz, 18.6 oz; 4/3 ft³ · 14 = 18.667 oz without its rounding."""
    square = {"length": 24 * INCH, "width": 24 * INCH, "thickness": 4 * INCH}
    (fibre,) = (n for n in make("box-cushion", **square, fill="fibre").notions if n.kilograms)
    assert sum(fibre.kilograms) / 2 / 0.0283495 == pytest.approx(18.667, abs=0.001)


def test_a_rolled_edge_takes_an_allowance_of_its_own(make, by_name):
    """Plate 500 + 2·25 by 400 + 2·25; strips 80 + 2·25 by their side and 2·10 (by hand)."""
    made = make("box-cushion", 10.0, **SEAT, edge="rolled")
    panels = by_name(made.panels)
    assert (panels["plate"].cut.length, panels["plate"].cut.height) == (55_000, 45_000)
    assert (panels["boxing-long"].cut.length, panels["boxing-long"].cut.height) == (13_000, 52_000)
    assert made.steps[-1].stitch == "rolled edge by hand"


def test_handles_are_paired_on_both_long_sides(make, by_name):
    """Two on 1900 mm: centres 475 and 1425, ends 0.9·200/2 = 90 to either side, 60 mm up (hand)."""
    made = make("box-cushion", 10.0, **FLOOR, handles=2, strip_grain="along")
    panels = by_name(made.panels)
    assert panels["handle"].per_item == 4
    assert (panels["boxing-long"].per_item, panels["boxing-short"].drills) == (2, ())
    at = sorted(d.at for d in panels["boxing-long"].drills)
    assert at == [(100 * (x + 10), 7_000) for x in (385, 565, 1335, 1515)]


def test_a_handle_as_wide_as_its_allowance_is_cut_four_times_its_width(make, by_name):
    """30 mm with 30 mm allowances: 2·30 + 2·30 = 120 mm, 200 + 2·30 long (common practice)."""
    handle = by_name(make("box-cushion", 30.0, **FLOOR, handles=1).panels)["handle"].cut
    assert (handle.length / 100, handle.height / 100) == (260, 120)


def test_a_zip_keeps_clear_of_handles(make, faults):
    made = make("box-cushion", 10.0, **FLOOR, handles=1, closure="zip")
    assert "boxing-zip to top plate, left" in {seam.seam for seam in made.seams}
    square = {"length": 500.0, "width": 500.0, "thickness": 80.0}
    assert "handles" in faults("box-cushion", **square, handles=1, closure="zip")
    assert "handles" in faults("box-cushion", **FLOOR, handles=1, strips=3)
    assert "handle_length" in faults("box-cushion", **FLOOR, handles=6, handle_length=320.0)
    assert "handle_width" in faults("box-cushion", **FLOOR, handles=1, handle_width=110.0)
    (thin,) = faults("box-cushion", **FLOOR | {"thickness": 15.0}, handles=1).values()
    assert thin.place == "handles"
    assert "-" not in thin.rule


def test_tufts_of_a_mattress_stand_in_a_diamond_on_both_plates(make, by_name):
    made = make("box-cushion", **FLOOR, buttons="diamond", button_spacing=300.0)
    plate = by_name(made.panels)["plate"]
    # Half a spacing, 150 mm, from row to row about the middle: 6 + 5 + 6 buttons (by hand).
    assert sorted(d.at[1] / 100 for d in plate.drills) == [250] * 6 + [400] * 5 + [550] * 6
    assert [n.pieces for n in made.notions if n.kind == "button"] == [34]


@st.composite
def cushions(draw):
    length, width = draw(st.floats(150, 2000)), draw(st.floats(150, 2000))
    round_ = draw(st.one_of(st.none(), st.floats(5, min(length, width) / 2)))
    closure = draw(st.sampled_from(("none", "zip", "slit")))
    return {
        "length": length,
        "width": width,
        "thickness": draw(st.floats(40, 400)),
        "corner_radius": round_,
        "strips": 4 if round_ is None else draw(st.integers(1, 9)),
        "closure": closure,
        "closure_place": draw(st.sampled_from((None, "bottom"))) if closure != "none" else None,
        "edge": draw(st.sampled_from(("plain", "rolled"))),
        "handles": draw(st.integers(0, 1)) if round_ is None else 0,
        "handle_length": 100.0,
        "handle_width": 15.0,
        "buttons": draw(st.sampled_from(("none", "centre", "diamond"))),
        "button_spacing": 70.0,
    }


@given(cushions(), st.sampled_from((5.0, 10.0, 12.7)))
@settings(deadline=None, max_examples=40)
def test_any_box_cushion_meets_at_its_seams_and_has_its_surface_and_volume(given_, allowance):
    product = products()["box-cushion"]
    values = {m.name: m.default for m in product.measurements} | given_
    assume(not product.faults(values, allowance))
    made = make_panels(product, values, item="p", cloth="c", quantity=1, allowance_mm=allowance)
    assert all(abs(seam.unexplained_mm) <= 0.5 for seam in made.seams)
    assert {s.seam for s in made.seams} == {n for step in made.steps for n in step.seams}
    x, y, depth, r = (values[k] or 0.0 for k in ("length", "width", "thickness", "corner_radius"))
    corner = quad(lambda t: r - math.sqrt(max(r**2 - (r - t) ** 2, 0)), 0, r)[0] if r else 0.0
    area = x * y - 4 * corner
    assert made.volume_litres == pytest.approx(area * depth / 1e6)
    around = 2 * (x + y) - 8 * r + 2 * math.pi * r
    straps = sum(p.per_item * 100.0 * 2 * 15.0 for p in made.panels if p.name == "handle")
    assert made.area_mm2 == pytest.approx(2 * area + around * depth + straps, abs=0.07 * around + 1)
    for panel in made.panels:
        cut, stitch = Polygon(panel.cut.points), Polygon(panel.stitch.points)
        least = min(edge.allowance for edge in panel.edges)
        assert cut.is_valid
        assert cut.covers(stitch)
        assert LinearRing(panel.cut.points).distance(stitch) >= least - 0.01
        assert all(stitch.covers(Point(drill.at)) for drill in panel.drills)
