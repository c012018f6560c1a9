"""Lines that are joined end to end."""

import itertools
import math
import random

import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.drawings.strokes import Stroke, closed_rings, own_coordinates, straight_lines, stroke
from nesting.tolerances import JOIN_MM

WORDS_AT = own_coordinates(1.0, 1)
SQUARE = ((0.0, 0.0), (90.0, 0.0), (90.0, 90.0), (0.0, 90.0))


def sides(corners, off=0.0):
    """A stroke for each side, whose ends are off by a little."""
    ends = zip(corners, (*corners[1:], corners[0]), strict=True)
    return [
        Stroke(((x0 + off, y0), (x1, y1 - off)), closed=False, place=f"line {n}")
        for n, ((x0, y0), (x1, y1)) in enumerate(ends, start=1)
    ]


@given(st.randoms(use_true_random=False), st.integers(3, 30))
@settings(deadline=None, max_examples=60)
def test_the_sides_of_a_figure_form_it_again_in_any_order_and_direction(chance, count):
    angles = sorted(chance.sample(range(360), count))
    corners = [
        (chance.uniform(50, 90) * math.cos(math.radians(a)), 70 * math.sin(math.radians(a)))
        for a in angles
    ]
    lines = sides(corners)
    lines = [
        Stroke(each.points[:: chance.choice((1, -1))], closed=False, place=each.place)
        for each in chance.sample(lines, count)
    ]
    (ring,), faults = closed_rings(lines, WORDS_AT)
    assert not faults
    # the very same corners, whichever comes first and whichever way round
    assert shapely.Polygon(ring.points).normalize() == shapely.Polygon(corners).normalize()


def test_ends_within_the_tolerance_are_joined_and_others_are_not():
    (ring,), faults = closed_rings(sides(SQUARE, off=0.4 * JOIN_MM), WORDS_AT)
    assert (len(ring.points), faults) == (4, [])
    rings, faults = closed_rings(sides(SQUARE, off=1.5 * JOIN_MM), WORDS_AT)
    assert (rings, len(faults)) == ([], 8)
    place, _, value, _ = faults[0].texts("mm")
    assert place == "line 1, at (0.15, 0)"
    assert value == "the next open end is 0.212 mm away"


def test_several_rings_are_kept_apart_and_closed_strokes_stay():
    far = [(x + 500, y) for x, y in SQUARE]
    lines = [*sides(SQUARE), *sides(far), Stroke(SQUARE, closed=True, place="polygon")]
    random.Random(3).shuffle(lines)
    rings, faults = closed_rings(lines, WORDS_AT)
    assert not faults
    assert [len(ring.points) for ring in rings] == [4, 4, 4]


def test_two_halves_that_meet_twice_make_one_ring():
    halves = [
        Stroke(((0.0, 0.0), (90.0, 0.0), (90.0, 90.0)), closed=False, place="a"),
        Stroke(((0.0, 0.0), (0.0, 90.0), (90.0, 90.0)), closed=False, place="b"),
    ]
    (ring,), faults = closed_rings(halves, WORDS_AT)
    assert not faults
    assert shapely.Polygon(ring.points).area == 90 * 90


def test_three_lines_that_meet_are_refused_with_their_point():
    twice = [*sides(SQUARE), sides(SQUARE)[0]]
    rings, faults = closed_rings(twice, WORDS_AT)
    assert not rings
    assert [fault.place for fault in faults] == ["line 1, at (0, 0)", "line 1, at (90, 0)"]
    assert faults[0].rule == "no more than two lines may meet at a point"


def test_a_stroke_that_ends_where_it_began_is_closed_and_specks_are_passed_over():
    assert stroke([*SQUARE, (0.0, 0.05)], "x").closed
    assert not stroke([*SQUARE, (0.0, 5.0)], "x").closed
    speck = Stroke(((0.0, 0.0), (0.01, 0.0)), closed=False, place="speck")
    assert closed_rings([speck], WORDS_AT) == ([], [])


def lines_of(*runs):
    lines, others = straight_lines([stroke(run, "here") for run in runs])
    return [sorted(line) for line in lines], [each.points for each in others]


@given(st.randoms(use_true_random=False), st.integers(1, 8), st.floats(0, 360))
@settings(deadline=None, max_examples=60)
def test_a_straight_line_in_parts_is_one_line_in_any_order_and_direction(chance, count, degrees):
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    along = [(20.0 * n * c, 20.0 * n * s) for n in range(count + 1)]
    parts = [pair[:: chance.choice((1, -1))] for pair in itertools.pairwise(along)]
    chance.shuffle(parts)
    ((line,), others) = lines_of(*parts)
    assert line == sorted((along[0], along[-1]))
    assert others == []


def test_a_line_that_bends_branches_or_is_closed_is_not_a_straight_line():
    turns = ((0.0, 0.0), (50.0, 0.0), (50.0, 50.0))
    assert lines_of(turns) == ([], [turns])
    stem, branch = ((0.0, 0.0), (50.0, 0.0)), ((50.0, 0.0), (90.0, 0.0))
    assert lines_of(stem, branch, branch) == ([], [stem, branch, branch])
    assert lines_of((*SQUARE, SQUARE[0])) == ([], [SQUARE])
    back = ((0.0, 0.0), (50.0, 0.0), (20.0, 0.2))
    assert lines_of(back) == ([], [back])


def test_a_line_beside_others_stays_a_line():
    slit = ((10.0, 10.0), (40.0, 12.0))
    lines, others = lines_of(slit, (*SQUARE, SQUARE[0]), ((60.0, 60.0), (70.0, 60.0)))
    assert lines == [sorted(slit), [(60.0, 60.0), (70.0, 60.0)]]
    assert others == [SQUARE]
