"""Every planted fault is found by every reader, from the bytes of every format."""

import pytest
from planted_faults import FAULTS, LAY, SHEET
from reading_back import WAYS

from nesting.drawings.hpgl import reader as hpgl_reader
from nesting.drawings.hpgl import writer as hpgl
from nesting.errors import UnprovenLayError
from nesting.planning import drawing_files
from nesting.planning.drawing_files import DrawnLay
from nesting.verification.drawn import check_drawing


@pytest.mark.parametrize("way", WAYS)
def test_a_sound_sheet_has_no_findings(way):
    assert check_drawing(way(SHEET), LAY.cloth, LAY.panels) == ()


def test_an_arrowhead_that_the_plotter_divides_at_the_tip_of_an_upright_arrow_stays_its_own():
    """By hand: the boxing's arrow stands at x = 509.67 mm, which is 20387 plotter units."""
    plot = hpgl.write(SHEET, hpgl.Plotter(frame=20387 / 40))
    assert check_drawing(hpgl_reader.read(plot), LAY.cloth, LAY.panels) == ()


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("fault", FAULTS)
def test_every_reader_finds_every_planted_fault(way, fault):
    plant, wanted = FAULTS[fault]
    found = check_drawing(way(plant(SHEET)), LAY.cloth, LAY.panels)
    assert wanted <= {one.number for one in found}


WRITERS = {
    "dxf": drawing_files.dxf_files,
    "dxf with arcs": lambda sheets: drawing_files.dxf_files(sheets, arcs=True),
    "dxf-r12": drawing_files.dxf_r12_files,
    "svg": drawing_files.svg_files,
    "plt": lambda sheets: drawing_files.plt_files(sheets, hpgl.Plotter(frame=250.0)),
}


@pytest.mark.parametrize("writer", WRITERS)
@pytest.mark.parametrize("fault", FAULTS)
def test_no_file_with_a_planted_fault_is_ever_written(writer, fault):
    plant, wanted = FAULTS[fault]
    with pytest.raises(UnprovenLayError) as refused:
        WRITERS[writer]([DrawnLay("teal-twill", LAY, plant(SHEET))])
    numbers = {int(str(one.rule).split("(finding ")[1][:3]) for one in refused.value.faults}
    assert wanted <= numbers
