"""Bodies that lie still: every engine keeps clear of them, and their place counts."""

import math
import pickle
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from layout_rules import GROWING, broken_rules, polygons, used_length
from strategies import arrangements, box, problems, with_bodies
from tiny_optima import shortest_length

from nesting.geometry.outline import Outline
from nesting.geometry.transforms import shifted
from nesting.layouts.layout import Layout, Placement
from nesting.layouts.problem import Body, Piece, Problem, Shape
from nesting.packing.bounds import lower_bound
from nesting.packing.compaction import compact
from nesting.packing.cpsat.windows import OutlineWindows
from nesting.packing.guided.restarts import Restarts
from nesting.packing.guided.search import GuidedSearch
from nesting.packing.running import Limits, NoLayoutError, uninterrupted
from nesting.packing.solver import first_layout, solve
from nesting.packing.stage import Arrangement, Stage
from nesting.units import CM, MM

HALF = Outline(((0, 0), (30 * CM, 0), (0, 20 * CM)))
ARROW = Outline(
    ((0, 0), (25 * CM, 0), (40 * CM, 10 * CM), (25 * CM, 20 * CM), (0, 20 * CM), (15 * CM, 10 * CM))
)

clearances = st.sampled_from([(0,), (0, 3), (7,)])


def at(outline, x, y):
    """The outline moved by (x, y)."""
    return Outline(shifted(outline.points, x, y))


def boxed(x0, y0, x1, y1):
    return at(box(x1 - x0, y1 - y0), x0, y0)


def steps(number):
    return Limits(seconds=None, steps=number)


@st.composite
def spoiled(draw, most=6, reach=12, gaps=(0, 0, 3), along=40):
    """A problem with bodies."""
    problem = draw(problems(most=most, reach=reach, gaps=gaps))
    return draw(with_bodies(problem, reach, draw(clearances), along=along))


def flawed(gap=0, clearance=0):
    """Nine outlines on a strip with ten flaws of a few kinds, one of them at an edge."""
    flaws = [at(box((3 + k % 3) * CM, 4 * CM), 17 * k * CM, 31 * k % 70 * CM) for k in range(9)]
    flaws.append(at(ARROW, 60 * CM, 55 * CM))
    shapes = Shape(HALF, (0, 180)), Shape(ARROW, (0, 180)), Shape(box(23 * CM, 17 * CM), (0, 90))
    pieces = tuple(Piece(k, 1 if k == 1 else None) for k in (0, 0, 0, 1, 1, 1, 2, 2, 2))
    bodies = tuple(Body(each, clearance) for each in flaws)
    return Problem(71 * CM, shapes, pieces, gap, bodies)


# --- What is valid ------------------------------------------------------------------------


@given(st.data())
@settings(deadline=None, max_examples=100)
def test_an_arrangement_is_valid_just_when_it_breaks_no_rule(data):
    problem = data.draw(problems(most=3))
    length = data.draw(st.sampled_from([None, 20, 40]))
    problem = replace(data.draw(with_bodies(problem)), length=length)
    stage = Stage(problem)
    arrangement = data.draw(arrangements(stage, 30))
    layout = stage.layout(arrangement)
    assert stage.is_valid(arrangement) == (not broken_rules(layout))
    assert layout.used_length == used_length(layout) == stage.used_length(arrangement)


@given(st.data())
@settings(deadline=None, max_examples=100)
def test_with_gaps_and_clearances_what_is_valid_keeps_them(data):
    problem = data.draw(problems(most=3, gaps=(0, 3, 8)))
    stage = Stage(data.draw(with_bodies(problem, clearances=(0, 2, 9), along=90)))
    arrangement = data.draw(arrangements(stage, 90))
    if stage.is_valid(arrangement):
        assert broken_rules(stage.layout(arrangement)) == []


