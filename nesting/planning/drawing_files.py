"""Lay drawings as files, each read back from its bytes and checked against the lay."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import partial
from typing import TypeVar

from nesting.drawings.drawing import Drawing
from nesting.drawings.dxf import own_reader as dxf_own_reader
from nesting.drawings.dxf import writer as dxf
from nesting.drawings.hpgl import reader as hpgl_reader
from nesting.drawings.hpgl import writer as hpgl
from nesting.drawings.svg import reader as svg_reader
from nesting.drawings.svg import writer as svg
from nesting.drawings.tool import Tool, pens_followed
from nesting.errors import OrderError
from nesting.exporters.formats import Export
from nesting.exporters.lay import lay_in_plain_letters, texts
from nesting.exporters.plot_labels import with_texts_in_frames
from nesting.layouts.lay import ClothLay
from nesting.planning.plan import must_be_proved, unproven
from nesting.verification.drawn import check_drawing
from nesting.verification.findings import Finding
from nesting.verification.knife import check_knife_drawing
from nesting.verification.plotted import check_file, unreadable

#: What a reader makes of a file.
Contents = TypeVar("Contents")


@dataclass(frozen=True)
class DrawnLay:
    """One drawn lay; ``name`` is the name of its files without their endings.

    A drawing for a knife shows less, and is checked for that.
    """

    name: str
    lay: ClothLay
    drawing: Drawing
    tool: Tool = Tool.PEN


def dxf_files(sheets: Iterable[DrawnLay], *, arcs: bool = False) -> Export:
    """``CLOTH.dxf`` for each lay: release R2000."""
    return _checked_files(
        sheets, ".dxf", lambda sheet: dxf.write(sheet.drawing, arcs=arcs), dxf_own_reader.read
    )


def dxf_r12_files(sheets: Iterable[DrawnLay], *, arcs: bool = False) -> Export:
    """``CLOTH.r12.dxf`` for each lay, its names in plain letters."""
    plain, notes = _in_plain_letters(sheets)

    def write(sheet: DrawnLay) -> bytes:
        return dxf.write(sheet.drawing, dxf.Release.R12, arcs=arcs, tool=sheet.tool)

    return Export(_checked_files(plain, ".r12.dxf", write, dxf_own_reader.read).files, notes)


def svg_files(sheets: Iterable[DrawnLay]) -> Export:
    """``CLOTH.svg`` for each lay."""
    return _checked_files(sheets, ".svg", lambda sheet: svg.write(sheet.drawing), svg_reader.read)


def plt_files(sheets: Iterable[DrawnLay], plotter: hpgl.Plotter) -> Export:
    """``CLOTH.plt`` for each lay, as HP-GL, its names in plain letters.

    With the usual pens a plot shows the whole lay, and is checked like every
    drawing. With others it may show less. So the bytes that are kept are read
    back too, and must draw the same lines and letters.

    Raises
    ------
    OrderError
        When a cloth is wider than the plotter.
    """
    respelled, notes = _in_plain_letters(sheets)
    plain = [
        replace(each, drawing=with_texts_in_frames(each.drawing, plotter)) for each in respelled
    ]
    distinct = replace(plotter, pens=hpgl.OWN_PENS)

    def write(sheet: DrawnLay) -> bytes:
        return hpgl.write(sheet.drawing, distinct)

    _checked_files(plain, ".plt", write, hpgl_reader.read)
    files = {f"{one.name}.plt": plot_with_pens(one.drawing, plotter, one.tool) for one in plain}
    return Export(files, notes)


def plot_with_pens(drawing: Drawing, plotter: hpgl.Plotter, tool: Tool) -> bytes:
    """A checked drawing as a plot with other pens, its lines and texts read back from it."""
    data = hpgl.write(drawing, plotter)
    pens = pens_followed(plotter.pens) if tool is Tool.KNIFE else plotter.pens
    must_be_proved(check_file(read_back(partial(hpgl_reader.read, pens=pens), data), drawing))
    return data


def read_back(read: Callable[[bytes], Contents], data: bytes) -> Contents:
    """What is in a file of our own.

    Raises
    ------
    UnprovenLayError
        When it cannot be read.
    """
    try:
        return read(data)
    except OrderError as error:
        raise unproven(unreadable(error)) from error


def _in_plain_letters(sheets: Iterable[DrawnLay]) -> tuple[list[DrawnLay], tuple[str, ...]]:
    """The sheets with names in plain letters only, and a note on each name changed."""
    plain: list[DrawnLay] = []
    changed: list[str] = []
    for sheet in sheets:
        lay, notes = lay_in_plain_letters(sheet.lay)
        respelled = sheet.drawing
        if notes and sheet.tool is Tool.PEN:
            respelled = replace(sheet.drawing, texts=texts(lay))
            changed += notes
        plain.append(replace(sheet, drawing=respelled))
    return plain, tuple(changed)


def _checked_files(
    sheets: Iterable[DrawnLay],
    ending: str,
    write: Callable[[DrawnLay], bytes],
    read: Callable[[bytes], Drawing],
) -> Export:
    """Write each sheet, read it back and check it; refuse one that does not show the lay."""
    files = {}
    for sheet in sheets:
        data = write(sheet)
        must_be_proved(_check(read_back(read, data), sheet))
        files[f"{sheet.name}{ending}"] = data
    return Export(files)


def _check(read: Drawing, sheet: DrawnLay) -> tuple[Finding, ...]:
    """What is wrong with a drawing that was read back.

    It is checked against the order, and its lines and texts are compared one by
    one with those that were meant: the order does not say how large a label is,
    and a knife drawing does not show everything about its panels.
    """
    check = check_drawing if sheet.tool is Tool.PEN else check_knife_drawing
    lay = sheet.lay
    alone = len(lay.cloth.as_sold.pieces) == 1
    complete = alone or len(lay.placed) == sum(panel.copies for panel in lay.panels)
    found = check(read, lay.cloth, lay.panels, lay.piece, complete=complete)
    return tuple(dict.fromkeys((*found, *check_file(read, sheet.drawing))))
