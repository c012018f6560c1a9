"""Curves as chords: never too far inside, and with the true length."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.geometry.curves import arc, circle, line, smooth
from nesting.geometry.transforms import turned
from nesting.tolerances import CHORD_MM

radii = st.floats(0.1, 10_000)


def drawn_length(curve):
    return sum(math.dist(*chord) for chord in pairwise(curve.points))


@given(radii, st.floats(-360, 360), st.floats(1, 360))
@settings(deadline=None, max_examples=100)
def test_chords_of_an_arc_end_on_it_and_never_lie_too_far_inside(radius, start, sweep):
    curve = arc((10, -20), radius, start, sweep)
    for a, b in pairwise(curve.points):
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        assert math.dist((10, -20), a) == pytest.approx(radius)
        assert radius - math.dist((10, -20), middle) <= CHORD_MM * (1 + 1e-9)


@given(radii)
@settings(deadline=None, max_examples=50)
def test_an_arc_has_no_more_chords_than_it_needs(radius):
    """One chord fewer would lie too far inside."""
    chords = len(arc((0, 0), radius, 0, 180).points) - 1
    if chords > 1:
        assert radius * (1 - math.cos(math.pi / (chords - 1) / 2)) > CHORD_MM


def test_an_arc_runs_from_its_start_over_its_sweep():
    curve = arc((1, 2), 10, 90, -90)
    assert curve.points[0] == pytest.approx((1, 12))
    assert curve.points[-1] == pytest.approx((11, 2))
    assert curve.length_mm == pytest.approx(5 * math.pi)


@given(radii)
@settings(deadline=None, max_examples=50)
def test_a_circle_is_closed_and_as_wide_and_high_as_the_true_one(radius):
    curve = circle(radius)
    xs, ys = zip(*curve.points, strict=True)
    assert curve.closed
    assert (min(xs), max(xs), min(ys), max(ys)) == (-radius, radius, -radius, radius)
    assert curve.length_mm == pytest.approx(2 * math.pi * radius)


@given(radii)
@settings(deadline=None, max_examples=50)
def test_the_chords_of_a_circle_are_at_most_a_seventh_of_a_millimetre_shorter(radius):
    """A circle is short by at most 2π·CHORD_MM/3, or slightly more where it has few chords.

    A chord over the angle t falls short by r·t³/24 and has the sagitta r·t²/8.
    """
    curve = circle(radius)
    assert 0 < curve.length_mm - drawn_length(curve) < 2 * math.pi * CHORD_MM / 3 * 1.36


def sine(width, height, count=1000):
    return [
        (width * i / count, height * math.cos(math.pi / 2 * i / count)) for i in range(count + 1)
    ]


@given(st.floats(10, 5_000), st.floats(0, 2_000))
@settings(deadline=None, max_examples=60)
def test_chords_of_a_smooth_curve_never_lie_too_far_inside(width, height):
    dense = sine(width, height)
    curve = smooth(dense)
    places = [dense.index(point) for point in curve.points]
    assert places[0] == 0
    assert places[-1] == len(dense) - 1
    for first, last in pairwise(places):
        (x0, y0), (x1, y1) = dense[first], dense[last]
        for x, y in dense[first:last]:
            across = (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)
            assert abs(across) / math.dist((x0, y0), (x1, y1)) <= CHORD_MM * (1 + 1e-9)


def test_a_smooth_curve_has_about_as_many_chords_as_its_curvature_needs():
    """A circle of radius R needs as many chords as `arc` gives it."""
    dense = [(300 * math.cos(t / 1000), 300 * math.sin(t / 1000)) for t in range(3001)]
    needed = math.ceil(3.0 / (2 * math.acos(1 - CHORD_MM / 300)))
    assert needed <= len(smooth(dense).points) - 1 <= needed + 2


def test_the_length_of_a_smooth_curve_is_the_true_one():
    """The catenary y = cosh x has the length sinh b from 0 to b."""
    dense = [(1000 * i / 2000, 1000 * math.cosh(i / 2000)) for i in range(2001)]
    assert smooth(dense).length_mm == pytest.approx(1000 * math.sinh(1), abs=1e-3)


def test_a_straight_run_of_points_becomes_one_chord():
    assert smooth([(float(i), 2.0 * i) for i in range(100)]).points == ((0, 0), (99, 198))


def test_two_points_are_too_few_for_a_smooth_curve():
    with pytest.raises(ValueError, match="at least three points: 2"):
        smooth([(0, 0), (1, 1)])


def test_a_point_is_found_by_its_share_of_the_length():
    curve = line((10, 0), (10, 40))
    assert curve.at(0) == (10, 0)
    assert curve.at(0.25) == (10, 10)
    assert curve.at(1) == (10, 40)
    assert circle(100).at(0.25) == pytest.approx((0, 100))


def test_turning_a_curve_keeps_its_length():
    curve = arc((0, 0), 100, 0, 90).mapped(lambda points: turned(points, 90))
    assert curve.points[0] == pytest.approx((0, 100))
    assert curve.points[-1] == pytest.approx((-100, 0))
    assert curve.length_mm == pytest.approx(50 * math.pi)
