"""Outlines cut into convex parts."""

import math

import pytest
import shapely
from hypothesis import given, settings
from strategies import bay_outlines, box, convex_outlines, outlines

from nesting.geometry.decomposition import convex_parts
from nesting.geometry.outline import Outline


def twice_area(ring):
    return sum(
        x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(ring, (*ring[1:], ring[0]), strict=True)
    )


def left_turns(ring):
    """Cross products at every corner: none is negative on a convex anticlockwise ring."""
    corners = zip(ring, (*ring[1:], ring[0]), (*ring[2:], *ring[:2]), strict=True)
    return [(b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]) for a, b, c in corners]


def hand_made_star(points):
    """A star of many points, none of whose corners is convex with its neighbours."""
    radii = [10_000, 6_000] * points
    return Outline(
        tuple(
            (
                round(r * math.cos(math.pi * k / points)),
                round(r * math.sin(math.pi * k / points)),
            )
            for k, r in enumerate(radii)
        )
    )


@given(outlines())
@settings(deadline=None, max_examples=300)
def test_parts_are_convex_and_anticlockwise(outline):
    for part in convex_parts(outline):
        assert twice_area(part) > 0
        assert min(left_turns(part)) >= 0


@given(outlines())
@settings(deadline=None, max_examples=300)
def test_parts_tile_the_outline_exactly(outline):
    parts = convex_parts(outline)
    assert sum(map(twice_area, parts)) == outline.area2
    union = shapely.union_all([shapely.Polygon(part) for part in parts])
    assert shapely.equals(union, shapely.Polygon(outline.points))


@given(outlines(reach=100_000))
@settings(deadline=None, max_examples=100)
def test_parts_of_panels_of_a_metre_tile_them_too(outline):
    parts = convex_parts(outline)
    assert sum(map(twice_area, parts)) == outline.area2
    assert all(min(left_turns(part)) >= 0 for part in parts)


@given(outlines())
@settings(deadline=None, max_examples=200)
def test_parts_have_no_corners_of_their_own(outline):
    corners = [corner for part in convex_parts(outline) for corner in part]
    assert set(corners) == set(outline.points)


@given(convex_outlines())
@settings(deadline=None, max_examples=50)
def test_a_convex_outline_is_one_part(outline):
    assert convex_parts(outline) == (outline.points,)


@given(bay_outlines())
@settings(deadline=None, max_examples=100)
def test_no_two_neighbours_could_be_one_part(outline):
    parts = [shapely.Polygon(part) for part in convex_parts(outline)]
    for i, first in enumerate(parts):
        for second in parts[i + 1 :]:
            joined = shapely.union(first, second)
            assert joined.geom_type != "Polygon" or joined.area < joined.convex_hull.area


def test_an_l_is_two_parts_and_a_frame_with_a_slit_few():
    # Hand counts: an L needs two rectangles; a U needs three.
    assert len(convex_parts(Outline(((0, 0), (9, 0), (9, 3), (3, 3), (3, 9), (0, 9))))) == 2
    u = Outline(((0, 0), (9, 0), (9, 9), (6, 9), (6, 3), (3, 3), (3, 9), (0, 9)))
    assert len(convex_parts(u)) == 3


def test_a_rectangle_stays_as_it_is():
    assert convex_parts(box(7, 3)) == (((0, 0), (7, 0), (7, 3), (0, 3)),)


@pytest.mark.parametrize("points", [50, 700])
def test_an_outline_of_many_corners_is_cut_as_well(points):
    star = hand_made_star(points)
    parts = convex_parts(star)
    assert sum(map(twice_area, parts)) == star.area2
