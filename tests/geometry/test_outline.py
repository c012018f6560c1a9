"""Outlines: rings on the grid, and how rings are rounded to it."""

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.geometry.outline import Outline, rounded_outward

SQUARE = ((0, 0), (100, 0), (100, 100), (0, 100))
coordinates = st.integers(-10_000, 10_000)
triangles = st.tuples(*[st.tuples(coordinates, coordinates)] * 3).filter(
    lambda t: shapely.Polygon(t).area > 0
)


def test_a_clockwise_ring_becomes_anticlockwise():
    outline = Outline(SQUARE[::-1])
    assert outline.area2 == 20_000
    assert shapely.LinearRing(outline.points).is_ccw


def test_repeated_points_are_dropped_but_the_corner_stays():
    """A closed ring that repeats its first point once lost that corner."""
    assert set(Outline((*SQUARE, SQUARE[0])).points) == set(SQUARE)
    assert set(Outline((SQUARE[0], *SQUARE)).points) == set(SQUARE)


def test_points_on_a_straight_line_are_dropped():
    assert set(Outline(((0, 0), (30, 0), (60, 0), *SQUARE[1:])).points) == set(SQUARE)


def test_a_spike_without_area_is_dropped_but_its_corner_stays():
    spiked = ((0, 0), (100, 0), (150, -50), (100, 0), (100, 100), (0, 100))
    assert set(Outline(spiked).points) == set(SQUARE)


@pytest.mark.parametrize(
    "points", [((0, 0), (10, 0)), ((0, 0), (10, 0), (20, 0)), ((0, 0), (5, 5), (0, 0), (5, 5))]
)
def test_a_ring_without_area_is_refused(points):
    with pytest.raises(ValueError, match="an outline needs an area"):
        Outline(points)


def test_a_ring_that_crosses_itself_is_refused():
    with pytest.raises(ValueError, match="must not cross"):
        Outline(((0, 0), (100, 0), (30, 100), (80, -50)))


def test_extents_and_area_in_square_millimetres():
    outline = Outline(((-100, 0), (200, 0), (200, 500), (-100, 500)))
    assert outline.bounds == (-100, 0, 200, 500)
    assert (outline.length, outline.height) == (300, 500)
    assert outline.area_mm2 == 15.0  # 3 mm × 5 mm


def test_rounding_moves_every_coordinate_away_from_the_middle():
    points = ((-1.001, -1.001), (1.001, -1.001), (1.001, 1.001), (-1.001, 1.001))
    assert rounded_outward(points) == ((-101, -101), (101, -101), (101, 101), (-101, 101))


def test_rounding_leaves_a_coordinate_on_the_grid_where_it_is():
    """13 in is exactly 33 020 grid units, whatever a float makes of it."""
    side = 13 * 25.4
    assert rounded_outward(((0, 0), (side, 0), (side, side), (0, side))) == (
        (0, 0),
        (33020, 0),
        (33020, 33020),
        (0, 33020),
    )


@given(triangles)
@settings(deadline=None, max_examples=100)
def test_area_is_that_of_shapely(points):
    assert Outline(points).area2 == round(2 * shapely.Polygon(points).area)
