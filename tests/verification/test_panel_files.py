"""Files of `panels` for machines: what is written is what was read back, panel by panel."""

import re
from dataclasses import replace
from datetime import date

import pytest
from planted_faults import FAULTS, LAY, mirrored
from worked_lays import rectangle

from nesting.drawings.drawing import Pen
from nesting.drawings.hpgl import writer as hpgl
from nesting.drawings.pieces import writer as piece_dxf
from nesting.drawings.svg import writer as svg
from nesting.drawings.tool import Tool
from nesting.errors import UnprovenLayError
from nesting.exporters.panel_drawing import panel_drawing
from nesting.exporters.pieces import pieces_dxf
from nesting.panels.panel import DrillMark
from nesting.planning.proved_panels import must_show_pieces, plot_of_panels, svg_of_panels
from nesting.units import CM
from nesting.verification.sheet import check_sheet

PANELS = LAY.panels
PENS = {**hpgl.OWN_PENS, Pen.STITCH: 1, Pen.FLAW: 0}

PLOTTERS = {
    "plt": hpgl.Plotter(),
    "plt in frames": hpgl.Plotter(frame=250.0),
    "plt with other pens": hpgl.Plotter(pens=PENS),
}


def svg_file(drawing, tool, panels=PANELS):
    return svg_of_panels(drawing, panels, tool)


def plot_file(plotter):
    return lambda drawing, tool, panels=PANELS: plot_of_panels(drawing, panels, tool, plotter)


FORMATS = {"svg": (svg, svg_file)} | {
    name: (hpgl, plot_file(plotter)) for name, plotter in PLOTTERS.items()
}


def numbers(refused):
    return {int(re.search(r"finding (\d+)", fault.rule)[1]) for fault in refused.value.faults}


@pytest.mark.parametrize("tool", Tool)
@pytest.mark.parametrize("name", FORMATS)
def test_a_sheet_of_panels_is_written_and_a_writer_that_mirrors_is_found(monkeypatch, name, tool):
    writer, write = FORMATS[name]
    drawing = panel_drawing(PANELS, "Reading nook", tool=tool)
    assert write(drawing, tool)
    sound = writer.write
    monkeypatch.setattr(writer, "write", lambda drawn, *a: sound(mirrored(drawn), *a))
    with pytest.raises(UnprovenLayError) as refused:
        write(drawing, tool)
    assert {203, 609} <= numbers(refused)


#: The faults of a lay that a sheet of panels can have: it has no cloth, and labels of its own.
OF_PANELS = [
    name for name in FAULTS if "cloth" not in name and name != "a label of another panel"
]  # fmt: skip


@pytest.mark.parametrize("name", FORMATS)
@pytest.mark.parametrize("fault", OF_PANELS)
def test_a_fault_in_the_drawing_itself_is_found_by_the_panels(name, fault):
    plant, wanted = FAULTS[fault]
    _, write = FORMATS[name]
    with pytest.raises(UnprovenLayError) as refused:
        write(plant(panel_drawing(PANELS, "Reading nook")), Tool.PEN)
    assert wanted <= numbers(refused)


@pytest.mark.parametrize(
    ("words", "number"),
    [("cushion / plate, cut 3", 601), ("pouf / cap, cut 1", 202), ("cushion / plates, cut 2", 601)],
)
def test_a_label_with_a_wrong_name_or_count_is_found(words, number):
    drawing = panel_drawing(PANELS, "Reading nook")
    texts = [
        replace(t, content=words) if t.content == "cushion / plate, cut 2" else t
        for t in drawing.texts
    ]
    found = check_sheet(replace(drawing, texts=tuple(texts)), PANELS, drawing.height)
    assert number in [one.number for one in found]


def test_names_that_become_the_same_are_told_apart_by_their_outlines():
    ones = (rectangle(30 * CM, 20 * CM, name="c", item="a / b"),
            rectangle(40 * CM, 20 * CM, name="b / c", item="a"))  # fmt: skip
    drawing = panel_drawing(ones, "t")
    assert len({text.content for text in drawing.texts}) == 1
    assert check_sheet(drawing, ones, drawing.height) == ()


# Pattern pieces

PLATE = replace(
    rectangle(42 * CM, 32 * CM, name="plate", item="cushion", per_item=2, quantity=700),
    drills=(DrillMark((9 * CM, 16 * CM)), DrillMark((33 * CM, 16 * CM))),
    lines=(((5 * CM, 4 * CM), (15 * CM, 4 * CM)),),
    inner_cuts=(((30 * CM, 5 * CM), (30 * CM, 12 * CM)),),
)
PIECES = (PLATE, *PANELS[1:])


