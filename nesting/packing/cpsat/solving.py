"""One run of the solver: on one thread, within fixed work, stopped when the search is over."""

import math
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from ortools.sat.python import cp_model

from nesting.packing.stage import Arrangement


@dataclass(frozen=True)
class Answer:
    """Best arrangement of a solve (None: nothing found), and the bound it proved.

    The bound is on the model's objective; 0 when nothing is proved.
    """

    arrangement: Arrangement | None
    bound: int


def run(
    solver: cp_model.CpSolver,
    model: cp_model.CpModel,
    work: float,
    seconds: float,
    over: Callable[[], bool],
) -> cp_model.CpSolverStatus:
    """Solve on one thread within ``work`` (deterministic time) and ``seconds``."""
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False  # Ctrl-C belongs to the caller
    solver.parameters.max_deterministic_time = work
    if seconds < math.inf:
        solver.parameters.max_time_in_seconds = max(0.01, seconds)
    with _stopped_when(over, solver.stop_search):
        return solver.solve(model)


@contextmanager
def _stopped_when(over: Callable[[], bool], stop: Callable[[], None]) -> Iterator[None]:
    """Watch from another thread and stop the solver as soon as the search is over."""
    done = threading.Event()

    def watch() -> None:
        while not done.wait(0.05):
            if over():
                stop()

    watcher = threading.Thread(target=watch, daemon=True)
    watcher.start()
    try:
        yield
    finally:
        done.set()
        watcher.join()
