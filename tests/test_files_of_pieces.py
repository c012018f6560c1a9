"""The files of lays on several pieces of a cloth."""

import json
from dataclasses import replace
from pathlib import Path

import lays_on_pieces
import pytest
import worked_lays
from lays_on_pieces import CLOTH, HIDE, REMNANT

from cli.summary import lay_summary
from nesting.drawings.drawing import Pen
from nesting.drawings.dxf import own_reader
from nesting.drawings.hpgl import reader as hpgl_reader
from nesting.drawings.hpgl.writer import Plotter
from nesting.drawings.svg import reader as svg_reader
from nesting.drawings.tool import FOLLOWED, Tool
from nesting.errors import UnprovenLayError
from nesting.exporters import cloth_lines
from nesting.exporters.formats import LAY_FORMATS, Format
from nesting.orders.order import Order
from nesting.planning.files import Settings, lay_export, lay_files
from nesting.planning.plan import Plan

READERS = {
    "dxf": own_reader.read,
    "r12.dxf": own_reader.read,
    "svg": svg_reader.read,
    "plt": hpgl_reader.read,
}
DRAWINGS = (Format.DXF, Format.DXF_R12, Format.SVG, Format.PLT)


def plan(*lays, cloth=CLOTH):
    order = Order("Stools", "cm", (cloth,), ())
    return Plan(order, (), worked_lays.order_lay(*(lays or lays_on_pieces.lays())), ())


def test_each_piece_has_files_of_its_own_named_after_cloth_and_piece():
    names = {*lay_files(plan(), [each for each in LAY_FORMATS if each is not Format.MAKE_UP])}
    of_order = {"layout.json", "report.html", "marking-out.csv", "marking-out.pdf", "workbook.xlsx"}
    endings = ("dxf", "r12.dxf", "svg", "plt", "pdf")
    pieces = ("remnant", "hide", "roll")
    assert names == of_order | {f"teal-twill-{p}.{ending}" for p in pieces for ending in endings}


def test_a_cloth_without_pieces_keeps_its_name_even_with_flaws():
    flawed = replace(worked_lays.TWILL, flaws=CLOTH.flaws)
    lay = replace(lays_on_pieces.lays()[2], cloth=flawed)
    lay = replace(lay, panels=tuple({placed.panel: 0 for placed in lay.placed}))
    assert lay.title == "teal twill"
    alone = replace(lay, panels=tuple(replace(p, quantity=1) for p in lay.panels))
    singles = dict(zip(lay.panels, alone.panels, strict=True))
    placed = tuple(replace(one, panel=singles[one.panel], copy=1) for one in lay.placed)
    files = lay_files(plan(replace(alone, placed=placed), cloth=flawed), [Format.SVG])
    assert {*files} == {"layout.json", "teal-twill.svg"}


@pytest.mark.parametrize("ending", READERS)
@pytest.mark.parametrize(
    ("piece", "closed", "flaws", "splices"),
    [("remnant", 1, 1, 1), ("hide", 2, 0, 0), ("roll", 1, 2, 0)],
)
def test_every_drawing_holds_edge_holes_flaws_and_splices(ending, piece, closed, flaws, splices):
    data = lay_files(plan(), DRAWINGS)[f"teal-twill-{piece}.{ending}"]
    drawing = READERS[ending](data)
    cloth = [path for path in drawing.paths if path.pen in (Pen.SELVEDGE, Pen.FLAW)]
    if ending == "plt":  # one pen draws both
        assert sum(path.closed for path in cloth) == closed + flaws
        return
    drawn = {pen: [path for path in cloth if path.pen is pen] for pen in (Pen.SELVEDGE, Pen.FLAW)}
    assert sum(path.closed for path in drawn[Pen.SELVEDGE]) == closed
    assert sum(path.closed for path in drawn[Pen.FLAW]) == flaws
    assert sum(not path.closed for path in drawn[Pen.FLAW]) == splices


def test_a_plot_in_frames_shows_every_flaw():
    export = lay_export(plan(), [Format.PLT], Settings(plotter=Plotter(frame=300.0)))
    assert len([name for name in export.files if name.endswith("plt")]) == 3


def test_a_file_for_a_knife_holds_nothing_of_the_cloth():
    export = lay_export(plan(), DRAWINGS, Settings(tool=Tool.KNIFE))
    for name, data in export.files.items():
        ending = name.partition(".")[2]
        if ending in READERS:
            assert {path.pen for path in READERS[ending](data).paths} <= {*FOLLOWED}


def test_a_drawing_without_a_flaw_is_never_written(monkeypatch):
    """The drawing that is meant has none either, so only the check against the cloth finds it."""
    sound = cloth_lines.cloth_figure
    monkeypatch.setattr(
        cloth_lines, "cloth_figure", lambda lay: replace(sound(lay), flaws=())
    )  # fmt: skip
    with pytest.raises(UnprovenLayError) as caught:
        lay_files(plan(), [Format.DXF])
    assert {fault.rule.partition(" (")[0] for fault in caught.value.faults} == {
        "the holes, flaws, splices and measured widths of a piece must be drawn"
    }


def test_the_record_names_the_pieces_of_the_files():
    record = json.loads(lay_files(plan(), [])["layout.json"])
    assert [piece["name"] for piece in record["cloths"][0]["pieces"]] == [
        REMNANT.name, HIDE.name, "roll",
    ]  # fmt: skip


def test_the_summary_on_the_screen_names_each_piece_and_what_all_cost_together():
    lines = lay_summary(plan(), Path("out")).splitlines()
    assert [line.split("  ")[0] for line in lines[2:5]] == [
        "teal twill, remnant", "teal twill, hide", "teal twill, roll",
    ]  # fmt: skip
    assert ["from stock" in line for line in lines[2:5]] == [True, True, False]
    assert lines[2].split("EUR")[0].split()[-1] == "4.00"
    assert "28.05 EUR" in lines[5]
