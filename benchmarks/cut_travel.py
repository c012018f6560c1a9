"""Measures how far the head travels between cuts on the sample orders, in three orders of cutting.

::

    python -m benchmarks.cut_travel [--samples FOLDER]

Each sample is laid with the steps of its ``expected.toml``, seed 0 and one
worker. Its cuts (pass ``cut``) and notches (pass ``notch``) are ordered as in
an exported drawing, each pass from the default corner. ``together`` is the
travel of one knife that makes notches and cuts in one pass. The last rows repeat
the lay with the most panels along the roll until there are a thousand panels.
"""

import argparse
import time
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import ceil
from pathlib import Path
from typing import Final

from cli.screen import columns
from nesting.cut_order.method import cut_order
from nesting.drawings.drawing import Drawing, Pen
from nesting.drawings.drawing import Path as Line
from nesting.exporters.lay import lay_drawing
from nesting.orders.reader import read_order
from nesting.packing.running import Limits
from nesting.planning.plan import plan_order

SAMPLES: Final = Path(__file__).parent.parent / "samples"

#: Number of panels in the lay that is measured for time.
MANY: Final = 1000

_HEADS: Final = (
    "lay", "pass", "number", "placement order, m", "nearest first, m", "after, m",
    "below placement", "below nearest", "seconds",
)  # fmt: skip


def main(arguments: Sequence[str] | None = None) -> None:
    """Measure every sample and a lay of a thousand panels, and print one table."""
    parser = argparse.ArgumentParser(description="Measure the travel between cuts.")
    parser.add_argument("--samples", type=Path, default=SAMPLES)
    asked = parser.parse_args(arguments)
    sheets = {name: sheet for folder in _folders(asked.samples) for name, sheet in _lays(folder)}
    rows = [row for name, sheet in sheets.items() for row in measure(name, sheet, together=True)]
    most = max(sheets.values(), key=lambda sheet: len(_lines(sheet, Pen.CUT)))
    times = ceil(MANY / len(_lines(most, Pen.CUT)))
    rows += measure(f"{most.title} x {times}", repeat(most, times), together=False)
    print(columns([_HEADS, *rows], right=range(2, len(_HEADS))))


def _folders(samples: Path) -> list[Path]:
    return sorted(path.parent for path in samples.glob("*/order.toml"))


def _lays(folder: Path) -> Iterator[tuple[str, Drawing]]:
    """The lay drawing of each cloth of a sample."""
    steps = tomllib.loads((folder / "expected.toml").read_text(encoding="utf-8"))["steps"]
    plan = plan_order(
        read_order(folder / "order.toml"), Limits(seconds=None, steps=steps), workers=1
    )
    for lay in plan.lay.cloths:
        yield f"{folder.name}, {lay.cloth.name}", lay_drawing(lay)


def repeat(sheet: Drawing, times: int) -> Drawing:
    """The lay repeated end to end along the roll."""
    paths = tuple(
        replace(path, points=tuple((x + k * sheet.width, y) for x, y in path.points))
        for k in range(times)
        for path in sheet.paths
    )
    return replace(sheet, width=times * sheet.width, paths=paths)


def measure(name: str, sheet: Drawing, *, together: bool) -> Iterator[list[str]]:
    """One row for each pass of a sheet, and one for notches and cuts in one pass."""
    notches, cuts = _lines(sheet, Pen.NOTCH), _lines(sheet, Pen.CUT)
    passes = {"cut": cuts, "notch": notches, "together": [*notches, *cuts] if together else []}
    for label, lines in passes.items():
        if lines and (label == "cut" or notches):
            yield [name, label, *_row(lines)]


def _row(lines: list[Line]) -> list[str]:
    started = time.perf_counter()
    travel = cut_order(lines).travel
    seconds = time.perf_counter() - started
    return [
        str(len(lines)),
        *(f"{way / 1000:.2f}" for way in (travel.given, travel.nearest, travel.after)),
        f"{100 * travel.below_given:.1f} %",
        f"{100 * travel.below_nearest:.1f} %",
        f"{seconds:.2f}",
    ]


def _lines(sheet: Drawing, pen: Pen) -> list[Line]:
    return [path for path in sheet.paths if path.pen is pen]


if __name__ == "__main__":
    main()
