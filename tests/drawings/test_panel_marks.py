"""The grain arrow and the drill cross, as every drawing has them."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from nesting.drawings.panel_marks import HEAD_MM, drill_cross, grain_arrow

points = st.tuples(st.floats(-1_000, 1_000), st.floats(-1_000, 1_000))


@given(points, points, st.floats(1, 50))
def test_the_head_points_where_the_arrow_points_and_is_the_same_on_both_sides(tail, head, most):
    length = math.dist(tail, head)
    assume(length >= 1)
    shaft, (left, point, right) = grain_arrow(tail, head, most)
    assert shaft == (tail, head)
    assert point == head
    assert math.dist(left, head) == pytest.approx(math.dist(right, head))
    middle = ((left[0] + right[0]) / 2, (left[1] + right[1]) / 2)
    assert math.dist(middle, head) == pytest.approx(min(most, length / 4))
    assert math.dist(tail, middle) + math.dist(middle, head) == pytest.approx(length)


def test_an_arrow_along_the_roll_has_its_head_at_greater_x():
    """200 mm long: a head of 10 mm, 4 mm to either side (0.4 of its length), by hand."""
    assert HEAD_MM == 10
    assert grain_arrow((0.0, 5.0), (200.0, 5.0)) == (
        ((0.0, 5.0), (200.0, 5.0)),
        ((190.0, 9.0), (200.0, 5.0), (190.0, 1.0)),
    )


def test_a_short_arrow_has_a_head_of_a_quarter_of_it():
    _, (left, _, right) = grain_arrow((0.0, 0.0), (0.0, 20.0))
    assert (left, right) == ((-2.0, 15.0), (2.0, 15.0))


@given(points, st.floats(0.1, 20))
def test_a_cross_has_its_place_in_the_middle_of_both_strokes(at, arm):
    for stroke in drill_cross(at, arm):
        (x0, y0), (x1, y1) = stroke
        assert ((x0 + x1) / 2, (y0 + y1) / 2) == pytest.approx(at)
        assert math.dist(*stroke) == pytest.approx(2 * arm)
    level, upright = drill_cross(at, arm)
    assert level[0][1] == level[1][1]
    assert upright[0][0] == upright[1][0]
