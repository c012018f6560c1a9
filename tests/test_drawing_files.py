"""Lay drawings as files, checked before they are returned."""

import re
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
    assert export.notes[0] == '"öplate" is spelled "oeplate" where only plain letters are possible'
    assert len(export.notes) == len(LAY.panels)


def test_pens_may_share_a_number_and_kinds_may_be_left_out():
    pens = {**hpgl.OWN_PENS, Pen.STITCH: 1, Pen.GRAIN: 0}
    data = plt_files([SHEET], hpgl.Plotter(pens=pens)).files["teal-twill.plt"]
    drawn = hpgl_reader.read(data, pens).paths
    kinds = {pen: sum(path.pen is pen for path in SHEET.drawing.paths) for pen in Pen}
    found = {pen: sum(path.pen is pen for path in drawn) for pen in Pen}
    assert found[Pen.CUT] == kinds[Pen.CUT] + kinds[Pen.STITCH]
    assert found[Pen.GRAIN] == found[Pen.STITCH] == 0
    assert found[Pen.NOTCH] == kinds[Pen.NOTCH]


def without_the_last_line(data):
    before, last = data.rsplit(b"PD", 1)
    return before + last.split(b";", 1)[1]


def with_pens_exchanged(data):
    return re.sub(rb"SP([12]);", lambda found: b"SP%d;" % (3 - int(found[1])), data)


def with_a_line_more(data):
    return data.replace(b"PU;SP0;", b"PU;SP1;PU4000,4000;PD8000,4000;PU;SP0;")


def with_a_label_less(data):
    return re.sub(rb"SI[0-9.,]+;DI[0-9,-]+;[^S]*SI;", b"", data, count=1)


def with_a_letter_bent(data):
    """The last stroke of the first text ends a millimetre higher."""
    before, after = data.split(b"PU;SI;", 1)
    start, _, last = before.rpartition(b",")
    return start + b",%d" % (int(last.rstrip(b";")) + 40) + b";PU;SI;" + after


@pytest.mark.parametrize(
    "spoil",
    [
        without_the_last_line,
        with_pens_exchanged,
        with_a_line_more,
        with_a_label_less,
        with_a_letter_bent,
    ],
)
@pytest.mark.parametrize(
    "changed",
    [
        {Pen.STITCH: 2},
        {Pen.LABEL: 7, Pen.GRAIN: 0},
        {Pen.NOTCH: 1, Pen.INNER_CUT: 1},
    ],
)
def test_a_plot_with_other_pens_is_proved_from_the_bytes_that_are_written(
    monkeypatch, spoil, changed
):
    """Only the file that is kept is spoiled: the one with the pens that were asked for."""
    plotter = hpgl.Plotter(frame=250.0, pens={**hpgl.OWN_PENS, **changed, Pen.FLAW: 8})
    assert plt_files([SHEET], plotter).files
    sound = hpgl.write

    def write(drawing, device):
        data = sound(drawing, device)
        spoilt = spoil(data)
        assert spoilt != data
        return spoilt if device.pens == plotter.pens else data

    monkeypatch.setattr(hpgl, "write", write)
    with pytest.raises(UnprovenLayError):
        plt_files([SHEET], plotter)


def with_the_letters_moved(data):
    """The first text stands 5 mm farther on, letters and all."""
    found = re.search(rb"PU[0-9,]+;SI[0-9.,]+;DI[0-9,-]+;[^S]*SI;", data)

    def shifted(numbers):
        pairs = enumerate(map(int, numbers[0].split(b",")))
        return b",".join(b"%d" % (number + 200 * (i % 2 == 0)) for i, number in pairs)

    moved = re.sub(rb"(?<=P[UD])[0-9,]+", shifted, found[0])
    return data.replace(found[0], moved)


def with_the_letters_larger(data):
    return re.sub(rb"(SI[0-9.]+),[0-9.]+;", rb"\1,0.9;", data, count=1)


@pytest.mark.parametrize(
    "spoil", [with_the_letters_moved, with_the_letters_larger, with_a_letter_bent]
)
def test_a_plot_with_the_usual_pens_shows_every_letter_in_its_place(monkeypatch, spoil):
    sound = hpgl.write
    data = sound(SHEET.drawing)
    assert spoil(data) != data
    monkeypatch.setattr(hpgl, "write", lambda *given: spoil(sound(*given)))
    with pytest.raises(UnprovenLayError):
        plt_files([SHEET], hpgl.Plotter())


def test_all_kinds_may_be_drawn_with_one_pen():
    plotter = hpgl.Plotter(frame=250.0, pens=dict.fromkeys(Pen, 1))
    data = plt_files([SHEET], plotter).files["teal-twill.plt"]
    assert set(re.findall(rb"SP(\d)", data)) == {b"1", b"0"}


def test_a_cloth_that_is_wider_than_the_plotter_is_refused():
    with pytest.raises(OrderError, match="no wider than the plotter"):
        plt_files([SHEET], hpgl.Plotter(width=914.0))
