"""Independent problems solved next to each other, one search per process.

One worker, or one problem, is searched in a thread of this process, so that
the caller stays free to show progress and to notice an interruption; several
go to worker processes, which are started afresh (``spawn``): a process that
has once run a multi-threaded solver cannot be forked safely. Workers do not
react to Ctrl-C themselves.

Both kinds hold one end of two pipes. Progress comes back through the first;
reports are far shorter than what a pipe takes in one piece, so several
workers may write to it. Closing the second calls the end. (Pipes need
nothing from the caller once a worker has started, unlike events and queues.)
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

from nesting.layouts.problem import Problem
from nesting.packing.processes.interrupts import held_back_interrupts
from nesting.packing.running import Limits, Progress, Solution, uninterrupted
from nesting.packing.solver import solve

#: Seconds between two looks at progress and interruption.
_BEAT: Final = 0.05


@dataclass(frozen=True)
class _Line:
    """The caller's ends of both pipes."""

    reports: Connection
    end: Connection


def nothing(_index: int, _progress: Progress) -> None:
    """Observe nothing."""


def solve_side_by_side(
    problems: Sequence[Problem],
    limits: Limits,
    *,
    seed: int = 0,
    workers: int = 1,
    observe: Callable[[int, Progress], None] = nothing,
    interrupted: Callable[[], bool] = uninterrupted,
    executor: Executor | None = None,
) -> tuple[Solution, ...]:
    """Solve each problem within ``limits``; the solutions in the order of the problems.

    Both callbacks are called in the caller's thread; ``observe`` gets the
    problem's index. An ``executor`` of the caller's own (a cluster's, say)
    only carries problems and solutions: no progress and no interruption.
    """
    shares = shared_out(workers, [len(problem.pieces) for problem in problems])
    if executor is not None:
        futures = [
            executor.submit(solve, problem, limits, seed=seed, workers=share)
            for problem, share in zip(problems, shares, strict=True)
        ]
        return tuple(future.result() for future in futures)
    processes = min(workers, len(problems))
    with _pool(processes) as (pool, line):
        with held_back_interrupts() if processes > 1 else nullcontext():
            futures = [
                pool.submit(_search, index, problem, limits, seed, share)
                for index, (problem, share) in enumerate(zip(problems, shares, strict=True))
            ]
        return _attended(futures, line, observe, interrupted)


def shared_out(workers: int, sizes: Sequence[int]) -> tuple[int, ...]:
    """Workers for each problem, at least one; those left over go to the largest."""
    each, left = divmod(workers, len(sizes))
    by_size = sorted(range(len(sizes)), key=lambda i: -sizes[i])
    favoured = set(by_size[: left if each else 0])
    return tuple(max(1, each + (i in favoured)) for i in range(len(sizes)))


@contextmanager
def _pool(processes: int) -> Iterator[tuple[Executor, _Line]]:
    """Somewhere to search, and the line to it; nobody waits for its processes to end."""
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


#: The ends of the thread or process that this runs in.
_here = threading.local()


def _connect(report: Connection, ended: Connection) -> None:
    """Give this thread or process its ends of the pipes."""
    _here.report, _here.ended = report, ended


def _join_in(report: Connection, ended: Connection) -> None:
    """Begin the life of a worker process, which must not outlive the caller's.

    Between two searches it waits for a queue that it holds both ends of, and
    would not notice that the caller's process is gone.
    """
    _connect(report, ended)
    threading.Thread(target=_end_with_caller, daemon=True).start()


def _end_with_caller() -> None:
    caller = multiprocessing.parent_process()
    if caller is not None:
        caller.join()
    os._exit(1)


def _search(index: int, problem: Problem, limits: Limits, seed: int, workers: int) -> Solution:
    report: Connection = _here.report
    ended: Connection = _here.ended
    return solve(
        problem,
        limits,
        seed=seed,
        workers=workers,
        observe=lambda progress: report.send((index, progress)),
        interrupted=ended.poll,
    )


def _attended(
    searches: Sequence[Future[Solution]],
    line: _Line,
    observe: Callable[[int, Progress], None],
    interrupted: Callable[[], bool],
) -> tuple[Solution, ...]:
    """Pass on progress and interruption until all searches have ended."""
    running: set[Future[Solution]] = set(searches)
    while running:
        done, running = wait(running, timeout=_BEAT)
        while line.reports.poll():
            observe(*line.reports.recv())
        for search in done:
            search.result()  # raises what the search raised, without waiting for the others
        if interrupted():
            line.end.close()
    return tuple(search.result() for search in searches)
