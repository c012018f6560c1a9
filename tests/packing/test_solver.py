"""solve(): bounded, valid, repeatable, and it ends when it is told to."""

import math
import os
import subprocess
import sys
import time
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from layout_rules import broken_rules, used_length
from strategies import box, problems

from nesting.geometry.outline import Outline
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing import running, solver
from nesting.packing.running import Limits, Watch
from nesting.packing.solver import solve
from nesting.units import CM

#: So many steps that only an interruption ends the search.
LONG = Limits(seconds=None, steps=1_000_000)

HALF = Outline(((0, 0), (30 * CM, 0), (0, 20 * CM)))
ARROW = Outline(
    ((0, 0), (25 * CM, 0), (40 * CM, 10 * CM), (25 * CM, 20 * CM), (0, 20 * CM), (15 * CM, 10 * CM))
)


def mixed(gap=0):
    """Nine outlines of three kinds, one of them in a bundle; too many to be proved."""
    shapes = (
        Shape(HALF, (0, 180)),
        Shape(ARROW, (0, 180)),
        Shape(box(23 * CM, 17 * CM), (0, 90, 180, 270)),
    )
    kinds = [0, 0, 0, 1, 1, 1, 2, 2, 2]
    return Problem(71 * CM, shapes, tuple(Piece(k, 1 if k == 1 else None) for k in kinds), gap)


#: Seventeen squares of odd sizes, which cannot be proved in a few steps.
ODD = Problem(
    97 * CM,
    tuple(Shape(box(s * CM, s * CM), (0,)) for s in range(11, 45, 2)),
    tuple(map(Piece, range(17))),
)


#: Problems and a few steps for each: guided search and windows, then the exact search.
FEW = [(mixed(), 6), (ODD, 1)]


def steps(number):
    return Limits(seconds=None, steps=number)


class Observer:
    """Records the progress of a search, and interrupts it after a number of reports."""

    def __init__(self, patience=math.inf):
        self.told, self.patience, self.waiting = [], patience, []

    def __call__(self, progress):
        (self.waiting if progress.waiting else self.told).append(progress)

    def impatient(self):
        return len(self.told) >= self.patience


@given(problems(most=6, reach=400, gaps=(0, 0, 20)), st.integers(0, 9))
@settings(deadline=None, max_examples=6)
def test_every_solution_is_lawful_and_no_shorter_than_its_bound(problem, seed):
    solution = solve(problem, steps(2), seed=seed)
    assert broken_rules(solution.layout) == []
    used = used_length(solution.layout)
    assert problem.area2 <= 2 * problem.width * used
    assert solution.lower_bound <= used
    assert solution.proved_optimal == (solution.lower_bound == used)
    assert solution.steps <= 2


@pytest.mark.parametrize(("problem", "few"), [*FEW, (mixed(gap=300), 4)])
def test_progress_is_monotone_and_ends_with_what_is_returned(problem, few):
    observer = Observer()
    solution = solve(problem, steps(few), observe=observer)
    assert observer.told[0].step == 0
    for before, after in pairwise(observer.told):
        assert after.used_length <= before.used_length
        assert after.lower_bound >= before.lower_bound
        assert after.step == before.step + 1
    last = observer.told[-1]
    assert (last.used_length, last.lower_bound, last.step) == (
        used_length(solution.layout),
        solution.lower_bound,
        solution.steps,
    )
    assert broken_rules(solution.layout) == []


def test_a_search_shortens_the_first_layout():
    observer = Observer()
    solve(mixed(), steps(12), observe=observer)
    assert observer.told[-1].used_length < observer.told[0].used_length


@pytest.fixture(scope="module")
def found():
    """What a few steps find with seed 3."""
    return [found_with_seed_3(problem, few) for problem, few in FEW]


def found_with_seed_3(problem, few):
    solution = solve(problem, steps(few), seed=3)
    return solution.lower_bound, [(p.turn, p.x, p.y) for p in solution.layout.placements]


def test_the_same_seed_and_steps_give_the_same_layout(found):
    assert [found_with_seed_3(problem, few) for problem, few in FEW] == found


def test_another_process_with_another_hash_seed_finds_the_same_layout(found):
    script = "import test_solver as t; print([t.found_with_seed_3(*each) for each in t.FEW])"
    answer = subprocess.run(
        [sys.executable, "-c", script],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path), "PYTHONHASHSEED": "7"},
        check=True,
        capture_output=True,
        text=True,
    )
    assert answer.stdout.strip() == str(found)


def test_no_search_at_all_still_gives_a_layout():
    for limits in (steps(0), Limits(seconds=0.0)):
        solution = solve(mixed(), limits)
        assert solution.steps == 0
        assert broken_rules(solution.layout) == []
        assert solution.lower_bound <= used_length(solution.layout)


