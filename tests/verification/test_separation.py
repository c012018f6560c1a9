import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from shapely import affinity

from nesting.tolerances import DEPTH_MM
from nesting.verification.separation import nearer_than, overlaps

SQUARE = shapely.box(0, 0, 10, 10)


@st.composite
def star_outlines(draw):
    """Star-shaped polygons with vertices on the 0.01 mm grid, from needles to stars."""
    radii = draw(st.lists(st.integers(300, 20_000), min_size=3, max_size=14))
    start = draw(st.floats(0, math.tau))
    angles = [start + math.tau * i / len(radii) for i in range(len(radii))]
    points = [
        (round(r * math.cos(a)) / 100, round(r * math.sin(a)) / 100)
        for r, a in zip(radii, angles, strict=True)
    ]
    polygon = shapely.Polygon(points)
    assume(polygon.is_valid and polygon.area > 0)
    return polygon


def found(polygons, deeper_than=DEPTH_MM):
    return [*overlaps(polygons, deeper_than)]


def sampled_depth(polygon, other):
    """A slow, obvious version: the deepest of many common points, a bound from below."""
    common = shapely.intersection(polygon, other)
    if common.area == 0:
        return 0.0
    least_x, least_y, greatest_x, greatest_y = common.bounds
    xs, ys = np.meshgrid(np.linspace(least_x, greatest_x, 30), np.linspace(least_y, greatest_y, 30))
    points = shapely.points(xs.ravel(), ys.ravel())
    points = points[shapely.contains_properly(common, points)]
    return max(
        (
            float(shapely.distance(points, side.exterior).max(initial=0))
            for side in (polygon, other)
        ),
        default=0.0,
    )


def test_panels_that_touch_do_not_overlap():
    assert found([SQUARE, affinity.translate(SQUARE, 10, 3)]) == []
    assert found([SQUARE, affinity.translate(SQUARE, 10, 10)]) == []


def test_an_overlap_is_measured_across_it_and_not_along_it():
    # 0.1 mm across, 7 mm along: 0.7 mm².
    (pair,) = found([SQUARE, affinity.translate(SQUARE, 9.9, 3)])
    assert (pair.first, pair.second) == (0, 1)
    assert pair.depth == pytest.approx(0.1, rel=0.005)
    assert pair.area == pytest.approx(0.7)
    assert pair.at[0] == pytest.approx(9.95, abs=0.05)


def test_crossing_strips_are_found_although_no_corner_lies_inside():
    # A cross of two strips 2 mm wide: the middle is 1 mm from either edge.
    strips = [shapely.box(-20, -1, 20, 1), shapely.box(-1, -20, 1, 20)]
    (pair,) = found(strips)
    assert pair.depth == pytest.approx(1, rel=0.005)


def test_a_panel_on_top_of_another_is_found():
    # The small square's middle is 5 mm inside the large one's edge and more.
    (pair,) = found([shapely.box(-10, -10, 20, 20), SQUARE])
    assert pair.depth == pytest.approx(15, rel=0.005)
    (pair,) = found([SQUARE, SQUARE])
    assert pair.depth == pytest.approx(5, rel=0.005)


def test_a_needle_counts_with_the_whole_length_of_its_tip():
    # One degree sharp: a test that shrinks both outlines would lose 1.15 mm of it.
    needle = shapely.Polygon([(9.9, 5), (50, 5.35), (50, 4.65)])
    (pair,) = found([SQUARE, needle])
    assert pair.depth == pytest.approx(0.1, rel=0.005)


def test_a_panel_in_the_notch_of_another_does_not_overlap_it_until_it_is_moved():
    notched = shapely.Polygon([(0, 0), (30, 0), (30, 30), (15, 10), (0, 30)])
    wedge = shapely.Polygon([(15, 10), (30, 30), (0, 30)])
    assert found([notched, wedge]) == []
    assert len(found([notched, affinity.translate(wedge, 0, -0.1)])) == 1


def test_no_panel_and_one_panel_do_not_overlap():
    assert found([]) == found([SQUARE]) == []
    assert [*nearer_than([], 1.0)] == []


def test_nearness_gives_the_pair_the_distance_and_the_place():
    (pair,) = nearer_than([SQUARE, affinity.translate(SQUARE, 12.9, 0)], 2.95)
    assert (pair.first, pair.second) == (0, 1)
    assert pair.distance == pytest.approx(2.9)
    assert pair.at[0] == pytest.approx(11.45)
    assert [*nearer_than([SQUARE, affinity.translate(SQUARE, 13, 0)], 2.95)] == []


@given(star_outlines(), st.integers(3, 100), st.sampled_from([0, 90, 180, 270]))
@settings(deadline=None, max_examples=150)
@example(shapely.Polygon([(0, 0), (100, 0.2), (0, 0.4)]), 3, 0)
def test_a_planted_overlap_of_three_hundredths_or_more_is_always_found(outline, depth, turn):
    # A long table's edge stands `depth` hundredths left of the outline's rightmost vertex.
    edge = outline.bounds[2] - depth / 100
    table = shapely.box(edge, -500, edge + 500, 500)
    turned = [affinity.rotate(polygon, turn, origin=(0, 0)) for polygon in (outline, table)]
    (pair,) = found(turned)
    assert pair.depth == pytest.approx(depth / 100, rel=0.005)


@given(star_outlines(), st.integers(0, 2), st.sampled_from([0, 90, 180, 270]))
@settings(deadline=None, max_examples=100)
def test_an_overlap_of_two_hundredths_is_rounding(outline, depth, turn):
    edge = outline.bounds[2] - depth / 100
    table = shapely.box(edge, -500, edge + 500, 500)
    turned = [affinity.rotate(polygon, turn, origin=(0, 0)) for polygon in (outline, table)]
    assert found(turned, DEPTH_MM + 1e-5) == []


@given(star_outlines(), st.floats(0, math.tau), st.floats(0, 0.0199))
@settings(deadline=None, max_examples=100)
def test_panels_that_touch_all_round_may_be_off_by_rounding(outline, way, push):
    corners = list(outline.exterior.coords)
    slices = [shapely.Polygon([(0, 0), *side]) for side in pairwise(corners)]
    slices = [one for one in slices if one.area > 0]
    assert found(slices) == []
    slices[0] = affinity.translate(slices[0], push * math.cos(way), push * math.sin(way))
    assert found(slices) == []


@given(star_outlines(), star_outlines(), st.integers(-20_000, 20_000), st.integers(-9_000, 9_000))
@settings(deadline=None, max_examples=150)
def test_the_depth_agrees_with_that_of_sampled_points(first, second, dx, dy):
    second = affinity.translate(second, dx / 100, dy / 100)
    sampled = sampled_depth(first, second)
    pairs = found([first, second])
    if sampled > DEPTH_MM + 0.001:
        assert len(pairs) == 1
    for pair in pairs:
        assert 0.99 * sampled <= pair.depth <= 1.01 * max(_inradius(first), _inradius(second))


def _inradius(polygon):
    """The greatest depth of any point in a polygon: the radius of its largest inscribed circle."""
    return shapely.length(shapely.maximum_inscribed_circle(polygon, tolerance=1e-4)) + 1e-3
