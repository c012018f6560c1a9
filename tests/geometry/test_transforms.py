"""Turns and shifts."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, affinity

from nesting.geometry.outline import Outline
from nesting.geometry.transforms import outline_at, shifted, turned

coordinates = st.integers(-10_000, 10_000)
outlines = st.builds(
    Outline,
    st.tuples(*[st.tuples(coordinates, coordinates)] * 3).filter(lambda t: Polygon(t).area > 0),
)
turns = st.sampled_from((0, 90, 180, 270))


def test_turns_are_anticlockwise():
    assert turned([(3, 1)], 90) == ((-1, 3),)
    assert turned([(3, 1)], 180) == ((-3, -1),)
    assert turned([(3, 1)], 270) == ((1, -3),)


def test_only_quarter_turns_exist():
    with pytest.raises(KeyError):
        turned([(3, 1)], 45)


@given(outlines, turns)
@settings(deadline=None, max_examples=100)
def test_turning_agrees_with_shapely_and_keeps_the_area(outline, turn):
    ours = Polygon(turned(outline.points, turn))
    theirs = affinity.rotate(Polygon(outline.points), turn, origin=(0, 0))
    assert ours.symmetric_difference(theirs).area == pytest.approx(0, abs=1e-3)
    assert Outline(turned(outline.points, turn)).area2 == outline.area2


@given(outlines, turns)
@settings(deadline=None, max_examples=50)
def test_a_turn_and_the_rest_of_the_circle_change_nothing(outline, turn):
    assert turned(turned(outline.points, turn), (360 - turn) % 360) == outline.points


@given(outlines, turns, coordinates, coordinates)
@settings(deadline=None, max_examples=100)
def test_an_outline_has_its_least_corner_at_the_given_place(outline, turn, x, y):
    placed = outline_at(outline, turn, x, y)
    assert placed.bounds[:2] == (x, y)
    assert placed.area2 == outline.area2
    extents = (outline.length, outline.height)
    assert (placed.length, placed.height) == (extents[::-1] if turn % 180 else extents)


def test_a_shift_moves_every_point():
    assert shifted([(1, 2), (3, 4)], 10, -10) == ((11, -8), (13, -6))
