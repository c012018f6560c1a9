"""Half-planes of two outlines against exact geometry in fractions."""

import numpy as np
import pytest
import shapely
from exact_geometry import interiors_meet, moved
from hypothesis import example, given, settings
from hypothesis import strategies as st
from strategies import bay_outlines, box, outlines

from nesting.geometry.contact import Parts, contact
from nesting.geometry.decomposition import convex_parts
from nesting.geometry.outline import Outline
from nesting.geometry.transforms import turned
from nesting.units import LARGEST

SQUARE = box(4, 4)

#: A bay of 4 x 4 that opens upward, in a block of 12 x 6.
BAY = Outline(((0, 0), (12, 0), (12, 6), (8, 6), (8, 2), (4, 2), (4, 6), (0, 6)))

offsets = st.tuples(st.integers(-26, 26), st.integers(-26, 26))


def between(first, second):
    return contact(Parts(convex_parts(first)), Parts(convex_parts(second)))


@given(outlines(), outlines(), offsets)
@settings(deadline=None, max_examples=400)
def test_an_offset_is_free_exactly_when_the_interiors_do_not_meet(first, second, offset):
    meet = interiors_meet(first.points, moved(second.points, *offset))
    assert between(first, second).free(*offset) is not meet


@given(outlines(), outlines(), offsets)
@settings(deadline=None, max_examples=150)
def test_another_library_agrees_about_the_interiors(first, second, offset):
    one, other = shapely.Polygon(first.points), shapely.Polygon(moved(second.points, *offset))
    meet = shapely.relate_pattern(one, other, "T********")
    assert between(first, second).free(*offset) is not bool(meet)


@given(
    outlines(30_000),
    outlines(30_000),
    st.tuples(st.integers(-40_000, 40_000), st.integers(-40_000, 40_000)),
)
@settings(deadline=None, max_examples=100)
def test_it_is_exact_for_panels_of_a_foot_on_the_grid(first, second, offset):
    meet = interiors_meet(first.points, moved(second.points, *offset))
    assert between(first, second).free(*offset) is not meet


@given(
    outlines(LARGEST // 4),
    outlines(LARGEST // 4),
    st.tuples(*[st.integers(-LARGEST // 4, LARGEST // 4)] * 2),
)
@settings(deadline=None, max_examples=60)
def test_it_is_exact_for_coordinates_up_to_a_kilometre(first, second, offset):
    meet = interiors_meet(first.points, moved(second.points, *offset))
    assert between(first, second).free(*offset) is not meet


@given(outlines(), outlines())
@settings(deadline=None, max_examples=40)
def test_one_grid_unit_decides_between_touching_and_overlap(first, second):
    # The second outline is pushed left until it touches: the last free offset touches.
    both = between(first, second)
    dx = first.bounds[2] - second.bounds[0]
    dy = first.points[0][1] - second.points[0][1]
    while both.free(dx - 1, dy) and dx > -60:
        dx -= 1
    assert both.free(dx, dy)
    if dx > -60:
        assert interiors_meet(first.points, moved(second.points, dx - 1, dy))


@given(outlines(), outlines(), offsets)
@settings(deadline=None, max_examples=100)
def test_seen_from_the_other_outline_the_offset_is_the_opposite(first, second, offset):
    dx, dy = offset
    one, other = between(first, second), between(second, first)
    assert one.free(dx, dy) == one.reversed.free(-dx, -dy) == other.free(-dx, -dy)


@given(outlines(), outlines(), offsets, offsets)
@settings(deadline=None, max_examples=100)
def test_outlines_moved_together_stay_as_free_as_they_are(first, second, offset, move):
    together = [Outline(moved(one.points, *move)) for one in (first, second)]
    assert between(*together).free(*offset) == between(first, second).free(*offset)
    alone = between(first, Outline(moved(second.points, *move)))
    there = offset[0] + move[0], offset[1] + move[1]
    assert alone.free(*offset) == between(first, second).free(*there)


@given(outlines(), outlines(), offsets, st.sampled_from([90, 180, 270]))
@settings(deadline=None, max_examples=100)
def test_outlines_turned_together_stay_as_free_as_they_are(first, second, offset, turn):
    together = between(*(Outline(turned(one.points, turn)) for one in (first, second)))
    (there,) = turned([offset], turn)
    assert together.free(*there) == between(first, second).free(*offset)


@given(outlines(), outlines(), offsets)
@settings(deadline=None, max_examples=100)
def test_the_clearance_of_the_clearest_half_planes_has_the_sign_of_freedom(first, second, offset):
    both = between(first, second)
    most = np.maximum.reduceat(both.clearance(*offset), both.starts[:-1])
    assert bool((most >= 0).all()) == both.free(*offset)


def test_rectangles_are_free_from_edge_to_edge_and_no_nearer():
    both = between(SQUARE, box(3, 2))
    assert both.free(4, 0)
    assert both.free(-3, 1)
    assert both.free(1, 4)
    assert both.free(0, -2)
    assert not both.free(3, 0)
    assert not both.free(-2, 1)
    assert not both.free(1, 3)
    assert not both.free(0, -1)


def test_clearance_is_the_distance_between_rectangles():
    # Side by side with 5 units between them; the square is 4 long.
    assert between(SQUARE, SQUARE).clearance(9, 1).max() == pytest.approx(5)
    # Overlapping by half: 2 units deep.
    assert between(SQUARE, SQUARE).clearance(2, 0).max() == pytest.approx(-2)


def test_corners_may_touch():
    assert between(SQUARE, SQUARE).free(4, 4)
    assert between(SQUARE, SQUARE).free(-4, 4)
    assert not between(SQUARE, SQUARE).free(3, 3)
    # Two points against each other, tip to tip and tip to edge.
    right, left = Outline(((0, 0), (6, 3), (0, 6))), Outline(((6, 0), (6, 6), (0, 3)))
    assert between(right, left).free(6, 0)
    assert not between(right, left).free(5, 0)
    assert between(right, SQUARE).free(6, 1)
    assert not between(right, SQUARE).free(5, 1)


def test_a_small_piece_lies_in_the_bay_of_a_large_one():
    assert between(BAY, SQUARE).free(4, 2)
    assert between(BAY, SQUARE).free(4, 3)
    assert not between(BAY, SQUARE).free(3, 2)
    assert not between(BAY, SQUARE).free(5, 2)
    assert not between(BAY, SQUARE).free(4, 1)
    assert not between(BAY, box(5, 1)).free(4, 2)


def test_an_outline_inside_a_larger_one_is_not_free():
    assert not between(box(20, 20), box(1, 1)).free(9, 9)
    assert not between(box(20, 20), box(20, 20)).free(0, 0)


@given(bay_outlines())
@settings(deadline=None, max_examples=60)
@example(BAY)
def test_a_shape_that_fills_the_room_above_a_comb_touches_it_everywhere(comb):
    x0, y0, x1, y1 = comb.bounds
    room = shapely.box(x0, y0, x1, y1 + 5) - shapely.Polygon(comb.points)
    filling = Outline(tuple((round(x), round(y)) for x, y in room.exterior.coords[:-1]))
    both = between(comb, filling)
    assert both.free(0, 0)
    assert not both.free(0, -1)
    assert both.free(0, 1)
