"""``panels``: draws the cut panels of an order without laying them."""

from typing import TYPE_CHECKING, Annotated, Final

import typer

from cli.cutter import MachineTool, read_tool
from cli.options import Json, OrderFile, Out, Quiet, read_formats
from cli.out import beside, write_out
from cli.plotting import (
    Plot16Bit,
    PlotFrame,
    PlotOptions,
    PlotOrigin,
    PlotPens,
    PlotWidth,
    pen_notes,
)
from cli.printing import Margin, OnFold, Paper, read_printing
from cli.reading import about, order_from
from cli.screen import ExitStatus, json_text, remark, say
from nesting.exporters.formats import (
    PANEL_DEFAULTS,
    PANEL_FORMATS,
    PANEL_MACHINE_FORMATS,
    Format,
)

if TYPE_CHECKING:
    from pathlib import Path

    from nesting.exporters.formats import Export

_DEFAULTS: Final = ",".join(PANEL_DEFAULTS)

Formats = Annotated[
    str,
    typer.Option("--formats", metavar="LIST", help=f"What to write: {', '.join(PANEL_FORMATS)}."),
]


def write_panels(
    order_file: OrderFile,
    *,
    out: Out = None,
    formats: Formats = _DEFAULTS,
    paper: Paper = None,
    margin: Margin = None,
    fold: OnFold = False,
    tool: MachineTool = None,
    plot_frame: PlotFrame = None,
    plot_width: PlotWidth = None,
    plot_origin: PlotOrigin = "corner",
    plot_16_bit: Plot16Bit = False,
    plot_pens: PlotPens = None,
    quiet: Quiet = False,
    as_json: Json = False,
) -> ExitStatus:
    """Draw the cut panels of an order, after checking that all seams meet.

    Writes pieces.dxf (pattern pieces by ASTM D6673), templates.pdf (full-size
    templates) and panel-sheet.html. --formats can also ask for panels.svg and
    panels.plt, which --tool makes for a pen or a knife.
    """
    wanted = read_formats(formats, PANEL_FORMATS)
    head = read_tool(tool, wanted, PANEL_MACHINE_FORMATS)
    folder = out or beside(order_file, "panels")
    order = order_from(order_file)
    printing = read_printing(paper, margin, order.units, on_fold=fold)
    options = PlotOptions(plot_frame, plot_width, plot_origin, plot_16_bit, plot_pens)
    plotter = options.read(order.units)
    from nesting.planning.panel_files import PanelSettings, panel_export

    with about(order_file):
        export = panel_export(order, wanted, PanelSettings(printing, plotter, tool=head))
    _write(folder, export, quiet=quiet)
    for note in pen_notes(plotter) if Format.PLT in wanted and not quiet else ():
        remark(note)
    if as_json:
        say(json_text({"files": sorted(export.files), "notes": export.notes}))
    elif not quiet:
        say(f"{order.name}\nthe files are in {folder}")
    return ExitStatus.DONE


def _write(folder: "Path", export: "Export", *, quiet: bool) -> None:

    write_out(folder, dict(export.files))
    for note in () if quiet else export.notes:
        remark(note)
