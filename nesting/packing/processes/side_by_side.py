"""Independent problems solved at the same time, one search per process.

With one worker, or one problem, the search runs in a thread of this process,
so that the caller is free to show progress and to notice an interruption.
Otherwise the searches run in worker processes, which are started afresh
(``spawn``), since a process that has run a multi-threaded solver cannot be
forked safely. Workers ignore Ctrl-C.

A thread or worker has one end of each of two pipes. Progress comes back through
the first; reports are far shorter than what a pipe writes in one piece, so
several workers may write to it. Closing the caller's end of the second tells
the workers to end. (Unlike events and queues, pipes need nothing from the
caller once a worker has started.)
"""

import multiprocessing
import os
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor, wait
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass
from multiprocessing.connection import Connection
from typing import Final

from nesting.layouts.layout import Layout
from nesting.layouts.problem import Problem
from nesting.packing.processes.interrupts import held_back_interrupts
from nesting.packing.running import (
    Limits,
    NoLayoutError,
    Progress,
    Solution,
    ignore_progress,
    uninterrupted,
)
from nesting.packing.solver import solve

#: Seconds between two checks for progress and interruption.
_POLL: Final = 0.05


#: What a search comes to. A strip with a length may turn out too short.
Outcome = Solution | NoLayoutError


@dataclass(frozen=True)
class _Line:
    """The caller's ends of both pipes."""

    reports: Connection
    end: Connection


def _ignore_progress(_index: int, _progress: Progress) -> None:
    """Do nothing: the default for searches that nobody watches."""


def solve_side_by_side(  # noqa: PLR0913 - all but two are given by name
    problems: Sequence[Problem],
    limits: Limits,
    *,
    seed: int = 0,
    workers: int = 1,
    starts: Sequence[Layout | None] | None = None,
    observe: Callable[[int, Progress], None] = _ignore_progress,
    interrupted: Callable[[], bool] = uninterrupted,
    executor: Executor | None = None,
) -> tuple[Outcome, ...]:
    """Solve each problem within ``limits``; return the outcomes in the order of the problems.

    ``starts`` are layouts that the searches begin from (see `solve`).

    Both callbacks are called in the caller's thread; ``observe`` gets the
    problem's index. With the caller's own ``executor`` (of a cluster, say)
    there is no progress and no interruption: it only carries problems and
    solutions.
    """
    shares = shared_out(workers, [len(problem.pieces) for problem in problems])
    begins = starts or [None] * len(problems)
    each = list(zip(problems, begins, shares, strict=True))
    if executor is not None:
        futures = [
            executor.submit(outcome, problem, limits, seed=seed, workers=share, start=start)
            for problem, start, share in each
        ]
        return tuple(future.result() for future in futures)
    processes = min(workers, len(problems))
    with _pool(processes) as (pool, line):
        with held_back_interrupts() if processes > 1 else nullcontext():
            futures = [
                pool.submit(_search, index, problem, limits, seed, share, start)
                for index, (problem, start, share) in enumerate(each)
            ]
        return _wait_for(futures, line, observe, interrupted)


def shared_out(workers: int, sizes: Sequence[int]) -> tuple[int, ...]:
    """Workers for each problem, at least one; the remainder goes to the largest problems."""
    each, left = divmod(workers, len(sizes))
    by_size = sorted(range(len(sizes)), key=lambda i: -sizes[i])
    largest = set(by_size[: left if each else 0])
    return tuple(max(1, each + (i in largest)) for i in range(len(sizes)))


@contextmanager
def _pool(processes: int) -> Iterator[tuple[Executor, _Line]]:
    """An executor for the searches and the pipes to it; its processes are not waited for."""
    spawn = multiprocessing.get_context("spawn")
    reports, report = spawn.Pipe(duplex=False)
    ended, end = spawn.Pipe(duplex=False)
    worker_ends = (report, ended)
    pool: Executor
    if processes == 1:
        pool = ThreadPoolExecutor(1, initializer=_connect, initargs=worker_ends)
    else:
        pool = ProcessPoolExecutor(
            processes, mp_context=spawn, initializer=_join_in, initargs=worker_ends
        )
    try:
        yield pool, _Line(reports, end)
    finally:
        end.close()
        pool.shutdown(wait=False, cancel_futures=True)


#: The pipe ends of the current thread or process.
_here = threading.local()


def _connect(report: Connection, ended: Connection) -> None:
    """Give this thread or process its ends of the pipes."""
    _here.report, _here.ended = report, ended


def _join_in(report: Connection, ended: Connection) -> None:
    """Start up a worker process, which must not outlive the caller's process.

    Between two searches it waits for a queue of which it has both ends, so it
    would not notice that the caller's process is gone.
    """
    _connect(report, ended)
    threading.Thread(target=_end_with_caller, daemon=True).start()


def _end_with_caller() -> None:
    caller = multiprocessing.parent_process()
    if caller is not None:
        caller.join()
    os._exit(1)


def outcome(
    problem: Problem,
    limits: Limits,
    *,
    seed: int,
    workers: int,
    start: Layout | None,
    observe: Callable[[Progress], None] = ignore_progress,
    interrupted: Callable[[], bool] = uninterrupted,
) -> Outcome:
    """Solve a problem; a strip that is too short is an outcome like any other."""
    try:
        return solve(
            problem,
            limits,
            seed=seed,
            workers=workers,
            start=start,
            observe=observe,
            interrupted=interrupted,
        )
    except NoLayoutError as too_short:
        return too_short


def _search(
    index: int, problem: Problem, limits: Limits, seed: int, workers: int, start: Layout | None
) -> Outcome:
    report: Connection = _here.report
    ended: Connection = _here.ended
    return outcome(
        problem,
        limits,
        seed=seed,
        workers=workers,
        start=start,
        observe=lambda progress: report.send((index, progress)),
        interrupted=ended.poll,
    )


def _wait_for(
    searches: Sequence[Future[Outcome]],
    line: _Line,
    observe: Callable[[int, Progress], None],
    interrupted: Callable[[], bool],
) -> tuple[Outcome, ...]:
    """Pass on progress and interruptions until all searches have ended."""
    running: set[Future[Outcome]] = set(searches)
    while running:
        done, running = wait(running, timeout=_POLL)
        while line.reports.poll():
            observe(*line.reports.recv())
        for search in done:
            search.result()  # raises what the search raised, without waiting for the others
        if interrupted():
            line.end.close()
    return tuple(search.result() for search in searches)
