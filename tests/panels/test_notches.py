"""Notches: matched on both sides of a seam, and never through the stitch line."""

import math
from itertools import pairwise

import pytest
from shapely import LinearRing, LineString, Point, Polygon

from nesting.geometry.curves import line
from nesting.panels.drafting import notches
from nesting.panels.drafting.draft import marks_along

POUF = {"diameter": 500.0, "height": 380.0, "gores": 10, "cap_diameter": 180.0}


@pytest.mark.parametrize(
    ("allowance", "depth"),
    [
        (1270, 950),  # a clip of 3/8 in = 9.525 mm for 1/2 in (pattern-making.com, box pillow)
        (1200, 900),  # 3 mm clear of the stitch line (common practice)
        (600, 300),
        (400, 200),  # half of a narrow allowance: a shorter one frays away (Vilumsone-Nemes)
        (2500, 950),
    ],
)
def test_how_deep_a_notch_is_cut(allowance, depth):
    """Vilumsone-Nemes, Industrial Cutting of Textile Materials, 2nd edition, p. 210.

    A notch deeper than the allowance leaves a hole, one that is too short frays away.
    """
    assert notches.notch_depth(allowance) == depth


@pytest.mark.parametrize("allowance", [4.0, 12.0, 20.0])
def test_every_notch_runs_from_the_cut_line_into_the_allowance(make, allowance):
    for panel in make("gored-pouf", allowance, **POUF).panels:
        stitch, cut = Polygon(panel.stitch.points), LinearRing(panel.cut.points)
        for notch in panel.notches:
            line = LineString([notch.foot, notch.tip])
            assert cut.distance(Point(notch.foot)) < 1
            assert line.length == pytest.approx(notches.notch_depth(100 * allowance), abs=1.5)
            # square to the stitch line: its rest is the allowance less its depth
            rest = 100 * allowance - notches.notch_depth(100 * allowance)
            assert stitch.distance(line) == pytest.approx(rest, abs=5)


def test_both_sides_of_a_gore_are_marked_at_equal_lengths_from_the_head(draft):
    """Equator and midway; the head's is double, so that no gore is sewn in upside down."""
    made = draft("gored-pouf", **POUF)
    length = made.panels[0].edges["left"].length_mm
    places = notches.marked_places(made)
    # The right edge is drawn towards the head, the left one away from it.
    right = sorted((length - at, double) for at, double in places["gore", "right"])
    left = sorted(places["gore", "left"])
    expected = [(length / 4, True), (length / 2, False), (length * 3 / 4, False)]
    for found in (left, right):
        assert [double for _, double in found] == [double for _, double in expected]
        assert [at for at, _ in found] == pytest.approx([at for at, _ in expected], abs=0.002)


def test_the_rim_of_a_cap_is_marked_where_each_gore_seam_lies(draft):
    made = draft("gored-pouf", **POUF)
    rim = sorted(at for at, _ in notches.marked_places(made)["cap", "rim"])
    # Ten gores of 18π/10 = 56.549 mm each, by hand.
    assert rim == pytest.approx([56.549 * i for i in range(10)], abs=0.01)
    assert ("gore", "top") not in notches.marked_places(made)


def test_a_small_cap_is_marked_at_every_few_gores(draft):
    """48 gores on 60π = 188.5 mm are 3.9 mm each: every sixth is 23.6 mm apart."""
    made = draft("gored-pouf", diameter=500.0, gores=48, cap_diameter=60.0)
    rim = sorted(at for at, _ in notches.marked_places(made)["cap", "rim"])
    assert rim == pytest.approx([60 * math.pi / 8 * i for i in range(8)], abs=0.01)


def test_a_double_notch_is_two_marks_six_millimetres_apart(make):
    gore = make("gored-pouf", 12.0, **POUF).panels[0]
    upper = sorted(n.foot[0] for n in gore.notches if n.foot[1] > gore.cut.height / 2)
    gaps = [b - a for a, b in pairwise(upper)]
    assert len(upper) == 4
    assert min(gaps) == pytest.approx(600, abs=40)
    assert gaps.index(min(gaps)) == 2  # towards the head


def test_a_double_notch_on_an_edge_that_is_shorter_than_it_stands_at_its_ends():
    """Between large rounded corners hardly anything of a side is straight."""
    before, edge = line((70.0, 0.0), (73.0, 0.0)), line((73.0, 0.0), (77.0, 0.0))
    (start, out), (end, also_out) = notches.notch_points(before, edge, 2.0, double=True)
    assert (start, end) == ((73.0, 0.0), (77.0, 0.0))
    assert out == also_out == (0.0, -1.0)


def test_long_seams_are_marked_at_least_every_300_mm():
    """Common practice: every 200 to 300 mm."""
    assert [m.fraction for m in marks_along(400, parts=2)] == [0.5]
    assert [m.fraction for m in marks_along(1000, parts=2)] == [0.25, 0.5, 0.75]


def test_the_doubled_part_stays_where_it_is_when_marks_become_finer():
    coarse = [m.fraction for m in marks_along(900, parts=4, doubled=3) if m.double]
    fine = [m.fraction for m in marks_along(2000, parts=4, doubled=3) if m.double]
    assert coarse == fine == [0.75]


def test_without_an_allowance_there_are_no_notches(make):
    for panel in make("gored-pouf", 0.0, **POUF).panels:
        assert panel.notches == ()
        assert panel.stitch is None
