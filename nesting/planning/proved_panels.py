"""Panel files for machines, each read back from its bytes and checked against the panels."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from nesting.drawings.drawing import Drawing
from nesting.drawings.dxf.shapes import open_document
from nesting.drawings.hpgl import reader as hpgl_reader
from nesting.drawings.hpgl import writer as hpgl
from nesting.drawings.hpgl.writer import Plotter
from nesting.drawings.pieces import reader as piece_reader
from nesting.drawings.pieces.reader import ReadPiece
from nesting.drawings.svg import reader as svg_reader
from nesting.drawings.svg import writer as svg
from nesting.drawings.tool import Tool
from nesting.exporters.formats import Export
from nesting.exporters.templates.folding import TWINS_APART
from nesting.panels.panel import Panel
from nesting.planning.drawing_files import plot_with_pens, read_back
from nesting.planning.plan import must_be_proved
from nesting.units import to_mm
from nesting.verification.pieces import check_pieces
from nesting.verification.plotted import check_file
from nesting.verification.sheet import check_sheet

#: More copies of a piece than any order has.
_MOST_COPIES: Final = 10**9 - 1


def must_show_pieces(export: Export, panels: Sequence[Panel], *, halves: bool) -> Export:
    """The files of pattern pieces, if all that is in them is as the panels have it.

    Raises
    ------
    UnprovenLayError
        With everything that differs.
    """
    for data in export.files.values():
        pieces = read_back(_pieces, data)
        within = to_mm(TWINS_APART) if halves else 0.0
        must_be_proved(check_pieces(pieces, panels, within))
    return export


def _pieces(data: bytes) -> tuple[ReadPiece, ...]:
    return piece_reader.read(open_document(data), None, _MOST_COPIES)


def svg_of_panels(drawing: Drawing, panels: Sequence[Panel], tool: Tool) -> bytes:
    """The drawing of all panels as SVG.

    Raises
    ------
    UnprovenLayError
        When the file does not show the panels.
    """
    data = svg.write(drawing)
    _must_show(read_back(svg_reader.read, data), drawing, panels, tool)
    return data


def plot_of_panels(
    drawing: Drawing, panels: Sequence[Panel], tool: Tool, plotter: Plotter
) -> bytes:
    """The drawing of all panels as HP-GL, checked like the plot of a lay.

    Raises
    ------
    UnprovenLayError
        When the file does not show the panels.
    """
    distinct = hpgl.write(drawing, replace(plotter, pens=hpgl.OWN_PENS))
    _must_show(read_back(hpgl_reader.read, distinct), drawing, panels, tool)
    return plot_with_pens(drawing, plotter, tool)


def _must_show(read: Drawing, meant: Drawing, panels: Sequence[Panel], tool: Tool) -> None:
    found = (*check_sheet(read, panels, meant.height, tool), *check_file(read, meant))
    must_be_proved(tuple(dict.fromkeys(found)))