@pytest.mark.parametrize(("problem", "patience"), [(mixed(), 1), (mixed(), 4), (ODD, 2)])
def test_an_interruption_ends_the_search_within_a_step(problem, patience):
    observer = Observer(patience)
    solution = solve(problem, LONG, observe=observer, interrupted=observer.impatient)
    assert solution.interrupted
    assert len(observer.told) == patience
    assert solution.steps == patience - 1
    assert broken_rules(solution.layout) == []


def test_an_interruption_in_the_midst_of_a_step_ends_it():
    # Interrupted during the first step; otherwise a million would follow.
    asked = []

    def interrupted():
        asked.append(None)
        return len(asked) > 20

    solution = solve(ODD, LONG, interrupted=interrupted)
    assert solution.interrupted
    assert solution.steps <= len(asked)
    assert broken_rules(solution.layout) == []


def test_a_search_that_ends_by_itself_was_not_interrupted():
    assert not solve(mixed(), steps(1)).interrupted


@pytest.mark.parametrize("problem", [mixed(), ODD])
def test_the_first_lay_is_told_before_the_loops_are_ready_and_no_search_time_passes(
    monkeypatch, problem
):
    begun = time.perf_counter()
    now, observer = [begun], Observer(patience=3)
    monkeypatch.setattr(running.time, "perf_counter", lambda: now[0])

    def wait(_strategy, _interrupted):
        (first,) = observer.waiting
        assert first.used_length == used_length(unsearched.layout)
        assert observer.told == []
        now[0] += 100.0

    unsearched = solve(problem, steps(0))
    monkeypatch.setattr(solver, "prepare", wait)
    found = solve(problem, Limits(20.0), observe=observer, interrupted=observer.impatient)
    assert now == [begun + 100.0]
    assert found.steps == 2
    assert found.seconds < 20.0


def test_who_interrupts_while_the_loops_are_made_ready_gets_the_first_lay(monkeypatch):
    asked = []

    def wait(_strategy, interrupted):
        asked.append(None)
        assert interrupted()

    monkeypatch.setattr(solver, "prepare", wait)
    monkeypatch.setattr(solver, "engines_for", None)  # their loops would wait for the compiler
    solution = solve(mixed(), Limits(20.0), interrupted=lambda: bool(asked))
    assert solution.interrupted
    assert solution.steps == 0
    assert solution.layout == solve(mixed(), steps(0)).layout


def test_nothing_is_made_ready_for_a_search_that_will_not_begin(monkeypatch):
    monkeypatch.setattr(solver, "prepare", None)
    monkeypatch.setattr(solver, "engines_for", None)
    assert solve(mixed(), steps(0)).steps == 0
    four = Problem(20 * CM, (Shape(box(10 * CM, 10 * CM), (0,)),), (Piece(0),) * 4)
    assert solve(four, Limits(20.0)).proved_optimal


def test_what_is_proved_ends_the_search():
    # Two rows of two fill the strip, so there is nothing to search for.
    four = Problem(20 * CM, (Shape(box(10 * CM, 10 * CM), (0,)),), (Piece(0),) * 4)
    solution = solve(four, LONG)
    assert solution.proved_optimal
    assert used_length(solution.layout) == 20 * CM


def test_two_workers_give_a_lawful_layout_too():
    observer = Observer()
    solution = solve(mixed(gap=300), steps(3), workers=2, observe=observer)
    assert broken_rules(solution.layout) == []
    assert solution.lower_bound <= used_length(solution.layout)
    lengths = [told.used_length for told in observer.told]
    assert lengths == sorted(lengths, reverse=True)


def test_a_piece_that_is_too_wide_is_refused_before_anything_is_searched():
    wide = replace(mixed(), width=19 * CM)
    observer = Observer()
    with pytest.raises(ValueError, match="wider than the strip"):
        solve(wide, LONG, observe=observer)
    assert observer.told == []


def test_steps_end_a_watch_whatever_the_clock_says():
    watch = Watch(Limits(seconds=0.0, steps=2))
    assert not watch.over()
    assert watch.seconds_left == math.inf
    watch.step = 2
    assert watch.over()


def test_seconds_end_a_watch_whatever_its_step():
    assert Watch(Limits(seconds=0.0)).over()
    watch = Watch(Limits(seconds=3_600.0))
    watch.step = 10**9
    assert not watch.over()
    assert 0 < watch.seconds_left <= 3_600


def test_somebody_ends_a_watch_at_any_time():
    assert Watch(LONG, interrupted=lambda: True).over()