@pytest.mark.parametrize(("clearance", "gap"), [(0, 0), (0, 6), (5, 0), (5, 6), (9, 6)])
def test_a_piece_lies_at_just_the_clearance_of_a_body_whatever_the_gap(clearance, gap):
    problem = Problem(50, (Shape(box(10, 10), (0,)),), (Piece(0),), gap)
    stage = Stage(replace(problem, bodies=(Body(boxed(30, 20, 40, 30), clearance),)))

    def lies(x, y):
        return stage.is_valid(Arrangement(*np.array([[0], [x], [y]])))

    for x, y, dx, dy in (
        (20 - clearance, 20, 1, 0),
        (40 + clearance, 20, -1, 0),
        (30, 10 - clearance, 0, 1),
        (30, 30 + clearance, 0, -1),
    ):
        assert lies(x, y)
        assert not lies(x + dx, y + dy)


def test_pieces_keep_their_gap_among_themselves_beside_a_body():
    problem = Problem(50, (Shape(box(10, 10), (0,)),), (Piece(0),) * 2, 6, (Body(box(10, 50)),))
    stage = Stage(problem)
    for y, valid in ((16, True), (15, False)):
        assert stage.is_valid(Arrangement(*np.array([[0, 0], [10, 10], [0, y]]))) is valid


@given(st.data())
@settings(deadline=None, max_examples=60)
def test_bodies_are_clear_at_their_clearance_to_a_hundredth_and_never_nearer(data):
    stage = Stage(data.draw(spoiled(most=1, reach=40, gaps=(0, 7), along=80)))
    arrangement = data.draw(arrangements(stage, 120))
    (lying,), (piece,) = polygons(stage.layout(arrangement)), stage.problem.pieces
    for body in stage.problem.bodies:
        if piece.shape not in body.open_to:
            alone = Stage(replace(stage.problem, bodies=(body,)))
            apart = lying.distance(_polygon(body))
            if alone.is_valid(arrangement):
                assert apart >= body.clearance - GROWING
            else:  # mitred corners reach twice the clearance; rounding outward, two units
                assert apart <= 2 * body.clearance + 2


def _polygon(body):
    (there,) = polygons(
        Layout(
            Problem(1, (Shape(body.outline, (0,)),), (Piece(0),)),
            (Placement(0, *body.outline.bounds[:2]),),
        )
    )
    return there


# --- Every engine -------------------------------------------------------------------------


@given(spoiled())
@settings(deadline=None, max_examples=60)
def test_the_first_layout_is_lawful(problem):
    stage = Stage(problem)
    layout = stage.layout(first_layout(stage))
    assert broken_rules(layout) == []
    assert lower_bound(problem) <= layout.used_length


@given(spoiled(reach=3_000, along=9_000))
@settings(deadline=None, max_examples=40)
def test_on_a_wide_strip_bodies_lie_between_the_columns_of_the_first_layout(problem):
    stage = Stage(problem)
    assert broken_rules(stage.layout(first_layout(stage))) == []


@given(spoiled(reach=2_000, along=6_000), st.integers(1, 500))
@settings(deadline=None, max_examples=40)
def test_compaction_keeps_clear_and_is_never_longer(problem, trust):
    stage = Stage(problem)
    start = first_layout(stage)
    closer = compact(stage, start, trust)
    assert broken_rules(stage.layout(closer)) == []
    assert stage.used_length(closer) <= stage.used_length(start)


def test_compaction_pushes_a_piece_against_a_body_and_a_little_overlap_out_of_it():
    square = Shape(box(300, 400), (0,))
    stage = Stage(Problem(400, (square,), (Piece(0),), bodies=(Body(box(100, 400)),)))
    for x in (90, 150):
        closer = compact(stage, Arrangement(*np.array([[0], [x], [0]])), 100)
        assert closer.x.tolist() == [100]


@given(spoiled(reach=2_000, along=6_000), st.integers(0, 99))
@settings(deadline=None, max_examples=15)
def test_whatever_the_guided_search_finds_is_lawful_and_shorter(problem, seed):
    stage = Stage(problem)
    guided, best = GuidedSearch(stage, seed, uninterrupted), first_layout(stage)
    for _ in range(4):
        found = guided.attempt(best, 0, math.inf).arrangement
        if found is not None:
            assert broken_rules(stage.layout(found)) == []
            assert stage.used_length(found) < stage.used_length(best)
            best = found


