"""Finished panels: sorts of edges, mirror images, marks, clips, and what is cut from them."""

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LinearRing, LineString, Point, Polygon

from nesting.geometry.curves import arc, circle, joined, line
from nesting.panels.allowances import allowance_faults
from nesting.panels.drafting.draft import Draft, EdgeUse, Seam
from nesting.panels.drafting.finished import (
    Drill,
    EdgeSort,
    FinishedPanel,
    mirror_image,
    polygon,
    rectangle,
)
from nesting.panels.drafting.quarter_turn import turned_quarter
from nesting.panels.drafting.seams import measure_seams
from nesting.panels.making import make_panels
from nesting.panels.panel import DrillMark

SIDES = ("lower", "right", "upper", "left")

#: A seat in the shape of an L, 600 x 500 less 200 x 200; its inside corner at (400, 300).
L_SHAPE = {
    "front": (0.0, 0.0),
    "right": (600.0, 0.0),
    "step": (600.0, 300.0),
    "inner": (400.0, 300.0),
    "back": (400.0, 500.0),
    "left": (0.0, 500.0),
}


class Sheet:
    """A product that returns the draft it is given."""

    name = summary = "sheet"
    measurements = cautions = ()

    def __init__(self, draft):
        self.whole = draft

    def faults(self, values, allowance_mm):
        return ()

    def draft(self, values):
        return self.whole


def made(draft, allowance_mm=10.0, **more):
    given_ = {"item": "seat", "cloth": "twill", "quantity": 1, **more}
    return make_panels(Sheet(draft), {}, allowance_mm=allowance_mm, **given_)


def sheet(panel, **more):
    return Draft((panel,), (), **more)


def test_a_hem_has_its_own_allowance_and_the_other_edges_that_of_the_item():
    """300 x 200; 10 at three edges, 40 at the hem above: 320 x 250, by hand."""
    panel = rectangle("flap", 1, 300.0, 200.0, SIDES, sorts={"upper": EdgeSort.HEM})
    (flap,) = made(sheet(panel, allowances_mm={EdgeSort.HEM: 40.0})).panels
    assert flap.cut.bounds == (0, 0, 32_000, 25_000)
    assert flap.stitch.bounds == (1_000, 1_000, 31_000, 21_000)
    assert {edge.name: (edge.sort, edge.allowance) for edge in flap.edges} == {
        "lower": ("seam", 1_000),
        "right": ("seam", 1_000),
        "upper": ("hem", 4_000),
        "left": ("seam", 1_000),
    }
    assert flap.edges[0].points == ((1_000, 1_000), (31_000, 1_000))


def test_a_sort_without_an_allowance_of_its_own_takes_that_of_the_seams():
    panel = rectangle("flap", 1, 300.0, 200.0, SIDES, sorts={"upper": EdgeSort.ZIP})
    (flap,) = made(sheet(panel)).panels
    assert flap.cut.bounds == (0, 0, 32_000, 22_000)


def test_an_allowance_of_a_sort_that_is_too_wide_is_told_under_its_own_key():
    """By hand: a hem of 40 mm and a seam of 10 mm do not fit 45 mm of cloth; 35 and 10 do."""
    panel = rectangle("flap", 1, 300.0, 45.0, SIDES, sorts={"upper": EdgeSort.HEM})
    draft = sheet(panel, allowances_mm={EdgeSort.HEM: 40.0})
    (fault,) = allowance_faults(draft, 10.0)
    place, _, value, remedy = fault.texts("mm")
    assert (place, value) == ("hem_allowance", "40 mm")
    assert "allow at most 35 mm" in remedy
    (fault,) = allowance_faults(draft, 50.0)
    assert fault.place == "seam_allowance"


def test_only_allowances_on_opposite_sides_are_added():
    """By hand: 40 + 10 mm fit 50 mm of cloth, though twice 40 mm do not."""
    panel = rectangle("flap", 1, 300.0, 50.0, SIDES, sorts={"upper": EdgeSort.HEM})
    assert allowance_faults(sheet(panel, allowances_mm={EdgeSort.HEM: 40.0}), 10.0) == ()
    assert allowance_faults(sheet(panel, allowances_mm={EdgeSort.HEM: 40.5}), 10.0)


def test_two_allowances_of_which_each_is_too_wide_are_both_to_be_made_narrower():
    panel = rectangle("flap", 1, 300.0, 45.0, SIDES, sorts={"upper": EdgeSort.HEM})
    (fault,) = allowance_faults(sheet(panel, allowances_mm={EdgeSort.HEM: 60.0}), 45.0)
    assert fault.texts("mm")[3] == "make both allowances narrower, or the panel wider"


