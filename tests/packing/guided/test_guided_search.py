"""The guided search: overlaps during the search, valid lays as its results."""

import math
from dataclasses import replace

import numpy as np
import plain
from hypothesis import given, settings
from hypothesis import strategies as st
from layout_rules import broken_rules
from strategies import QUARTERS, problems

from nesting.geometry.outline import Outline
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.compaction import compact
from nesting.packing.construction import BottomLeft
from nesting.packing.guided import search
from nesting.packing.guided.kernels import Crowd, Q
from nesting.packing.guided.prices import POWERS
from nesting.packing.guided.search import GuidedSearch
from nesting.packing.guided.tables import Tables
from nesting.packing.running import uninterrupted
from nesting.packing.stage import Arrangement, Stage
from nesting.units import MM

HALF = Outline(((0, 0), (80 * MM, 0), (0, 40 * MM)))


def searched(stage, start, times, seed=0, over=uninterrupted):
    """The lay after some attempts, each of which is checked with another library."""
    guided, best = GuidedSearch(stage, seed, over), start
    for _ in range(times):
        found, proved = guided.attempt(best, 0, math.inf)
        assert proved == 0
        if found is not None:
            assert stage.is_valid(found)
            assert broken_rules(stage.layout(found)) == []
            assert stage.used_length(found) < stage.used_length(best)
            best = found
    return best


def in_file(stage):
    """Identical pieces as they were drawn, one behind the other."""
    n = len(stage.choices)
    nothing = np.zeros(n, dtype=np.int64)
    return Arrangement(nothing, stage.length[0] * np.arange(n), nothing)


def first(stage):
    return BottomLeft(stage).fill(range(len(stage.choices)))


def places(arrangement):
    return arrangement.pose.tolist(), arrangement.x.tolist(), arrangement.y.tolist()


@given(problems(most=8, reach=2_000, gaps=(0, 0, 30)), st.integers(0, 99))
@settings(deadline=None, max_examples=15)
def test_whatever_it_finds_is_valid_and_shorter(problem, seed):
    stage = Stage(problem)
    searched(stage, first(stage), 3, seed)


def test_it_turns_pieces_to_fit_each_other():
    # Four triangles in a row take 320 mm; turned end for end in pairs, at least 160 mm.
    stage = Stage(Problem(40 * MM, (Shape(HALF, (0, 180)),), (Piece(0),) * 4))
    after = searched(stage, in_file(stage), 60)
    assert 160 * MM <= stage.used_length(after) <= 165 * MM


def test_pieces_of_one_bundle_go_on_pointing_the_same_way():
    stage = Stage(
        Problem(120 * MM, (Shape(HALF, (0, 180)),), (Piece(0, 1),) * 3 + (Piece(0, 2),) * 3)
    )
    after = searched(stage, in_file(stage), 30)
    turns = [place.turn for place in stage.layout(after).placements]
    assert len(set(turns[:3])) == len(set(turns[3:])) == 1
    assert 80 * MM <= stage.used_length(after) <= 100 * MM


@given(st.data(), st.integers(0, 99))
@settings(deadline=None, max_examples=15)
def test_bundles_of_pieces_that_turn_unlike_each_other_are_searched_too(data, seed):
    problem = data.draw(problems(most=6, reach=2_000, turns=(0,)))
    turns = st.sampled_from([(180,), (0, 180), (90, 180), QUARTERS])
    shapes = tuple(replace(shape, turns=data.draw(turns)) for shape in problem.shapes)
    pieces = tuple(replace(piece, bundle=k % 2) for k, piece in enumerate(problem.pieces))
    stage = Stage(replace(problem, shapes=shapes, pieces=pieces))
    guided, best = GuidedSearch(stage, seed, uninterrupted), first(stage)
    guided.failures = 1
    for _ in range(6):
        best = guided.attempt(best, 0, math.inf).arrangement or best
        assert broken_rules(stage.layout(best)) == []


def test_the_same_seed_searches_the_same():
    stage = Stage(Problem(100 * MM, (Shape(HALF, (0, 180)),), (Piece(0),) * 7))
    one, two = (searched(stage, first(stage), 12, seed=4) for _ in "ab")
    assert places(one) == places(two)


def test_only_what_lies_no_deeper_than_compaction_reaches_is_handed_to_it(monkeypatch):
    handed = []

    def noting(stage, start, trust, over):
        handed.append(start)
        return compact(stage, start, trust, over)

    monkeypatch.setattr(search, "compact", noting)
    stage = Stage(Problem(100 * MM, (Shape(HALF, (0, 180)),), (Piece(0),) * 60))
    searched(stage, first(stage), 12)
    tables = Tables(stage)
    assert len(handed) > 5
    for start in handed:
        x, y = (at * Q // tables.pitch for at in (start.x, start.y))
        deepest = plain.overlaps(tables, Crowd(start.pose, x, y, None)).max()
        assert deepest <= search.TRUST ** (1 / min(POWERS)) + 0.5  # cells; rounding moves them


def test_a_late_attempt_that_comes_back_to_its_beginning_is_given_up():
    # Two squares side by side cannot be shortened: closed up, they come apart again.
    square = Outline(((0, 0), (50 * MM, 0), (50 * MM, 50 * MM), (0, 50 * MM)))
    stage = Stage(Problem(50 * MM, (Shape(square, (0,)),), (Piece(0),) * 2))
    passes = {}
    for failures in (search.PERSISTENT, search.PERSISTENT + 1):
        guided = GuidedSearch(stage, 0, uninterrupted)
        guided.failures, guided.step = failures, search.LEAST_STEP
        taken = []
        guided.prices.note = lambda gain, count, taken=taken: taken.append((gain, count))
        assert guided.attempt(in_file(stage), 0, math.inf) == (None, 0)
        [(gain, passes[failures])] = taken
        assert gain == 0
    assert passes[search.PERSISTENT + 1] < search.PATIENCE / 10
    assert passes[search.PERSISTENT] >= search.PATIENCE


@given(problems(most=8, reach=2_000, gaps=(0, 0, 30)), st.integers(0, 99))
@settings(deadline=None, max_examples=15)
def test_what_it_separates_is_valid_and_near_the_length_asked(problem, seed):
    stage = Stage(problem)
    start = first(stage)
    heap = Arrangement(start.pose, start.x // 2, start.y // 2)
    length = 2 * stage.used_length(start)
    found = GuidedSearch(stage, seed, uninterrupted).separated(heap, length)
    assert found is not None
    assert broken_rules(stage.layout(found)) == []
    assert stage.used_length(found) <= 1.02 * length


def test_it_gives_up_at_once_when_the_time_is_over():
    stage = Stage(Problem(100 * MM, (Shape(HALF, (0, 180)),), (Piece(0),) * 7))
    asked = []

    def over():
        asked.append(None)
        return True

    searched(stage, first(stage), 5, over=over)
    assert len(asked) <= 5