@given(spoiled(reach=500, along=1_500), st.integers(0, 99))
@settings(deadline=None, max_examples=8)
def test_other_starts_are_lawful_too(problem, seed):
    stage = Stage(problem)
    engine, best = Restarts(stage, seed, uninterrupted), first_layout(stage)
    engine.patience = 2
    for _ in range(8):
        found = engine.attempt(best, 0, math.inf).arrangement
        for lay in filter(None, (found, engine.own)):
            assert broken_rules(stage.layout(lay)) == []


@given(spoiled(most=8, reach=500, along=1_500), st.integers(0, 99))
@settings(deadline=None, max_examples=5)
def test_windows_are_lawful_and_no_longer(problem, seed):
    stage = Stage(problem)
    engine, best = OutlineWindows(stage, seed, uninterrupted), first_layout(stage)
    for _ in range(2):
        found = engine.attempt(best, 0, math.inf).arrangement
        if found is not None:
            assert broken_rules(stage.layout(found)) == []
            assert stage.used_length(found) <= stage.used_length(best)


@given(spoiled(most=6, reach=400, along=1_200), st.integers(0, 9))
@settings(deadline=None, max_examples=6)
def test_every_solution_is_lawful_and_no_shorter_than_its_bound(problem, seed):
    solution = solve(problem, steps(3), seed=seed)
    assert broken_rules(solution.layout) == []
    assert solution.lower_bound <= solution.layout.used_length


@pytest.mark.parametrize(("gap", "clearance"), [(0, 0), (300, 0), (300, 1_000)])
def test_a_search_among_flaws_shortens_the_first_layout_and_repeats_itself(gap, clearance):
    problem = flawed(gap, clearance)
    one, two = (solve(problem, steps(12), seed=3) for _ in "ab")
    assert broken_rules(one.layout) == []
    assert one.layout == two.layout
    assert one.layout.used_length < Stage(problem).used_length(first_layout(Stage(problem)))


def test_other_processes_keep_clear_of_bodies_too():
    solution = solve(flawed(), steps(4), workers=2)
    assert broken_rules(solution.layout) == []
    assert pickle.loads(pickle.dumps(flawed())) == flawed()


# --- As short as possible -----------------------------------------------------------------


@given(st.data())
@settings(deadline=None, max_examples=25)
def test_two_or_three_small_outlines_among_bodies_are_as_short_as_the_grid_allows(data):
    problem = data.draw(problems(most=3, reach=4, turns=(0, 180)))
    problem = data.draw(with_bodies(problem, reach=4, most=3, along=12))
    solution = solve(problem, steps(16))
    assert broken_rules(solution.layout) == []
    assert solution.proved_optimal
    assert solution.layout.used_length == solution.lower_bound == shortest_length(problem)


@given(st.data())
@settings(deadline=None, max_examples=25)
def test_small_rectangles_among_bodies_are_as_short_as_the_grid_allows(data):
    width = data.draw(st.integers(3, 5))
    side = st.integers(1, 3)
    kinds = data.draw(st.lists(st.tuples(side, side), min_size=1, max_size=3))
    shapes = tuple(Shape(box(*kind), (0, 90)) for kind in kinds)
    problem = Problem(width, shapes, tuple(map(Piece, range(len(kinds)))))
    problem = data.draw(with_bodies(problem, reach=3, most=3, along=8))
    solution = solve(problem, steps(16))
    assert solution.proved_optimal
    assert solution.layout.used_length == shortest_length(problem)


@pytest.mark.parametrize("shape", [box(40, 30), Outline(((0, 0), (40, 0), (40, 30), (1, 30)))])
def test_a_body_in_the_middle_of_the_strip_makes_a_longer_lay(shape):
    # Two fit side by side on 60; with a spot in the middle of the strip one lies beyond it.
    problem = Problem(60, (Shape(shape, (0,)),), (Piece(0),) * 2)
    assert solve(problem, steps(8)).layout.used_length == 40
    spot = Body(boxed(20, 28, 24, 32))
    spotted = solve(replace(problem, bodies=(spot,)), steps(8)).layout
    assert broken_rules(spotted) == []
    assert spotted.used_length > 40


