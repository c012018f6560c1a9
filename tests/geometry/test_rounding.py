"""Rings in millimetres become outlines on the grid that lie on the stated side of them."""

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.geometry.outline import Outline
from nesting.geometry.rounding import rounded_around, rounded_within
from nesting.units import GRID_PER_MM

SQUARE = ((0.0, 0.0), (12.7, 0.0), (12.7, 9.99), (0.0, 9.99))

#: Radii around a middle, evenly turned: a star, which never crosses itself.
stars = st.lists(st.floats(1, 400), min_size=3, max_size=24).map(
    lambda radii: tuple(
        (r * math.cos(2 * math.pi * n / len(radii)), r * math.sin(2 * math.pi * n / len(radii)))
        for n, r in enumerate(radii)
    )
)


def on_grid(ring):
    return shapely.Polygon([(x * GRID_PER_MM, y * GRID_PER_MM) for x, y in ring])


def test_a_ring_on_the_grid_stays_as_it_is():
    kept = Outline(((0, 0), (1270, 0), (1270, 999), (0, 999)))
    assert rounded_within(SQUARE) == rounded_around(SQUARE) == kept


def test_rounding_moves_a_side_by_no_more_than_two_grid_units():
    ring = ((0.003, 0), (100, 0), (100, 50.004), (0, 50))
    assert rounded_within(ring).bounds == (1, 1, 9999, 4999)
    assert rounded_around(ring).bounds == (-1, -1, 10001, 5001)


@settings(deadline=None)
@given(stars)
def test_the_drawn_ring_lies_between_both_outlines(ring):
    drawn = on_grid(ring)
    around = shapely.Polygon(rounded_around(ring).points)
    assert around.covers(drawn)
    try:
        within = shapely.Polygon(rounded_within(ring).points)
    except ValueError:
        assert drawn.buffer(-3).is_empty or drawn.area < 100 * drawn.length
        return
    assert drawn.covers(within)


@settings(deadline=None)
@given(st.integers(5, 200), st.floats(20, 400), st.floats(0, 1))
def test_a_convex_ring_loses_and_gains_little(corners, radius, turn):
    """A regular polygon moved by up to two grid units changes by twice its perimeter at most."""
    turns = [2 * math.pi * (n + turn) / corners for n in range(corners)]
    ring = tuple((radius * math.cos(each), radius * math.sin(each)) for each in turns)
    drawn = on_grid(ring)
    assert drawn.area - rounded_within(ring).area2 / 2 < 2 * drawn.length
    assert rounded_around(ring).area2 / 2 - drawn.area < 2 * drawn.length + 100


def test_a_neck_that_closes_leaves_the_greater_part():
    neck = ((0, 0), (30, 0), (30, 9.999), (31, 9.999), (31, 0), (40, 0), (40, 10.003),
            (31, 10.003), (30, 10.003), (0, 10.003))  # fmt: skip
    assert rounded_within(neck).bounds[2] <= 3000


def test_what_is_too_narrow_to_hold_an_outline_is_refused():
    with pytest.raises(ValueError, match="too narrow"):
        rounded_within(((0, 0), (10, 0.004), (10, 0.012), (0, 0.006)))