def write_pieces(panels=PIECES, *, halves=False):
    made = pieces_dxf(panels, "o", "cm", created=date(2026, 3, 14), author="a", halves=halves)
    return must_show_pieces(made, panels, halves=halves)


@pytest.mark.parametrize("halves", [False, True])
def test_sound_pieces_are_written_whole_or_as_halves_however_many_are_cut(halves):
    assert list(write_pieces(halves=halves).files) == ["pieces.dxf"]


def flipped(run):
    return tuple((x, -y) for x, y in run)


def mirrored_piece(piece):
    return replace(
        piece,
        boundary=flipped(piece.boundary),
        grain=flipped(piece.grain),
        sew=tuple(map(flipped, piece.sew)),
        notches=tuple(map(flipped, piece.notches)),
        drills=flipped(piece.drills),
        internal=tuple(map(flipped, piece.internal)),
        inner_cuts=tuple(map(flipped, piece.inner_cuts)),
        mirror=flipped(piece.mirror) if piece.mirror else None,
    )


def moved(run):
    return tuple((x + 0.6, y + 0.8) for x, y in run)


PIECE_FAULTS = {
    "mirrored": (mirrored_piece, "no boundary"),
    "too large": (
        lambda p: replace(p, boundary=tuple((1.001 * x, y) for x, y in p.boundary)), "no boundary",
    ),
    "without its sew line": (lambda p: replace(p, sew=()), "no sew line"),
    "with its sew line moved": (lambda p: replace(p, sew=tuple(map(moved, p.sew))), "no sew line"),
    "without a notch": (lambda p: replace(p, notches=p.notches[1:]), "no notch"),
    "with a notch that goes outward": (
        lambda p: replace(p, notches=((p.notches[0][0], (210.0, -7.0)), *p.notches[1:])),
        "no notch",
    ),
    "with a drill mark moved": (lambda p: replace(p, drills=moved(p.drills)), "no drill mark"),
    "with a slit that is only drawn": (
        lambda p: replace(p, internal=(*p.internal, *p.inner_cuts), inner_cuts=()), "no inner cut",
    ),
    "with a line too many": (
        lambda p: replace(p, internal=(*p.internal, ((50.0, 50.0), (60.0, 50.0)))),
        "one too many: internal line",
    ),
    "with its grain backward": (
        lambda p: replace(p, grain=p.grain[::-1]), "its grain line",
    ),
    "cut too often": (lambda p: replace(p, quantity=1401), "its quantity is 1401, not 1400"),
    "of another cloth": (lambda p: replace(p, material="felt"), 'its material is "felt"'),
    "with another name": (lambda p: replace(p, name="cushion / lid"), "its name is"),
}  # fmt: skip


@pytest.mark.parametrize("fault", PIECE_FAULTS)
def test_a_piece_that_is_not_its_panel_is_never_written(monkeypatch, fault):
    spoil, words = PIECE_FAULTS[fault]
    sound = piece_dxf.write
    monkeypatch.setattr(
        piece_dxf,
        "write",
        lambda style, made, *more: sound(style, [spoil(made[0]), *made[1:]], *more),
    )
    with pytest.raises(UnprovenLayError) as refused:
        write_pieces()
    assert numbers(refused) == {632}
    assert any(words in fault.value for fault in refused.value.faults)


def test_a_half_with_a_mark_moved_is_never_written(monkeypatch):
    sound = piece_dxf.write
    spoil = PIECE_FAULTS["with its sew line moved"][0]
    monkeypatch.setattr(
        piece_dxf, "write", lambda style, made, *more: sound(style, list(map(spoil, made)), *more)
    )
    with pytest.raises(UnprovenLayError):
        write_pieces([replace(PLATE, lines=(), inner_cuts=())], halves=True)


def test_a_piece_left_out_is_found(monkeypatch):
    sound = piece_dxf.write
    monkeypatch.setattr(
        piece_dxf, "write", lambda style, made, *more: sound(style, made[1:], *more)
    )
    with pytest.raises(UnprovenLayError) as refused:
        write_pieces()
    assert numbers(refused) == {631}


def test_a_file_of_pieces_that_cannot_be_read_is_a_fault_of_the_program(monkeypatch):
    monkeypatch.setattr(piece_dxf, "write", lambda *given: b"nothing")
    with pytest.raises(UnprovenLayError) as refused:
        write_pieces()
    assert numbers(refused) == {612}
