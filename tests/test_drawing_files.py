"""Lay drawings as files, checked before they are returned."""

from dataclasses import replace

import pytest
from worked_lays import mixed_lay

from nesting.drawings.drawing import Pen
from nesting.drawings.hpgl import reader as hpgl_reader
from nesting.drawings.hpgl import writer as hpgl
from nesting.errors import OrderError, UnprovenLayError
from nesting.exporters.lay import lay_drawing
from nesting.planning.drawing_files import (
    DrawnLay,
    dxf_files,
    dxf_r12_files,
    plt_files,
    svg_files,
)

LAY = mixed_lay()
SHEET = DrawnLay("teal-twill", LAY, lay_drawing(LAY))

WRITERS = {
    "teal-twill.dxf": dxf_files,
    "teal-twill.r12.dxf": dxf_r12_files,
    "teal-twill.svg": svg_files,
    "teal-twill.plt": lambda sheets: plt_files(sheets, hpgl.Plotter()),
}


@pytest.mark.parametrize("name", WRITERS)
def test_every_format_is_named_after_the_cloth(name):
    export = WRITERS[name]([SHEET])
    assert list(export.files) == [name]
    assert export.notes == ()


@pytest.mark.parametrize("name", WRITERS)
def test_a_drawing_that_does_not_show_the_lay_is_never_written(name):
    cuts = [path for path in SHEET.drawing.paths if path.pen is Pen.CUT]
    without = tuple(path for path in SHEET.drawing.paths if path is not cuts[0])
    faulty = replace(SHEET, drawing=replace(SHEET.drawing, paths=without))
    with pytest.raises(UnprovenLayError, match="finding"):
        WRITERS[name]([faulty])


@pytest.mark.parametrize("name", ["teal-twill.r12.dxf", "teal-twill.plt"])
def test_names_in_other_letters_are_respelled_and_told(name):
    renamed = {panel: replace(panel, name=f"ö{panel.name}") for panel in LAY.panels}
    lay = replace(
        LAY,
        panels=tuple(renamed.values()),
        placed=tuple(replace(one, panel=renamed[one.panel]) for one in LAY.placed),
    )
    export = WRITERS[name]([DrawnLay("teal-twill", lay, lay_drawing(lay))])
    assert export.files[name].isascii()
    assert export.notes[0] == '"öplate" is spelled "oplate" where only plain letters are possible'
    assert len(export.notes) == len(LAY.panels)


def test_pens_may_share_a_number_and_kinds_may_be_left_out():
    pens = {**hpgl.OWN_PENS, Pen.STITCH: 1, Pen.GRAIN: 0}
    data = plt_files([SHEET], hpgl.Plotter(pens=pens)).files["teal-twill.plt"]
    drawn = hpgl_reader.read(data).paths
    kinds = {pen: sum(path.pen is pen for path in SHEET.drawing.paths) for pen in Pen}
    found = {pen: sum(path.pen is pen for path in drawn) for pen in Pen}
    assert found[Pen.CUT] == kinds[Pen.CUT] + kinds[Pen.STITCH]
    assert found[Pen.GRAIN] == found[Pen.STITCH] == 0
    assert found[Pen.NOTCH] == kinds[Pen.NOTCH]


def test_a_cloth_that_is_wider_than_the_plotter_is_refused():
    with pytest.raises(OrderError, match="no wider than the plotter"):
        plt_files([SHEET], hpgl.Plotter(width=914.0))