def test_a_sort_of_an_edge_that_is_not_there_is_refused():
    with pytest.raises(ValueError, match="no such edge"):
        rectangle("flap", 1, 300.0, 60.0, SIDES, sorts={"top": EdgeSort.HEM})


def test_an_inside_corner_is_clipped_almost_to_the_stitch_line():
    """One clip, from the cut corner 10·√2 mm away to 2 mm short of the stitch corner."""
    panel = polygon("seat", 1, L_SHAPE)
    (seat,) = made(sheet(panel)).panels
    (clip,) = [notch for notch in seat.notches if notch.clip]
    assert clip.foot == (42_000, 32_000)  # (400 + 10 + 10, 300 + 10 + 10) mm
    assert math.dist(clip.tip, (41_000, 31_000)) == pytest.approx(200, abs=1)


def test_curves_and_outside_corners_are_not_clipped():
    for panel in (rectangle("a", 1, 300.0, 200.0, SIDES), FinishedPanel("b", 1, {"r": circle(90)})):
        assert made(sheet(panel)).panels[0].notches == ()


def test_grain_and_label_of_a_bay_stand_inside_it():
    """A frame that is open to the right, with no cloth in its middle."""
    corners = [
        (0, 0),
        (600, 0),
        (600, 100),
        (100, 100),
        (100, 500),
        (600, 500),
        (600, 600),
        (0, 600),
    ]
    panel = polygon("bay", 1, {f"e{i}": (float(x), float(y)) for i, (x, y) in enumerate(corners)})
    (bay,) = made(sheet(panel)).panels
    inside = Polygon(bay.stitch.points)
    assert inside.covers(LineString(bay.grain))
    assert inside.covers(Point(bay.label))
    assert bay.grain[0][0] < bay.grain[1][0]


@pytest.mark.parametrize(
    ("product", "sizes", "radius"),
    [
        # The inside corner is the very middle of the L. The largest circle touches two sides and
        # that corner: (300 - r)² + (250 - r)² = r², r = (1100 - √600 000)/2 = 162.7 mm (by hand).
        (
            "shaped-seat",
            {
                "corners": ((0, 0), (600, 0), (600, 250), (300, 250), (300, 500), (0, 500)),
                "thickness": 80.0,
            },
            162.7,
        ),
        # The circle in a right-angled triangle: (500 + 250 - √(500² + 250²))/2 = 95.5 mm.
        ("wedge", {"depth": 500.0, "width": 400.0, "height": 250.0}, 95.5),
    ],
)
def test_the_label_stands_well_inside_where_the_middle_has_no_room(make, product, sizes, radius):
    for panel in make(product, 10.0, **sizes).panels[:2]:
        around = LinearRing(panel.stitch.points)
        assert around.distance(Point(panel.label)) / 100 > 0.6 * radius
        assert around.distance(LineString(panel.grain)) / 100 > 20
        assert panel.label[1] > panel.grain[0][1]


def test_the_label_of_a_strip_on_the_bias_stands_in_its_middle(make):
    (strip,) = make("welt", 10.0, length=600.0, cord=5.0, strips=1).panels
    middle = (strip.cut.length / 2, strip.cut.height / 2)
    assert math.dist(strip.label, middle) < 500


def test_a_mirror_image_lies_the_other_way_and_keeps_its_edges_names():
    seat = polygon("top", 1, L_SHAPE, drills=(Drill((100.0, 50.0), "button"),))
    other = mirror_image(seat, "bottom")
    assert other.area_mm2 == pytest.approx(seat.area_mm2) == 260_000
    assert list(other.edges) == ["left", "back", "inner", "step", "right", "front"]
    assert other.edges["step"].length_mm == 200
    assert other.drills == (Drill((100.0, -50.0), "button"),)
    one, two = (Polygon(p.ring) for p in (seat, other))
    assert shapely.affinity.scale(two, 1, -1, origin=(0, 0)).equals(one)


def test_a_mirror_image_needs_a_name_of_its_own():
    with pytest.raises(ValueError, match="unlike names"):
        mirror_image(polygon("top", 1, L_SHAPE), "top")


def test_both_seats_of_a_mirrored_pair_meet_edge_to_edge():
    """Laid face to face, every edge of one lies on the same edge of the other."""
    seat = polygon("top", 1, L_SHAPE)
    pair = (seat, mirror_image(seat, "bottom"))
    seams = tuple(
        Seam(edge, (EdgeUse("top", edge),), (EdgeUse("bottom", edge),)) for edge in L_SHAPE
    )
    assert all(seam.unexplained_mm == 0 for seam in measure_seams(Draft(pair, seams)))


