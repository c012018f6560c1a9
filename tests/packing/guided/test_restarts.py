"""Restarts when the search stalls."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from layout_rules import broken_rules
from strategies import problems

from nesting.geometry.outline import Outline
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.construction import BottomLeft
from nesting.packing.guided import restarts
from nesting.packing.guided.restarts import STALLED, Restarts
from nesting.packing.running import uninterrupted
from nesting.packing.stage import Stage
from nesting.units import MM

HALF = Outline(((0, 0), (80 * MM, 0), (0, 40 * MM)))
SQUARE = Outline(((0, 0), (50 * MM, 0), (50 * MM, 50 * MM), (0, 50 * MM)))


def soon_stalled(stage, seed, over):
    """Restarts that wait for three failures, however many pieces there are."""
    engine = Restarts(stage, seed, over)
    engine.patience = 3
    return engine


def mixed():
    shapes = Shape(HALF, (0, 180)), Shape(SQUARE, (0,))
    return Stage(Problem(100 * MM, shapes, (Piece(0),) * 5 + (Piece(1),) * 4))


def first(stage):
    return BottomLeft(stage).fill(range(len(stage.choices)))


def starts(engine, best, times, outcomes=None):
    """The lay that each attempt starts from; ``outcomes`` replace what the search finds."""
    seen = []
    attempt = engine.search.attempt

    def noting(start, bound, seconds):
        seen.append(start)
        return (outcomes.pop(0), 0) if outcomes else attempt(start, bound, seconds)

    engine.search.attempt = noting
    for _ in range(times):
        engine.attempt(best, 0, math.inf)
    return seen


@given(problems(most=6, reach=500, gaps=(0, 0, 30)), st.integers(0, 99))
@settings(deadline=None, max_examples=10)
def test_whatever_it_finds_and_starts_from_is_valid(problem, seed):
    stage = Stage(problem)
    engine, best = soon_stalled(stage, seed, uninterrupted), first(stage)
    for _ in range(12):
        found, proved = engine.attempt(best, 0, math.inf)
        assert proved == 0
        for lay in filter(None, (found, engine.own)):
            assert stage.is_valid(lay)
            assert broken_rules(stage.layout(lay)) == []


def test_after_some_failures_it_starts_from_another_lay_and_after_as_many_comes_back():
    stage = mixed()
    best = first(stage)
    engine = soon_stalled(stage, 0, uninterrupted)
    seen = starts(engine, best, 9, [None] * 9)
    assert [lay is best for lay in seen] == [True] * 3 + [False] * 3 + [True] * 3
    assert seen[3] is seen[4] is seen[5]
    assert sorted(zip(seen[3].x, seen[3].y, strict=True)) != sorted(
        zip(best.x, best.y, strict=True)
    )


def test_another_start_exchanges_pieces_within_one_part_of_the_strip_alone(monkeypatch):
    monkeypatch.setattr(restarts, "SHUFFLED", (0.4, 0.4))
    stage = mixed()
    best = first(stage)
    middle_x = best.x + stage.length[best.pose] // 2
    middle_y = best.y + stage.height[best.pose] // 2
    moved = 0
    for seed in range(30):
        after = Restarts(stage, seed, uninterrupted)._shuffled(best)
        now_x = after.x + stage.length[best.pose] // 2
        now_y = after.y + stage.height[best.pose] // 2
        assert (after.pose == best.pose).all()
        assert sorted(zip(now_x, now_y, strict=True)) == sorted(
            zip(middle_x, middle_y, strict=True)
        )
        elsewhere = middle_x[(now_x != middle_x) | (now_y != middle_y)]
        moved += len(elsewhere)
        if len(elsewhere):
            assert np.ptp(elsewhere) <= 0.4 * stage.used_length(best)
    assert moved > 30


def test_another_start_gets_a_longer_strip_until_its_pieces_come_apart():
    stage = mixed()
    best = first(stage)
    engine = soon_stalled(stage, 0, uninterrupted)
    asked = []

    def separated(crowded, length):
        asked.append(length / stage.used_length(best) - 1)
        return best if len(asked) == 3 else None

    engine.search.separated = separated
    starts(engine, best, 3, [None] * 3)
    assert engine.own is best
    assert asked == [pytest.approx(share, abs=1e-4) for share in (0.03, 0.045, 0.0675)]


def test_no_other_start_is_sought_when_the_time_is_over():
    stage = mixed()
    best = first(stage)
    engine = soon_stalled(stage, 0, lambda: True)
    seen = starts(engine, best, 8, [None] * 8)
    assert all(lay is best for lay in seen)


def test_what_it_finds_from_another_start_is_where_it_goes_on():
    stage = mixed()
    best, better = first(stage), first(stage)
    engine = soon_stalled(stage, 0, uninterrupted)
    seen = starts(engine, best, 9, [None] * 3 + [None, better, None, None, None] + [None])
    assert seen[5] is seen[6] is seen[7] is better
    assert seen[8] is best


@pytest.mark.parametrize("pieces", [4, 9])
def test_the_more_pieces_there_are_the_later_it_starts_afresh(pieces):
    stage = Stage(Problem(100 * MM, (Shape(HALF, (0, 180)),), (Piece(0),) * pieces))
    best = first(stage)
    seen = starts(Restarts(stage, 0, uninterrupted), best, STALLED * pieces + 1, [None] * 99)
    assert all(lay is best for lay in seen[:-1])
    assert seen[-1] is not best


def test_a_gain_from_the_best_lay_puts_another_start_off():
    stage = mixed()
    best = first(stage)
    engine = soon_stalled(stage, 0, uninterrupted)
    seen = starts(engine, best, 6, [None, None, best, None, None, None])
    assert all(lay is best for lay in seen)


def test_another_start_forgets_what_was_tried_from_the_first():
    stage = mixed()
    engine = soon_stalled(stage, 0, uninterrupted)
    engine.search.failures, engine.search.step = 7, 0.001
    starts(engine, first(stage), 3, [None] * 3)
    assert engine.search.failures == 0
    assert engine.search.step == Restarts(stage, 0, uninterrupted).search.step
    assert engine.search.memory == []


def test_the_same_seed_starts_the_same():
    one, two = (starts(soon_stalled(mixed(), 5, uninterrupted), first(mixed()), 10) for _ in "ab")
    assert [lay.x.tolist() for lay in one] == [lay.x.tolist() for lay in two]
    assert [lay.y.tolist() for lay in one] == [lay.y.tolist() for lay in two]
