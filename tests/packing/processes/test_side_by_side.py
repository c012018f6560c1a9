"""Independent problems solved at the same time."""

import threading
from concurrent.futures import Executor, Future

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.geometry.outline import Outline
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.processes.side_by_side import shared_out, solve_side_by_side
from nesting.packing.running import Limits
from nesting.units import CM

ONE_STEP = Limits(seconds=None, steps=1)
LONG = Limits(seconds=600.0)


def problem(width, *sides):
    """Squares of the given sides on a strip, in cm."""
    shapes = tuple(
        Shape(Outline(((0, 0), (s * CM, 0), (s * CM, s * CM), (0, s * CM))), (0,)) for s in sides
    )
    return Problem(width * CM, shapes, tuple(Piece(i) for i in range(len(sides))))


#: One square; six; and seventeen of odd sizes, which no search finishes quickly.
EASY = problem(30, 20)
SIX = problem(50, *range(11, 23, 2))
HARD = problem(97, *range(11, 45, 2))


def test_threads_and_processes_find_the_same_in_the_order_of_the_problems():
    alone = solve_side_by_side([SIX, EASY], ONE_STEP, seed=3, workers=1)
    shared = solve_side_by_side([SIX, EASY], ONE_STEP, seed=3, workers=2)
    assert [one.layout.problem for one in alone] == [SIX, EASY]
    assert [one.layout for one in alone] == [one.layout for one in shared]


@pytest.mark.parametrize("workers", [1, 2])
def test_progress_of_every_problem_is_told_in_the_callers_thread(workers):
    told = []

    def observe(index, progress):
        told.append((index, progress.used_length, threading.current_thread()))

    solve_side_by_side([SIX, EASY], ONE_STEP, workers=workers, observe=observe)
    assert {index for index, _, _ in told} == {0, 1}
    assert {thread for _, _, thread in told} == {threading.current_thread()}
    lengths = {index: length for index, length, _ in told}
    assert lengths[1] == 20 * CM


@pytest.mark.parametrize("workers", [1, 2])
def test_an_interruption_ends_every_search_with_a_layout(workers):
    # Ten minutes are allowed for each: this test ends only because it interrupts.
    seen = set()
    solutions = solve_side_by_side(
        [HARD, HARD],
        LONG,
        workers=workers,
        observe=lambda index, _: seen.add(index),
        interrupted=lambda: bool(seen),
    )
    assert len(solutions) == 2
    assert all(len(one.layout.placements) == 17 for one in solutions)


@pytest.mark.parametrize("workers", [1, 2])
def test_what_a_callback_raises_ends_everything(workers):
    def stop(_index, _progress):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        solve_side_by_side([HARD, HARD], LONG, workers=workers, observe=stop)


def test_what_a_search_raises_reaches_the_caller():
    too_wide = problem(10, 20)
    with pytest.raises(ValueError, match="wider"):
        solve_side_by_side([too_wide], ONE_STEP)


class Elsewhere(Executor):
    """An executor that records each task and runs it at once."""

    def __init__(self):
        self.given = []

    def submit(self, task, /, *arguments, **options):
        self.given.append((arguments, options))
        future = Future()
        future.set_result(task(*arguments, **options))
        return future


def test_an_executor_of_the_callers_own_gets_one_task_for_each_problem():
    elsewhere = Elsewhere()
    solutions = solve_side_by_side([SIX, EASY], ONE_STEP, seed=3, workers=2, executor=elsewhere)
    assert [arguments for arguments, _ in elsewhere.given] == [(SIX, ONE_STEP), (EASY, ONE_STEP)]
    same = {"seed": 3, "workers": 1, "start": None}
    assert [options for _, options in elsewhere.given] == [same] * 2
    assert [one.layout.problem for one in solutions] == [SIX, EASY]


@settings(deadline=None)
@given(st.integers(1, 40), st.lists(st.integers(1, 500), min_size=1, max_size=12))
def test_workers_are_shared_out_evenly_and_the_largest_get_what_is_left(workers, sizes):
    shares = shared_out(workers, sizes)
    assert sum(shares) == max(workers, len(sizes))
    assert min(shares) >= 1
    favoured = [size for size, share in zip(sizes, shares, strict=True) if share > min(shares)]
    others = [size for size, share in zip(sizes, shares, strict=True) if share == min(shares)]
    assert max(shares) - min(shares) <= 1
    assert not favoured or min(favoured) >= max(others)