def test_drill_marks_lines_and_inner_cuts_keep_their_place_in_the_panel():
    panel = rectangle(
        "top", 1, 300.0, 200.0, SIDES,
        drills=(Drill((150.0, 100.0), "button"),), lines=(((50.0, 60.0), (250.0, 60.0)),),
        inner_cuts=(((50.0, 90.0), (70.0, 90.0), (60.0, 80.0), (50.0, 90.0)),),
    )  # fmt: skip
    (top,) = made(sheet(panel)).panels
    assert top.drills == (DrillMark((16_000, 11_000), "button"),)
    assert top.lines == (((6_000, 7_000), (26_000, 7_000)),)
    assert top.inner_cuts == (((6_000, 10_000), (8_000, 10_000), (7_000, 9_000), (6_000, 10_000)),)
    # A quarter anticlockwise takes (x, y) of the 320 x 220 panel to (220 - y, x).
    turned = turned_quarter(top)
    assert turned.drills == (DrillMark((11_000, 16_000), "button"),)
    assert turned.lines == (((15_000, 6_000), (15_000, 26_000)),)
    (cut_out,) = turned.inner_cuts
    assert cut_out == ((12_000, 6_000), (12_000, 8_000), (13_000, 7_000), (12_000, 6_000))


def test_a_mirror_image_has_its_lines_and_cuts_on_the_other_side():
    panel = rectangle(
        "top", 1, 300.0, 200.0, SIDES,
        lines=(((50.0, 60.0), (250.0, 70.0)),), inner_cuts=(((80.0, 20.0), (90.0, 40.0)),),
    )  # fmt: skip
    image = mirror_image(panel, "bottom")
    assert image.lines == (((50.0, -60.0), (250.0, -70.0)),)
    assert image.inner_cuts == (((80.0, -20.0), (90.0, -40.0)),)


def test_a_railroaded_item_is_drawn_a_quarter_round_with_all_its_marks():
    panel = rectangle("top", 1, 300.0, 200.0, SIDES, drills=(Drill((30.0, 50.0)),))
    (top,) = made(sheet(panel), railroad=True).panels
    assert top.railroaded
    assert (top.cut.length, top.cut.height) == (22_000, 32_000)
    # (30, 50) becomes (200 - 50, 30), and the allowance adds 10 to both.
    assert top.drills[0].at == (16_000, 4_000)
    assert top.grain[0][1] == top.grain[1][1]


def test_a_part_is_cut_from_its_own_cloth_under_its_own_name():
    panel = rectangle("plate", 2, 300.0, 200.0, SIDES, parts=("top-plate", "bottom-plate"))
    panels = made(sheet(panel), panel_cloths={"bottom-plate": "calico"}).panels
    assert [(p.name, p.per_item, p.cloth, p.drafted_as) for p in panels] == [
        ("plate", 1, "twill", "plate"),
        ("bottom-plate", 1, "calico", "plate"),
    ]
    assert [p.parts for p in panels] == [("top-plate",), ("bottom-plate",)]
    panels = made(sheet(panel), panel_cloths={"plate": "calico"}).panels
    assert [(p.name, p.per_item, p.cloth) for p in panels] == [("plate", 2, "calico")]


def test_two_panels_of_one_draft_cannot_share_a_name():
    panel = rectangle("plate", 1, 300.0, 200.0, SIDES)
    with pytest.raises(ValueError, match="share a name"):
        Draft((panel, panel), ())


@given(
    st.floats(40, 900), st.floats(40, 900), st.floats(1, 19),
    st.lists(st.sampled_from((0.0, 6.0, 10.0, 25.0)), min_size=3, max_size=3),
)  # fmt: skip
@settings(deadline=None, max_examples=60)
def test_each_edge_of_a_rounded_panel_keeps_its_own_distance(x, y, radius, widths):
    """A corner rounded by an arc, a hem, a zip: the cut line is never nearer to any edge."""
    corner = joined(line((x, 0.0), (x, y - radius)), arc((x - radius, y - radius), radius, 0, 90))
    edges = {
        "lower": line((0.0, 0.0), (x, 0.0)),
        "round": corner,
        "upper": line((x - radius, y), (0.0, y)),
        "left": line((0.0, y), (0.0, 0.0)),
    }
    sorts = {"upper": EdgeSort.HEM, "left": EdgeSort.ZIP}
    allowances = {EdgeSort.HEM: widths[1], EdgeSort.ZIP: widths[2]}
    draft = Draft((FinishedPanel("top", 1, edges, sorts=sorts),), (), allowances_mm=allowances)
    (top,) = made(draft, widths[0]).panels
    cut = LinearRing(top.cut.points)
    assert Polygon(top.cut.points).covers(
        Polygon(top.stitch.points if top.stitch else top.cut.points)
    )
    for edge in top.edges:
        middle = LineString(edge.points).interpolate(0.5, normalized=True)
        least = min(each.allowance for each in top.edges)
        assert cut.distance(middle) >= least - 1
        assert cut.distance(middle) <= edge.allowance + 3
