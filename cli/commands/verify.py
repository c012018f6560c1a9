"""``verify``: checks a lay again."""

from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Final

import typer

from cli.cutter import MachineTool, read_tool
from cli.options import Json, StockFile
from cli.plotting import PlotPens, read_pens
from cli.reading import about, order_from
from cli.screen import ExitStatus, json_text, say
from cli.shown_piece import find_cloth, find_piece
from nesting.errors import AccessError, Fault, OrderError
from nesting.exporters.formats import LAY_MACHINE_FORMATS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from nesting.drawings.drawing import Drawing, Pen
    from nesting.drawings.tool import Tool
    from nesting.orders.order import Order
    from nesting.verification.findings import Finding

#: Suffixes of plots and of all lay drawings; any other file counts as a layout file.
_PLOTS: Final = (".plt", ".hpgl")
_DRAWINGS: Final = (".dxf", ".svg", *_PLOTS)


def verify_file(
    file: Annotated[
        Path,
        typer.Argument(metavar="FILE", help="A layout.json, or a lay drawing (DXF, SVG, PLT)."),
    ],
    order_file: Annotated[
        Path | None,
        typer.Option("--order", metavar="ORDER", help="The order that the lay was made for."),
    ] = None,
    cloth: Annotated[
        str | None,
        typer.Option("--cloth", metavar="NAME", help="The cloth that a drawing shows."),
    ] = None,
    piece: Annotated[
        str | None,
        typer.Option("--piece", metavar="NAME", help="The piece of that cloth that it shows."),
    ] = None,
    plot_pens: PlotPens = None,
    tool: MachineTool = None,
    *,
    stock: StockFile = None,
    as_json: Json = False,
) -> ExitStatus:
    """Check a lay again from its outlines.

    This is a second opinion, by code that had no part in making the lay. A
    layout.json is checked by itself, and with --order against its order: cloths,
    their rules, panels and quantities. A drawing needs its order. If a format
    rounds coordinates or stores arcs, the check allows for that and says so.
    A plot is read with the pens that it was written with (--plot-pens). A
    drawing for a knife (--tool knife) has no labels: its panels are known by
    their outlines and marks. Where a cloth has several pieces, a drawing shows
    one of them: panels that are missing from it may lie on another. For a lay
    on pieces of a shelf, give --stock too, before it is booked there.
    """
    asked = _asked(order_file, stock)
    if file.suffix.lower() not in _PLOTS:
        _refuse_given({"--plot-pens": plot_pens}, "a plot (PLT)")
    if file.suffix.lower() in _DRAWINGS:
        head = read_tool(tool, LAY_MACHINE_FORMATS, LAY_MACHINE_FORMATS)
        checked = _check_drawing(file, asked, (cloth, piece), plot_pens, head)
    else:
        _refuse_given(
            {"--cloth": cloth, "--piece": piece, "--tool": tool}, "a lay drawing (DXF, SVG, PLT)"
        )
        checked = _check_record(file, asked)
    say(json_text(checked.record())) if as_json else _show(checked)
    return ExitStatus.FINDINGS if checked.findings else ExitStatus.DONE


@dataclass(frozen=True)
class _Asked:
    """The order that a lay was made for, and its file."""

    file: Path
    order: "Order"


def _asked(file: Path | None, shelf: Path | None) -> _Asked | None:
    if file is None:
        _refuse_given({"--stock": shelf}, "a check against an order (--order)")
        return None
    return _Asked(file, order_from(file, shelf))


@dataclass(frozen=True)
class _Checked:
    """What was found in a file with so many panels.

    Lines may be off by ``within`` (mm); the kinds ``left_out`` could not be checked.
    Without ``against_order`` a layout file was trusted for what the order asks.
    A drawing of one ``piece`` of several need not show all panels.
    """

    findings: "tuple[Finding, ...]"
    panels: int
    within: float = 0.0
    left_out: tuple[str, ...] = ()
    against_order: bool = True
    piece: str = ""

    def record(self) -> dict[str, object]:
        """The same for a program to read."""
        record = {
            "panels": self.panels,
            "findings": [asdict(found) for found in self.findings],
            "against_order": self.against_order,
        }
        more = {"within_mm": self.within, "left_out": self.left_out, "piece": self.piece}
        return {**record, **{name: value for name, value in more.items() if value}}


