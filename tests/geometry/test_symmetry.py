import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.geometry.outline import Outline
from nesting.geometry.symmetry import Axis, is_symmetric, mirrored

KITE = Outline(((0, 10), (10, 0), (40, 10), (10, 20)))
SKEW = Outline(((0, 0), (30, 0), (40, 10), (10, 10)))


def test_a_kite_is_its_own_mirror_image_in_the_line_along_it_only():
    assert is_symmetric(KITE, Axis.ALONG)
    assert not is_symmetric(KITE, Axis.ACROSS)


def test_a_rectangle_is_symmetric_both_ways_even_where_its_middle_lies_between_grid_points():
    odd = Outline(((0, 0), (7, 0), (7, 3), (0, 3)))
    assert all(is_symmetric(odd, axis) for axis in Axis)


def test_a_parallelogram_is_not_symmetric_either_way():
    assert not any(is_symmetric(SKEW, axis) for axis in Axis)


def test_one_grid_unit_breaks_the_symmetry():
    off = Outline(((0, 10), (10, 0), (40, 10), (10, 21)))
    assert not is_symmetric(off, Axis.ALONG)


@pytest.mark.parametrize("axis", list(Axis))
@given(points=st.lists(st.tuples(st.integers(-9, 9), st.integers(-9, 9)), min_size=1))
def test_mirroring_twice_changes_nothing(axis, points):
    box = (-3, -5, 4, 9)
    assert mirrored(mirrored(points, box, axis), box, axis) == tuple(points)
