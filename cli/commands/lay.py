"""``lay``: lays the panels of an order on its cloths."""

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Annotated

import typer

from cli.cutter import MachineTool, StartCorner, read_corner, read_tool
from cli.interruption import Interruption
from cli.lay_files import Wanted, write_lay
from cli.monitor import monitor
from cli.options import (
    LAY_FORMATS_DEFAULT,
    CsvSeparator,
    Json,
    LayFormats,
    MarkedFace,
    OrderFile,
    Out,
    Quiet,
    Seconds,
    Seed,
    Steps,
    StockFile,
    Workers,
    read_face,
    read_formats,
    read_search,
    read_separator,
)
from cli.out import beside, check_out
from cli.plotting import (
    Arcs,
    Plot16Bit,
    PlotFrame,
    PlotOptions,
    PlotOrigin,
    PlotPens,
    PlotWidth,
    pen_notes,
)
from cli.reading import about, order_from
from cli.screen import ExitStatus, remark, say
from cli.summary import lay_summary, left_out_lines
from nesting.errors import OrderError
from nesting.exporters.formats import LAY_FORMATS, LAY_MACHINE_FORMATS, Format
from nesting.units import to_mm

if TYPE_CHECKING:
    from pathlib import Path

    from cli.options import Search
    from nesting.drawings.hpgl.writer import Plotter
    from nesting.orders.order import Order
    from nesting.planning.partial import LeftOut
    from nesting.planning.plan import Plan


Partial = Annotated[
    bool,
    typer.Option("--partial", help="If cloth is too little, lay as many whole items as fit."),
]


@dataclass(frozen=True)
class _Wish:
    """What to lay, and with what effort."""

    file: "Path"
    order: "Order"
    folder: "Path"
    search: "Search"
    partial: bool


def lay_order(
    order_file: OrderFile,
    *,
    out: Out = None,
    stock: StockFile = None,
    as_fits: Partial = False,
    seconds: Seconds = None,
    steps: Steps = None,
    seed: Seed = None,
    workers: Workers = None,
    formats: LayFormats = LAY_FORMATS_DEFAULT,
    face: MarkedFace = "up",
    csv_separator: CsvSeparator = ",",
    tool: MachineTool = None,
    start_corner: StartCorner = "cut-end-lower",
    arcs: Arcs = False,
    plot_frame: PlotFrame = None,
    plot_width: PlotWidth = None,
    plot_origin: PlotOrigin = "corner",
    plot_16_bit: Plot16Bit = False,
    plot_pens: PlotPens = None,
    quiet: Quiet = False,
    as_json: Json = False,
) -> ExitStatus:
    """Lay the panels of an order on its cloths.

    Finds and checks a lay plan for each cloth. Then writes layout.json and what
    --formats names: report.html, marking-out.csv, drawings of each cloth and
    more. Ctrl-C ends the search and keeps the best lay plan.
    """
    search = read_search(seconds, steps, seed, workers)
    chosen_formats = read_formats(formats, LAY_FORMATS)
    head = read_tool(tool, chosen_formats, LAY_MACHINE_FORMATS)
    lies, corner = read_face(face), read_corner(start_corner)
    separator = read_separator(csv_separator)
    options = PlotOptions(plot_frame, plot_width, plot_origin, plot_16_bit, plot_pens)
    folder = out or beside(order_file, "lay")
    with Interruption() as interruption:
        order = order_from(order_file, stock)
        plotter = options.read(order.units)
        if Format.PLT in chosen_formats:
            with about(order_file):
                _check_plottable(order, plotter)
            for note in () if quiet else pen_notes(plotter):
                remark(note)
        wish = _Wish(order_file, order, folder, search, partial=as_fits)
        plan, left_out = _plan(wish, interruption, quiet=quiet)
        wanted = Wanted(chosen_formats, lies, corner, arcs, plotter, separator, head)
        layout = write_lay(folder, plan, wanted, order_file, quiet=quiet)
    if as_json:
        say(layout)
    elif not quiet:
        say(lay_summary(plan, folder))
        for line in left_out_lines(left_out):
            say(line)
    return ExitStatus.INTERRUPTED if interruption.asked else ExitStatus.DONE


def _check_plottable(order: "Order", plotter: "Plotter") -> None:
    """Refuse cloths that are too wide for the plotter, before anything is laid."""
    from nesting.drawings.hpgl.writer import width_faults
    from nesting.planning.order_panels import cloths_used

    cloths = cloths_used(order)
    faults = [f for c in cloths for f in width_faults(c.name, to_mm(c.width), plotter)]
    if faults:
        raise OrderError(faults)


def _plan(
    wish: _Wish, interruption: Interruption, *, quiet: bool
) -> "tuple[Plan, tuple[LeftOut, ...]]":
    check_out(wish.folder)
    search = wish.search
    asked = wish.order.units, search.limits, lambda: interruption.asked
    with monitor(quiet, *asked) as shown:
        from nesting.planning.partial import plan_what_fits
        from nesting.planning.plan import plan_order

        plan = partial(
            plan_order,
            limits=search.limits,
            seed=search.seed,
            workers=search.workers,
            observe=shown.observe,
            interrupted=shown.interrupted,
        )
        with about(wish.file):
            return plan_what_fits(wish.order, plan) if wish.partial else (plan(wish.order), ())
