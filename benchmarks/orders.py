"""Measures what a maker notices: how soon there is a lay, how dense it is, what is proved.

::

    python -m benchmarks.orders [--seconds 10 40] [--seeds 3] [--runs 5]

Densities are medians over the seeds with one worker; proofs use two workers.
"""

import argparse
import subprocess
import sys
import sysconfig
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from itertools import chain
from pathlib import Path
from statistics import median
from typing import Final

from benchmarks import workloads
from benchmarks.density import warm_up
from cli.screen import columns
from nesting.layouts.layout import Layout
from nesting.layouts.problem import Problem
from nesting.packing.bounds import lower_bound
from nesting.packing.running import Limits
from nesting.packing.solver import solve

SAMPLE: Final = Path(__file__).parent.parent / "samples" / "poufs" / "order.toml"

#: Seconds in which small orders of rectangles must be proved, and how many orders are tried.
PROOF_SECONDS: Final = 10.0
SMALL_ORDERS: Final = 20

#: Orders that are compared with their boxes: poufs, gores of each, diameter and cap (mm).
POUFS: Final = (
    (1, 10, 500.0, 200.0),
    (2, 6, 400.0, 150.0),
    (2, 8, 500.0, 180.0),
    (2, 10, 500.0, 200.0),
)

#: A figure, its target, and its measured value.
Row = tuple[str, str, str]


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure every figure and print it beside its target."""
    asked = _parser().parse_args(arguments)
    print(f"compiling took {warm_up():.1f} s and is not counted", file=sys.stderr)
    rows: list[Row] = []
    for row in chain(
        starts(asked.runs),
        densities("twenty gores, four caps", "79.0", workloads.gores(), asked),
        densities("46 cushion rectangles", "96.4", workloads.cushions(), asked),
        *(against_boxes(order, max(asked.seconds), asked.seeds) for order in POUFS),
        small_orders(),
    ):
        print("  ".join(row), file=sys.stderr, flush=True)
        rows.append(row)
    print(columns([("figure", "target", "measured"), *rows]))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(description="Measure what a maker notices.")
    parser.add_argument("--seconds", type=float, nargs="+", default=[10.0, 40.0])
    parser.add_argument("--seeds", type=int, default=3, help="runs of each search")
    parser.add_argument("--runs", type=int, default=5, help="runs of each command")
    return parser


def starts(runs: int) -> Iterator[Row]:
    """Wall times from the start of the process; a first run caches compiled code."""
    yield _time("help", "at most 0.25 s", runs, help_seconds)
    yield _time("first valid lay of samples/poufs", "at most 2 s", runs, first_lay_seconds)


def _time(name: str, target: str, runs: int, measure: Callable[[], float]) -> Row:
    measure()
    times = [measure() for _ in range(runs)]
    return name, target, f"{median(times):.2f} s, slowest {max(times):.2f} s"


def help_seconds() -> float:
    """How long ``clothwright --help`` takes."""
    started = time.perf_counter()
    subprocess.run([_command(), "--help"], capture_output=True, check=True)
    return time.perf_counter() - started


def first_lay_seconds() -> float:
    """How long it takes until standard error reports the first lay."""
    with tempfile.TemporaryDirectory() as folder:
        out = str(Path(folder) / "lay")
        started = time.perf_counter()
        command = [_command(), "lay", str(SAMPLE), "--steps", "1", "--workers", "1", "--out", out]
        with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE) as run:
            assert run.stderr is not None
            while line := run.stderr.readline():
                if b"efficiency" in line:
                    return time.perf_counter() - started
    msg = "no lay was reported"
    raise RuntimeError(msg)


def _command() -> str:
    return str(Path(sysconfig.get_path("scripts")) / "clothwright")


def densities(name: str, target: str, problem: Problem, asked: argparse.Namespace) -> Iterator[Row]:
    """Density of the first layout, and after each search time."""
    first = workloads.density(workloads.bottom_left(problem))
    yield f"{name}, bottom-left", "-", f"{first:.1f} %"
    for seconds in asked.seconds:
        reached = [workloads.density(each) for each in _layouts(problem, seconds, asked.seeds)]
        measured = f"{median(reached):.1f} % (from {min(reached):.1f} to {max(reached):.1f})"
        yield f"{name}, {seconds:g} s", f"{target} %", measured


def against_boxes(
    order: tuple[int, int, float, float], seconds: float, seeds: int
) -> Iterator[Row]:
    """How much shorter a lay of panels is than a lay of their bounding boxes.

    The packer lays the boxes too. If their lay is not proved optimal, the panels
    are also compared with the proven bound of the boxes.
    """
    problem = workloads.gores(*order)
    boxes_problem = workloads.bounding_boxes(problem)
    boxes = solve(boxes_problem, Limits(seconds), workers=2)
    bound = max(boxes.lower_bound, lower_bound(boxes_problem))
    used = median(each.used_length for each in _layouts(problem, seconds, seeds))
    packed, least = (100 * (1 - used / n) for n in (boxes.layout.used_length, bound))
    proof = "proved optimal" if packed == least else f"not proved optimal: at least {least:.1f} %"
    poufs, gores, diameter, _ = order
    yield (
        f"{poufs} x {gores} gores of {diameter / 10:g} cm and caps, shorter than their boxes",
        "at least 8 %",
        f"{packed:.1f} %, boxes {proof}",
    )


def _layouts(problem: Problem, seconds: float, seeds: int) -> list[Layout]:
    return [solve(problem, Limits(seconds), seed=seed).layout for seed in range(seeds)]


def small_orders() -> Iterator[Row]:
    """How many orders of eight random rectangles are proved optimal."""
    solved = [
        solve(workloads.rectangles(seed), Limits(PROOF_SECONDS), seed=seed, workers=2)
        for seed in range(SMALL_ORDERS)
    ]
    proved = sum(solution.proved_optimal for solution in solved)
    slowest = max(solution.seconds for solution in solved)
    yield (
        f"orders of 8 rectangles proved in {PROOF_SECONDS:g} s",
        f"{SMALL_ORDERS} of {SMALL_ORDERS}",
        f"{proved} of {SMALL_ORDERS}, slowest {slowest:.1f} s",
    )


if __name__ == "__main__":
    main()
