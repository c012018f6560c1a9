"""Windows of the CP-SAT model: what they may change and what they must leave."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from layout_rules import broken_rules
from strategies import box, outlines, problems

from nesting.geometry.contact import Parts, contact
from nesting.geometry.decomposition import convex_parts
from nesting.geometry.outline import Outline
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.construction import BottomLeft
from nesting.packing.cpsat.freedom import Window, everywhere
from nesting.packing.cpsat.outlines import OutlineModel, undecided
from nesting.packing.cpsat.windows import HALF_PLANES
from nesting.packing.running import uninterrupted
from nesting.packing.stage import Arrangement, Stage

#: Deterministic time; most windows of a few small pieces need a tenth of it.
WORK = 0.2


@st.composite
def windows(draw):
    """A stage, a valid arrangement on it, and some window around it."""
    stage = Stage(draw(problems(most=5, reach=12, gaps=(0, 0, 3))))
    pieces = range(len(stage.choices))
    start = BottomLeft(stage).fill(draw(st.permutations(pieces)))
    free = draw(st.sets(st.sampled_from(pieces), max_size=3))
    sliding = draw(st.sets(st.sampled_from(pieces), max_size=3)) - free
    length = stage.used_length(start)
    begin = draw(st.integers(0, length))
    window = Window(
        tuple(sorted(free)),
        tuple(sorted(sliding)),
        begin,
        draw(st.integers(begin, length)),
        draw(st.integers(0, 6)),
    )
    return stage, start, window


def lying(poses, xs, ys):
    return Arrangement(*(np.array(values, dtype=np.int64) for values in (poses, xs, ys)))


def solved(stage, start, window, half_planes=HALF_PLANES):
    return solved_with(stage, start, window.freedoms(stage, start), half_planes)


def solved_with(stage, start, freedoms, half_planes):
    model = OutlineModel(stage, start, freedoms, half_planes)
    model.push_together()
    return model.solve(WORK, math.inf, uninterrupted)


@given(windows(), st.sampled_from([None, 1, 3, HALF_PLANES]))
@settings(deadline=None, max_examples=45)
def test_a_window_never_makes_an_overlap_and_never_lengthens(window, half_planes):
    stage, start, _ = window
    answer = solved(*window, half_planes)
    assume(answer.arrangement is not None)  # out of work before anything was found
    assert stage.is_valid(answer.arrangement)
    assert broken_rules(stage.layout(answer.arrangement)) == []
    assert stage.used_length(answer.arrangement) <= stage.used_length(start)


@given(windows())
@settings(deadline=None, max_examples=30)
def test_what_is_not_in_the_window_stands_still_and_what_slides_keeps_its_pose(window):
    stage, start, asked = window
    after = solved(stage, start, asked).arrangement
    assume(after is not None)
    for i in range(len(start.pose)):
        moved_by = abs(after.x[i] - start.x[i]), abs(after.y[i] - start.y[i])
        if i in asked.free:
            assert after.pose[i] in stage.choices[i]
            assert min(asked.start, start.x[i]) <= after.x[i]
            end = max(asked.end, start.x[i] + max(stage.length[list(stage.choices[i])]))
            assert after.x[i] + stage.length[after.pose[i]] <= end
        else:
            assert after.pose[i] == start.pose[i]
            assert max(moved_by) <= (asked.slide if i in asked.sliding else 0)


@given(windows())
@settings(deadline=None, max_examples=12)
def test_the_same_window_gives_the_same_answer(window):
    one, two = solved(*window).arrangement, solved(*window).arrangement
    assume(one is not None)
    assert [one.pose.tolist(), one.x.tolist(), one.y.tolist()] == [
        two.pose.tolist(),
        two.x.tolist(),
        two.y.tolist(),
    ]


@given(outlines(), outlines(), *[st.tuples(st.integers(-20, 20), st.integers(0, 6))] * 2)
@settings(deadline=None, max_examples=60)
def test_groups_that_a_range_of_offsets_settles_are_free_all_over_it(first, second, xs, ys):
    rings = convex_parts(first), convex_parts(second)
    both = contact(*map(Parts, rings))
    pairs = [(p, q) for p in rings[0] for q in rings[1]]
    kept = undecided(both, (xs[0], sum(xs)), (ys[0], sum(ys)))
    for (p, q), group in zip(pairs, both.groups(), strict=True):
        if group not in kept:
            alone = contact(Parts([p]), Parts([q]))
            assert all(alone.free(x, y) for x in range(*_ends(xs)) for y in range(*_ends(ys)))


def _ends(span):
    return span[0], sum(span) + 1


def test_a_free_piece_turns_when_that_shortens_the_strip():
    # 4 x 2 lies behind 4 x 4 on a strip of 5; upright it stands there and saves 2.
    shapes = (Shape(box(4, 4), (0,)), Shape(box(4, 2), (0, 90)))
    stage = Stage(Problem(5, shapes, (Piece(0), Piece(1))))
    start = lying([0, 1], [0, 4], [0, 0])
    after = solved(stage, start, Window((1,), (), 0, 8, 0)).arrangement
    assert stage.used_length(after) == 6
    assert stage.layout(after).placements[1].turn == 90


@pytest.mark.parametrize(("slide", "length"), [(0, 8), (1, 4)])
def test_neighbours_that_slide_make_room(slide, length):
    # Squares at 0 to 4 and 5 to 9 of a strip of 11: 4 x 3 fits beside them once 5 becomes 4.
    shapes = (Shape(box(4, 4), (0,)), Shape(box(4, 3), (0,)))
    stage = Stage(Problem(11, shapes, (Piece(0), Piece(0), Piece(1))))
    start = lying([0, 0, 1], [0, 0, 4], [0, 5, 0])
    after = solved(stage, start, Window((2,), (1,), 0, 8, slide)).arrangement
    assert stage.used_length(after) == length


@pytest.mark.parametrize("turns", [(0,), (0, 180)])
def test_two_halves_of_a_rectangle_come_together(turns):
    # Right triangles of 8 x 4 side by side; turned end for end, two make one rectangle.
    half = Outline(((0, 0), (8, 0), (0, 4)))
    stage = Stage(Problem(4, (Shape(half, turns),), (Piece(0), Piece(0))))
    start = lying([0, 0], [0, 8], [0, 0])
    after = solved_with(stage, start, everywhere(stage, start), None).arrangement
    assert stage.used_length(after) == (8 if 180 in turns else 16)


def test_a_bundle_turns_together_or_not_at_all():
    half = Outline(((0, 0), (8, 0), (0, 4)))
    stage = Stage(Problem(4, (Shape(half, (0, 180)),), (Piece(0, 1), Piece(0, 1))))
    start = lying([0, 0], [0, 8], [0, 0])
    after = solved_with(stage, start, everywhere(stage, start), None).arrangement
    assert stage.used_length(after) == 16


def test_a_window_ends_when_it_is_told_to():
    # Nothing else ends it: 16 odd squares with unlimited work and time.
    sides = range(11, 43, 2)
    shapes = tuple(Shape(box(100 * s + 1, 100 * s), (0,)) for s in sides)
    stage = Stage(Problem(9_700, shapes, tuple(map(Piece, range(16)))))
    start = BottomLeft(stage).fill(range(16))
    asked = []

    def over():
        asked.append(None)
        return len(asked) > 2

    model = OutlineModel(stage, start, everywhere(stage, start), None)
    model.push_together()
    answer = model.solve(math.inf, math.inf, over)
    assert answer.arrangement is None or stage.is_valid(answer.arrangement)
    assert len(asked) > 2
