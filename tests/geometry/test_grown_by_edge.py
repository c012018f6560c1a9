"""Outlines whose edges are each grown by their own length, compared with shapely."""

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import box, outlines

from nesting.geometry.offsetting import grown, grown_by_edge
from nesting.geometry.outline import Outline

#: Grid units that rounding outward may put between two lines.
ROUNDING = 3


def polygon(outline):
    return shapely.Polygon(outline.points)


@st.composite
def rings_with_growths(draw):
    """An outline a hundred times as large as those of the packer, and a growth for each edge."""
    points = tuple((100 * x, 100 * y) for x, y in draw(outlines()).points)
    growth = st.sampled_from((0, 37, 100, 150, 400))
    return points, draw(st.lists(growth, min_size=len(points), max_size=len(points)))


def sides(ring, by):
    return zip(ring, (*ring[1:], ring[0]), by, strict=True)


@given(rings_with_growths())
@settings(deadline=None, max_examples=150)
def test_the_whole_strip_of_every_edge_is_contained(made):
    ring, by = made
    cut = polygon(grown_by_edge(ring, by)).buffer(0.01)
    assert cut.covers(shapely.Polygon(ring))
    for (x0, y0), (x1, y1), each in sides(ring, by):
        length = math.hypot(x1 - x0, y1 - y0)
        nx, ny = each * (y1 - y0) / length, -each * (x1 - x0) / length
        strip = shapely.Polygon([(x0, y0), (x1, y1), (x1 + nx, y1 + ny), (x0 + nx, y0 + ny)])
        assert cut.covers(strip)


@given(rings_with_growths())
@settings(deadline=None, max_examples=100)
def test_around_a_corner_nothing_is_nearer_than_the_lesser_growth_of_its_edges(made):
    """Between the two normals of its edges, all points within that distance are contained."""
    ring, by = made
    cut = polygon(grown_by_edge(ring, by)).buffer(0.7)
    for i, (x, y) in enumerate(ring):
        (x0, y0), (x1, y1) = ring[i - 1], ring[(i + 1) % len(ring)]
        one, other = math.atan2(-(x - x0), y - y0), math.atan2(-(x1 - x), y1 - y)
        turn = math.remainder(other - one, math.tau)
        least = min(by[i], by[i - 1])
        for share in (0, 0.2, 0.5, 0.8, 1):
            angle = one + share * turn
            point = (x + least * math.cos(angle), y + least * math.sin(angle))
            assert turn < 0 or cut.covers(shapely.Point(point))


@given(rings_with_growths())
@settings(deadline=None, max_examples=100)
def test_no_edge_adds_anything_beyond_its_mitres(made):
    """A mitre reaches at most twice the growth, so each edge adds no more than that around it.

    Bays that close are filled, as the allowance of both sides would.
    """
    ring, by = made
    cut = polygon(grown_by_edge(ring, by))
    reach = [
        shapely.LineString([p, q]).buffer(2 * max(by[i - 1], each, by[(i + 1) % len(by)]) + 4)
        for i, (p, q, each) in enumerate(sides(ring, by))
    ]
    within = shapely.union_all([shapely.Polygon(ring), *reach])
    filled = shapely.Polygon(within.exterior)
    assert filled.buffer(ROUNDING).covers(cut)


@given(outlines(), st.integers(1, 300))
@settings(deadline=None, max_examples=100)
def test_equal_growths_give_the_same_as_growing_the_whole_outline(outline, by):
    outline = Outline(tuple((100 * x, 100 * y) for x, y in outline.points))
    one = polygon(grown(outline, by))
    other = polygon(grown_by_edge(outline.points, [by] * len(outline.points)))
    assert one.buffer(ROUNDING, join_style="mitre").covers(other)
    assert other.buffer(ROUNDING, join_style="mitre").covers(one)


def test_corners_of_a_rectangle_are_mitred_to_both_allowances():
    """100 x 60 with 10 below, 20 right, 10 above, 0 left: 120 x 80 from (0, -10), by hand."""
    cut = grown_by_edge(box(100, 60).points, [10, 20, 10, 0])
    assert cut.bounds == (0, -10, 120, 70)
    assert cut.area2 == 2 * 120 * 80


def test_where_a_straight_line_changes_its_allowance_the_cut_line_steps_at_right_angles():
    ring = ((0, 0), (50, 0), (100, 0), (100, 60), (0, 60))
    cut = grown_by_edge(ring, [10, 30, 10, 10, 10])
    assert {(50, -10), (50, -30)} <= set(cut.points)


def test_a_sharp_point_is_squared_off_at_the_wider_allowance():
    """The needle's point is at (1000, 0), and the cut line reaches no farther than 1020."""
    cut = grown_by_edge(((0, -20), (1000, 0), (0, 20)), [10, 20, 10])
    assert cut.bounds[2] == pytest.approx(1020, abs=2)


def test_a_bay_keeps_its_corner_between_two_allowances():
    """An L with its inside corner at (50, 50): allowances of 10 and 20 leave (60, 70) free."""
    ring = ((0, 0), (100, 0), (100, 50), (50, 50), (50, 100), (0, 100))
    cut = grown_by_edge(ring, [10, 10, 20, 10, 10, 10])
    assert (60, 70) in cut.points


def test_a_negative_growth_is_refused():
    with pytest.raises(ValueError, match="0 or more"):
        grown_by_edge(box(10, 10).points, [1, 1, 1, -1])
