"""Compaction pushes pieces together and removes small overlaps."""

from itertools import accumulate, count

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from layout_rules import broken_rules
from strategies import box, convex_outlines, from_origin, problems

from nesting.geometry.outline import Outline
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing import compaction
from nesting.packing.compaction import compact
from nesting.packing.construction import BottomLeft
from nesting.packing.stage import Arrangement, Stage

TRIANGLE = Outline(((0, 0), (1_000, 0), (0, 1_000)))
OTHER_HALF = Outline(((1_000, 0), (1_000, 1_000), (0, 1_000)))


def stage_of(*outlines, width, gap=0):
    shapes = tuple(Shape(outline, (0,)) for outline in outlines)
    return Stage(Problem(width, shapes, tuple(map(Piece, range(len(outlines)))), gap))


def lying(stage, *places):
    """An arrangement of every piece in its first pose, at (x, y)."""
    x, y = zip(*places, strict=True)
    poses = np.array([choice[0] for choice in stage.choices], dtype=np.int64)
    return Arrangement(poses, np.array(x, dtype=np.int64), np.array(y, dtype=np.int64))


def after(rounds):
    """A function that says the time is over after a number of rounds."""
    asked = count()
    return lambda: next(asked) >= rounds


@st.composite
def filled(draw, gaps=(0, 0, 30)):
    """A stage and a valid arrangement on it."""
    stage = Stage(draw(problems(most=6, reach=2_000, gaps=gaps)))
    order = draw(st.permutations(range(len(stage.choices))))
    return stage, BottomLeft(stage).fill(order)


@given(filled(), st.integers(1, 500))
@settings(deadline=None, max_examples=80)
def test_compaction_of_a_valid_lay_is_valid_and_never_longer(lay, trust):
    stage, start = lay
    closer = compact(stage, start, trust)
    assert stage.is_valid(closer)
    assert broken_rules(stage.layout(closer)) == []
    assert stage.used_length(closer) <= stage.used_length(start)


@given(filled(), st.data())
@settings(deadline=None, max_examples=80)
def test_pieces_pushed_a_little_into_each_other_come_out_valid_or_not_at_all(lay, data):
    stage, start = lay
    push = st.integers(-20, 20)
    moved = [data.draw(st.tuples(push, push)) for _ in start.pose]
    dx, dy = (np.array(axis, dtype=np.int64) for axis in zip(*moved, strict=True))
    closer = compact(stage, Arrangement(start.pose, start.x + dx, start.y + dy), 100)
    if closer is not None:
        assert stage.is_valid(closer)
        assert broken_rules(stage.layout(closer)) == []


@given(
    st.lists(convex_outlines(2_000).map(from_origin), min_size=2, max_size=5), st.integers(1, 20)
)
@settings(deadline=None, max_examples=60)
def test_a_row_pushed_into_each_other_comes_apart(row, overlap):
    # Each box reaches a little into the one before. Any two of them are nearer to
    # being apart along the strip than across it, and along it there is endless room.
    assume(all(min(one.length, one.height) > 300 for one in row))
    stage = stage_of(*row, width=max(one.height for one in row))
    places = accumulate((one.length - overlap for one in row[:-1]), initial=0)
    pushed = lying(stage, *((x, 0) for x in places))
    closer = compact(stage, pushed, 300)
    assert stage.is_valid(closer)
    assert broken_rules(stage.layout(closer)) == []


@given(filled(), st.integers(1, 300))
@settings(deadline=None, max_examples=40)
def test_poses_stay_as_they_are(lay, trust):
    stage, start = lay
    assert compact(stage, start, trust).pose.tolist() == start.pose.tolist()


@given(filled())
@settings(deadline=None, max_examples=30)
def test_the_same_lay_is_compacted_to_the_same(lay):
    stage, start = lay
    one, two = compact(stage, start, 200), compact(stage, start, 200)
    assert (one.x.tolist(), one.y.tolist()) == (two.x.tolist(), two.y.tolist())


def test_loose_rectangles_close_up_to_the_last_unit():
    stage = stage_of(box(700, 400), box(500, 400), box(300, 400), width=400)
    closer = compact(stage, lying(stage, (13, 0), (801, 0), (1_407, 0)), 200)
    assert stage.used_length(closer) == 1_500


def test_rectangles_with_a_gap_close_up_to_it():
    stage = stage_of(box(700, 400), box(500, 400), width=400, gap=30)
    assert stage.used_length(compact(stage, lying(stage, (0, 0), (900, 0)), 300)) == 1_230


def test_a_slope_slides_along_a_slope():
    # Two halves of a square, 100 units apart along the strip; aslant, rounding may cost two units.
    stage = stage_of(TRIANGLE, OTHER_HALF, width=1_000)
    closer = compact(stage, lying(stage, (0, 0), (100, 0)), 200)
    assert 1_000 <= stage.used_length(closer) <= 1_002


def test_a_piece_moves_no_farther_in_one_round_than_it_is_trusted_to():
    stage = stage_of(box(100, 100), width=100)
    once = compact(stage, lying(stage, (1_000, 0)), 40, after(1))
    assert stage.used_length(once) == 1_060


def test_a_rounding_on_a_slope_never_lengthens_a_tight_lay():
    # Touching along two slopes, end to end: rounded apart it would be a unit longer.
    left, right = Outline(((0, 0), (100, 0), (33, 100))), Outline(((67, 0), (67, 100), (0, 100)))
    stage = stage_of(left, right, width=100)
    tight = lying(stage, (0, 0), (33, 0))
    assert stage.is_valid(tight)
    assert stage.used_length(compact(stage, tight, 10)) == 100


@pytest.mark.parametrize("trust", [10, 100])
def test_what_cannot_come_apart_is_not_called_an_arrangement(trust):
    # One on top of the other, on a strip as wide as both, farther in than they may move.
    stage = stage_of(box(1_000, 400), box(1_000, 400), width=400)
    assert compact(stage, lying(stage, (0, 0), (0, 0)), trust, after(1)) is None


def test_it_ends_between_rounds_when_the_time_is_over():
    stage = stage_of(box(100, 100), width=100)
    start = lying(stage, (1_000, 0))
    assert compact(stage, start, 40, after(2)).x.tolist() == [1_000 - 2 * 40]
    assert compact(stage, start, 40, after(0)) is start


def test_what_stays_stuck_is_given_up_after_three_rounds(monkeypatch):
    stage = stage_of(box(1_000, 400), box(1_000, 400), width=400)
    solved = []

    def counted(stage, pose, x, y, trust):
        solved.append(trust)
        return x, y, 500.0

    monkeypatch.setattr(compaction, "_solve", counted)
    assert compact(stage, lying(stage, (0, 0), (500, 0)), 1) is None
    assert len(solved) == 3
