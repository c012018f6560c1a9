"""Measures the worth of each engine: the same searches with one engine switched off in turn.

::

    python -m benchmarks.ablation [FOLDER] [--seconds 10] [--seeds 3]

An engine that is off still gets its turns, but finds nothing in them and takes
no time. Everything else is the unchanged solver, with one worker. Without a
folder of instances, orders of our own are packed.
"""

import argparse
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack
from pathlib import Path
from statistics import median
from typing import Final
from unittest import mock

from benchmarks import workloads
from benchmarks.density import warm_up
from benchmarks.instances import read_instances
from cli.screen import columns
from nesting.layouts.problem import Problem
from nesting.packing.cpsat.whole_orders import WholeOrders
from nesting.packing.cpsat.windows import OutlineWindows, RectangleWindows
from nesting.packing.engine import Attempt, Engine
from nesting.packing.guided.restarts import Restarts
from nesting.packing.running import Limits, Solution
from nesting.packing.skyline.search import SkylineSearch
from nesting.packing.solver import solve
from nesting.packing.stage import Arrangement

#: Which engines are off in each row of the table.
ROWS: Final[Mapping[str, tuple[type, ...]]] = {
    "all engines": (),
    "without guided search": (Restarts,),
    "without skyline": (SkylineSearch,),
    "without CP-SAT windows": (OutlineWindows, RectangleWindows),
    "without CP-SAT on whole orders": (WholeOrders,),
    "without CP-SAT": (OutlineWindows, RectangleWindows, WholeOrders),
}


def idle(_self: Engine, _best: Arrangement, _bound: int, _seconds: float) -> Attempt:
    """An attempt that finds nothing and proves nothing."""
    return Attempt(None)


def solve_without(off: tuple[type, ...], problem: Problem, limits: Limits, seed: int) -> Solution:
    """The solver's result with some engines off."""
    with ExitStack() as switched:
        for engine in off:
            switched.enter_context(mock.patch.object(engine, "attempt", idle))
        return solve(problem, limits, seed=seed)


def main(arguments: Sequence[str] | None = None) -> None:
    """Pack every problem in every row and print densities and proofs."""
    asked = _parser().parse_args(arguments)
    problems = dict(_instances(asked.folder) if asked.folder else _own_orders())
    print(f"compiling took {warm_up():.1f} s and is not counted", file=sys.stderr)
    print(f"{asked.seconds:g} s, 1 worker; median density of {asked.seeds} seeds in per cent,")
    print("and the number of runs whose layout was proved shortest")
    first = (f"{workloads.density(workloads.bottom_left(each)):.2f}" for each in problems.values())
    rows = [["bottom-left alone", *first]]
    for row, off in ROWS.items():
        rows.append([row, *(_cell(off, problem, asked) for problem in problems.values())])
        print("  ".join(rows[-1]), file=sys.stderr, flush=True)
    print(columns([["", *problems], *rows]))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(description="Measure the worth of each engine.")
    parser.add_argument("folder", type=Path, nargs="?", help="folder of instances, or one file")
    parser.add_argument("--seconds", type=float, default=10.0, help="search time of one run")
    parser.add_argument("--seeds", type=int, default=3, help="runs of each search")
    return parser


def _own_orders() -> Iterator[tuple[str, Problem]]:
    yield "gores", workloads.gores()
    yield "46 rectangles", workloads.cushions()
    yield "17 rectangles", workloads.rectangles(0, pieces=17)
    yield "8 rectangles", workloads.rectangles(0)


def _instances(folder: Path) -> Iterator[tuple[str, Problem]]:
    for instance in read_instances(folder):
        yield instance.name, instance.problem


def _cell(off: tuple[type, ...], problem: Problem, asked: argparse.Namespace) -> str:
    """Median density and number of proofs."""
    limits = Limits(asked.seconds)
    found = [solve_without(off, problem, limits, seed) for seed in range(asked.seeds)]
    reached = median(workloads.density(solution.layout) for solution in found)
    proved = sum(solution.proved_optimal for solution in found)
    return f"{reached:.2f}" + (f" ({proved} proved)" if proved else "")


if __name__ == "__main__":
    main()
