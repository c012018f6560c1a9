"""``lay``: the main job."""

from typing import TYPE_CHECKING

from cli.interruption import Interruption
from cli.monitor import monitor
from cli.options import (
    Json,
    OrderFile,
    Out,
    Quiet,
    Seconds,
    Seed,
    Steps,
    Workers,
    read_search,
)
from cli.reading import about, beside, order_from
from cli.screen import ExitStatus, say
from cli.summary import lay_summary

if TYPE_CHECKING:
    from pathlib import Path

    from cli.options import Search
    from nesting.planning import Plan


def lay_order(
    order_file: OrderFile,
    *,
    out: Out = None,
    seconds: Seconds = None,
    steps: Steps = None,
    seed: Seed = None,
    workers: Workers = None,
    quiet: Quiet = False,
    as_json: Json = False,
) -> ExitStatus:
    """Lay the panels of an order on its cloths.

    Plans and proves a lay for each cloth, then writes layout.json,
    report.html, marking-out.csv and each cloth's drawing as DXF and SVG.
    Ctrl-C ends the search and keeps the best lay.
    """
    search = read_search(seconds, steps, seed, workers)
    folder = out or beside(order_file, "lay")
    with Interruption() as interruption:
        plan = _plan(order_file, folder, search, interruption, quiet=quiet)
        layout = _write(folder, plan)
    if as_json:
        say(layout)
    elif not quiet:
        say(lay_summary(plan, folder))
    return ExitStatus.INTERRUPTED if interruption.asked else ExitStatus.DONE


def _plan(
    order_file: "Path", folder: "Path", search: "Search", interruption: Interruption, *, quiet: bool
) -> "Plan":
    order = order_from(order_file)
    from nesting.exporters.folder import check_folder

    check_folder(folder)
    with monitor(quiet, order.units, search.limits, lambda: interruption.asked) as shown:
        from nesting.planning import plan_order

        with about(order_file):
            return plan_order(
                order,
                search.limits,
                seed=search.seed,
                workers=search.workers,
                observe=shown.observe,
                interrupted=shown.interrupted,
            )


def _write(folder: "Path", plan: "Plan") -> str:
    """Write every file of a plan; returns the layout file's text."""
    from nesting.exporters.folder import write_whole
    from nesting.planning.files import lay_files

    files = lay_files(plan)
    write_whole(folder, files)
    return files["layout.json"].decode().rstrip("\n")