def test_what_may_lie_over_a_body_does_and_nothing_else():
    shapes = Shape(box(40, 60), (0,)), Shape(box(30, 60), (0,))
    problem = Problem(60, shapes, (Piece(0), Piece(1)))
    body = Body(boxed(5, 5, 25, 55))
    for open_to, length in ((frozenset(), 95), ({0}, 70), ({1}, 70), ({0, 1}, 70)):
        flaw = replace(body, open_to=frozenset(open_to))
        solution = solve(replace(problem, bodies=(flaw,)), steps(8))
        assert broken_rules(solution.layout) == []
        assert (solution.layout.used_length, solution.proved_optimal) == (length, True)


def test_a_wall_between_two_pieces_of_cloth_is_passed_by_whole_pieces():
    # The first piece of cloth is 100 long and takes two of 45, the second takes the third.
    wall = Body(boxed(100, -10, 101, 60))
    problem = Problem(50, (Shape(box(45, 50), (0,)),), (Piece(0),) * 3, bodies=(wall,))
    solution = solve(problem, steps(8))
    assert solution.layout.used_length == 146
    assert solution.proved_optimal


def test_the_place_of_a_lay_counts_only_where_a_body_lies():
    problem = Problem(10, (Shape(box(5, 5), (0,)),), (Piece(0),))
    placed = (Placement(0, 7, 0),)
    assert (Layout(problem, placed).start, Layout(problem, placed).used_length) == (7, 5)
    anchored = Layout(replace(problem, bodies=(Body(box(2, 2)),)), placed)
    assert (anchored.start, anchored.used_length) == (0, 12)


# --- Cloth with an end --------------------------------------------------------------------


@given(st.data())
@settings(deadline=None, max_examples=25)
def test_on_cloth_with_an_end_a_lay_keeps_within_it_or_there_is_none(data):
    problem = data.draw(problems(most=3, reach=4, turns=(0, 180)))
    if data.draw(st.booleans()):
        problem = data.draw(with_bodies(problem, reach=4, most=3, along=12))
    problem = replace(problem, length=data.draw(st.integers(1, 14)))
    best = shortest_length(problem)
    if best is None:
        with pytest.raises(NoLayoutError) as none:
            solve(problem, steps(16))
        assert none.value.proved
        assert none.value.lower_bound > problem.length
    else:
        solution = solve(problem, steps(16))
        assert broken_rules(solution.layout) == []
        assert solution.layout.used_length == best


def test_who_finds_no_lay_in_time_is_told_that_it_is_not_proved():
    # By area the pieces would fit, but not with the flaws; no search has begun.
    problem = replace(flawed(), length=70 * CM)
    with pytest.raises(NoLayoutError, match="no layout was found on a strip 70000 long") as none:
        solve(problem, steps(0))
    assert not none.value.proved
    assert none.value.layout.used_length > 70 * CM
    again = pickle.loads(pickle.dumps(none.value))
    assert str(again) == str(none.value)


def test_what_is_longer_than_the_cloth_is_refused_with_proof_and_at_once():
    long = Problem(50 * MM, (Shape(box(90 * MM, 20 * MM), (0,)),), (Piece(0),), length=80 * MM)
    with pytest.raises(NoLayoutError, match="there is no layout") as none:
        solve(long, Limits(seconds=3_600.0))
    assert none.value.proved


def test_a_search_goes_on_until_the_lay_keeps_within_the_cloth():
    problem = flawed()
    reached = solve(problem, steps(40), seed=1).layout.used_length
    first = Stage(problem).used_length(first_layout(Stage(problem)))
    assert reached < first
    finite = solve(replace(problem, length=(reached + first) // 2), steps(40), seed=1)
    assert broken_rules(finite.layout) == []