def _show(checked: _Checked) -> None:
    for found in checked.findings:
        say(str(found))
    if not checked.findings:
        allowed = f", within {checked.within:.3f} mm for this format" if checked.within else ""
        absent = f"; not drawn, so not checked: {', '.join(checked.left_out)}"
        panels = "1 panel" if checked.panels == 1 else f"{checked.panels} panels"
        told = f"OK: {panels} checked, no faults{allowed}"
        say(told + (absent if checked.left_out else ""))
    if checked.piece:
        others = "panels that are not drawn may lie on another piece of the cloth"
        say(f'it shows "{checked.piece}" alone: {others}')
    if not checked.against_order:
        compared = "to compare it with its order, add --order ORDER"
        say(f"checked only for what the file says of itself; {compared}")


def _refuse_given(options: dict[str, object], where: str) -> None:
    faults = [
        Fault(name, f"applies only to {where}", str(value), "leave it out")
        for name, value in options.items()
        if value is not None
    ]
    if faults:
        raise OrderError(faults)


def _check_record(file: Path, asked: _Asked | None) -> _Checked:
    from nesting.planning.record_of_order import check_record_of_order
    from nesting.verification.checker import check_record, read_json

    with about(file):
        record: Any = read_json(file)
        findings = check_record(record)
    if asked is not None:
        with about(asked.file):
            findings = (*findings, *check_record_of_order(record, asked.order))
    panels = sum(len(cloth["placements"]) for cloth in record["cloths"])
    return _Checked(findings, panels, against_order=asked is not None)


def _check_drawing(
    file: Path,
    asked: _Asked | None,
    named: tuple[str | None, str | None],
    plot_pens: str | None,
    tool: "Tool",
) -> _Checked:
    """Check a drawing of the named cloth and piece, found by its title and file if None."""
    if asked is None:
        advice = "give the order: clothwright verify FILE --order ORDER"
        raise OrderError([Fault("FILE", "a lay drawing is checked against its order", "", advice)])
    order = asked.order
    from nesting.drawings.drawing import Pen
    from nesting.drawings.tool import Tool
    from nesting.planning.auto_from_drawing import read_pieces
    from nesting.planning.cloth_panels import panels_from
    from nesting.planning.order_panels import cloths_used, make_order
    from nesting.verification.drawn import check_drawing
    from nesting.verification.knife import check_knife_drawing
    from nesting.verification.plotted import must_tell_kinds

    with about(file):
        drawing = _read(file, _pens(plot_pens, tool))
    must_tell_kinds(drawing, tool)
    if tool is Tool.PEN:
        _must_be_for_a_pen(drawing, file)
    shown = find_cloth(cloths_used(order), named[0], drawing, file)
    piece = find_piece(shown, named[1], drawing, file)
    with about(asked.file):
        made = make_order(order, read_pieces(order, shown, drawing, tool)).made
    check = check_knife_drawing if tool is Tool.KNIFE else check_drawing
    alone = len(shown.pieces) == 1
    wanted = panels_from(shown, made).panels
    findings = check(drawing, shown, wanted, piece, complete=alone)
    panels = sum(path.pen is Pen.CUT for path in drawing.paths)
    left_out = tuple(sorted(drawing.left_out))
    return _Checked(findings, panels, drawing.within, left_out, piece="" if alone else piece.name)


def _pens(plot_pens: str | None, tool: "Tool") -> "Mapping[Pen, int] | None":
    """The pens of a plot, None for the usual ones."""
    from nesting.drawings.tool import Tool, pens_followed

    if plot_pens is None:
        return None
    pens = read_pens(plot_pens)
    return pens_followed(pens) if tool is Tool.KNIFE else pens


def _must_be_for_a_pen(drawing: "Drawing", file: Path) -> None:
    """Refuse a drawing of cuts and their marks alone: it names no panel."""
    from nesting.drawings.tool import FOLLOWED

    if drawing.paths and not drawing.texts and all(p.pen in FOLLOWED for p in drawing.paths):
        rule = "must have the labels and grain lines of a drawing for a pen"
        remedy = "if it was written for a knife, verify it with --tool knife"
        raise OrderError([Fault(file.name, rule, "only cuts and marks", remedy)])


def _read(file: Path, pens: "Mapping[Pen, int] | None") -> "Drawing":
    from nesting.drawings.dxf import reader as dxf_reader
    from nesting.drawings.hpgl import reader as hpgl_reader
    from nesting.drawings.svg import reader as svg_reader

    data = _bytes_of(file)
    if file.suffix.lower() == ".dxf":
        return dxf_reader.read(data)
    if file.suffix.lower() == ".svg":
        return svg_reader.read(data)
    return hpgl_reader.read(data, pens)


def _bytes_of(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except OSError as error:
        msg = f"{file} cannot be read: {error.strerror or error}: check its name"
        raise AccessError(msg) from None
