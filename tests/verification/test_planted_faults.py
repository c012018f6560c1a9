"""Every planted fault is found by every reader, from the bytes of every format."""

import pytest
from planted_faults import FAULTS, LAY, SHEET
from reading_back import WAYS

from nesting.drawings.hpgl.writer import Plotter
from nesting.errors import UnprovenLayError
from nesting.planning import drawing_files
from nesting.planning.drawing_files import DrawnLay
from nesting.verification.drawn import check_drawing


@pytest.mark.parametrize("way", WAYS)
def test_a_sound_sheet_has_no_findings(way):
    assert check_drawing(way(SHEET), LAY.cloth, LAY.panels) == ()


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
    "plt": lambda sheets: drawing_files.plt_files(sheets, Plotter(frame=250.0)),
}


@pytest.mark.parametrize("writer", WRITERS)
@pytest.mark.parametrize("fault", FAULTS)
def test_no_file_with_a_planted_fault_is_ever_written(writer, fault):
    plant, wanted = FAULTS[fault]
    with pytest.raises(UnprovenLayError) as refused:
        WRITERS[writer]([DrawnLay("teal-twill", LAY, plant(SHEET))])
    numbers = {int(str(one.rule).split("(finding ")[1][:3]) for one in refused.value.faults}
    assert wanted <= numbers
