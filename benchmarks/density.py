"""Measures how densely open strip packing sets are packed, beside published values.

::

    python -m benchmarks.density FOLDER --seconds 60 --workers 2 --seeds 3 --json FILE

Every layout is checked in the instance's own coordinates before it is reported.
Seconds are those of the search alone; its loops are compiled before, and that
time is stated separately.
"""

import argparse
import json
import os
import sys
import time
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from statistics import median
from typing import Any

from benchmarks.instances import Instance, Placed, read_instances
from benchmarks.proof import prove
from cli.screen import columns
from nesting.packing.readiness import prepare_all
from nesting.packing.running import Limits
from nesting.packing.solver import solve


@dataclass(frozen=True)
class Run:
    """One search: its time and its result, in the instance's own unit."""

    seed: int
    seconds: float
    first_seconds: float
    length: float
    density: float
    lower_bound: float
    proved: bool
    placed: tuple[Placed, ...]


@dataclass(frozen=True)
class Result:
    """All runs on one instance."""

    instance: Instance
    runs: tuple[Run, ...]

    @property
    def best(self) -> Run:
        """The run with the shortest layout."""
        return min(self.runs, key=lambda run: run.length)

    @property
    def lower_bound(self) -> float:
        """The best bound that any run proved."""
        return max(run.lower_bound for run in self.runs)

    def record(self) -> dict[str, Any]:
        """The result as plain dictionaries, lists, text and numbers."""
        return {
            "name": self.instance.name,
            "lower_bound": self.lower_bound,
            "runs": [
                {
                    "seed": run.seed,
                    "seconds": round(run.seconds, 2),
                    "length": run.length,
                    "density": round(run.density, 4),
                }
                for run in self.runs
            ],
            "placements": [asdict(self.instance.recorded(each)) for each in self.best.placed],
        }


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure every instance, print the table, write the JSON file."""
    asked = _parser().parse_args(arguments)
    print(f"compiling took {warm_up():.1f} s and is not counted", file=sys.stderr)
    results: list[Result] = []
    for instance in read_instances(asked.folder):
        result = measure(instance, Limits(asked.seconds), asked.workers, range(asked.seeds))
        results.append(result)
        print("  ".join(_cells(result, ())), file=sys.stderr, flush=True)
        if asked.json:
            _write(asked.json, results)
    print(f"{asked.seconds:g} s, {asked.workers} workers, {asked.seeds} seeds; per cent")
    print(table(results))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(description="Measure the density of open packing sets.")
    parser.add_argument("folder", type=Path, help="folder of instances, or one file")
    parser.add_argument("--seconds", type=float, default=60.0, help="search time of one run")
    parser.add_argument("--workers", type=int, default=2, help="processes of one run")
    parser.add_argument("--seeds", type=int, default=3, help="runs of each instance")
    parser.add_argument("--json", type=Path, help="file to write the runs and best layouts to")
    return parser


def warm_up() -> float:
    """Compile or load all loops, and return the seconds that it took."""
    started = time.perf_counter()
    prepare_all()
    return time.perf_counter() - started


def measure(instance: Instance, limits: Limits, workers: int, seeds: Iterable[int]) -> Result:
    """Search once for each seed and check each layout.

    Raises
    ------
    UnprovenLayoutError
        When a layout breaks a rule of the instance.
    """
    return Result(instance, tuple(_run(instance, limits, workers, seed) for seed in seeds))


def _run(instance: Instance, limits: Limits, workers: int, seed: int) -> Run:
    found = solve(instance.problem, limits, seed=seed, workers=workers)
    placed = instance.placed(found.layout)
    length = round(prove(instance, placed) * instance.scale) / instance.scale
    return Run(
        seed,
        found.seconds,
        found.first_seconds,
        length,
        instance.density(length),
        found.lower_bound / instance.scale,
        found.proved_optimal,
        placed,
    )


def _write(path: Path, results: Iterable[Result]) -> None:
    """Replace the whole file at once, so that a run that is stopped keeps its measurements."""
    fresh = path.with_name(f".{path.name}.fresh")
    record = {"instances": [result.record() for result in results]}
    fresh.write_text(json.dumps(record, indent=1) + "\n", encoding="utf-8")
    os.replace(fresh, path)


def table(results: Sequence[Result]) -> str:
    """A table of median and best density, the bound, and published values."""
    named = (each.method for result in results for each in result.instance.published)
    methods = tuple(dict.fromkeys(named))
    heads = ["instance", "pieces", "median", "best", "length", "bound", "proved", "first lay"]
    rows = [_cells(result, methods) for result in results]
    measured = columns([[*heads, *methods], *rows], right=range(1, len(heads) + len(methods)))
    return "\n".join([measured, "", *_sources(results)])


def _sources(results: Iterable[Result]) -> list[str]:
    """Sources of the published columns, whose lengths are as stated and not checked."""
    published = [each for result in results for each in result.instance.published]
    return list(dict.fromkeys(f"{each.method}: {each.source}" for each in published))


def _cells(result: Result, methods: Sequence[str]) -> list[str]:
    instance, best = result.instance, result.best
    return [
        instance.name,
        str(len(instance.problem.pieces)),
        f"{median(run.density for run in result.runs):.2f}",
        f"{best.density:.2f}",
        f"{best.length:g}",
        f"{result.lower_bound:g}",
        f"{sum(run.proved for run in result.runs)} of {len(result.runs)}",
        f"{max(run.first_seconds for run in result.runs):.2f} s",
        *_published(instance, methods),
    ]


def _published(instance: Instance, methods: Sequence[str]) -> Iterator[str]:
    stated = {each.method: each for each in instance.published}
    for method in methods:
        density = None
        if method in stated:
            density, length = stated[method].density, stated[method].length
            density = instance.density(length) if length else density
        yield "-" if density is None else f"{density:.2f}"


if __name__ == "__main__":
    main()
