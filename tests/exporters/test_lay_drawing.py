import io
from dataclasses import replace
from itertools import chain

import ezdxf
import oracles
import pytest
import shapely
from worked_lays import mixed_lay

from nesting.drawings.drawing import Pen
from nesting.drawings.dxf import reader as dxf_reader
from nesting.drawings.dxf import writer as dxf
from nesting.drawings.svg import writer as svg
from nesting.exporters.lay import LABEL_MM, lay_drawing
from nesting.layouts.lay import PlacedPanel
from nesting.panels.panel import DrillMark
from nesting.units import CM

LAY = mixed_lay()
SHEET = lay_drawing(LAY)


def _paths(pen):
    return [path for path in SHEET.paths if path.pen is pen]


def _rings_mm():
    return [[(x / 100, y / 100) for x, y in placed.outline.points] for placed in LAY.placed]


def test_the_sheet_is_the_cloth_that_is_bought():
    # by hand, in the fixture: 70 cm bought of cloth 140 cm wide
    assert (SHEET.title, SHEET.width, SHEET.height) == ("teal twill", 700.0, 1400.0)


def test_cut_paths_are_the_cut_outlines_where_they_lie():
    cuts = _paths(Pen.CUT)
    assert all(path.closed for path in cuts)
    assert [list(path.points) for path in cuts] == _rings_mm()


def test_every_stitch_line_lies_within_its_cut_line():
    pairs = zip(_paths(Pen.CUT), _paths(Pen.STITCH), strict=True)
    assert all(
        shapely.Polygon(cut.points).contains(shapely.Polygon(stitch.points))
        for cut, stitch in pairs
    )


def test_notches_run_from_the_cut_line_inward():
    cuts = [shapely.Polygon(path.points) for path in _paths(Pen.CUT)]
    notches = _paths(Pen.NOTCH)
    assert len(notches) == 2 + 2 + 2 + 1  # two plates and a boxing with two each, a cap with one
    for notch in notches:
        foot, tip = map(shapely.Point, notch.points)
        assert min(cut.exterior.distance(foot) for cut in cuts) < 0.1
        assert any(cut.contains(tip) for cut in cuts)


def test_a_grain_arrow_is_a_shaft_and_then_a_head_that_ends_where_the_shaft_ends():
    grain = _paths(Pen.GRAIN)
    shafts, heads = grain[::2], grain[1::2]
    assert len(shafts) == len(heads) == len(LAY.placed)
    assert all(len(shaft.points) == 2 for shaft in shafts)
    assert all(len(head.points) == 3 for head in heads)
    assert [s.points[1] for s in shafts] == [h.points[1] for h in heads]


def test_a_panel_turned_end_for_end_shows_its_grain_the_other_way():
    shafts = _paths(Pen.GRAIN)[::2]
    ways = [(s.points[1][0] > s.points[0][0], s.points[0][1] == s.points[1][1]) for s in shafts]
    turns = [placed.turn for placed in LAY.placed]
    assert ways[turns.index(0)] == (True, True)
    assert ways[turns.index(180)] == (False, True)
    assert ways[turns.index(90)] == (False, False)  # upright


def test_labels_say_item_panel_copy_and_part_inside_their_outline():
    assert [text.content for text in SHEET.texts] == [
        "cushion / plate / 1.1",
        "cushion / plate / 1.2",
        "cushion / boxing / 1.1",
        "pouf / cap / 1.1",
        "pouf / gore / 1.1",
        "pouf / gore / 1.2",
    ]
    for text, cut in zip(SHEET.texts, _paths(Pen.CUT), strict=True):
        assert shapely.Polygon(cut.points).contains(shapely.Point(text.at))
        assert 0 < text.height <= LABEL_MM


def test_the_cloth_and_its_selvedge_lines_come_first():
    cloth, lower, upper = _paths(Pen.SELVEDGE)
    assert cloth.closed
    assert cloth.points == ((0, 0), (700, 0), (700, 1400), (0, 1400))
    assert lower.points == ((0, 15), (700, 15))
    assert upper.points == ((0, 1385), (700, 1385))


def test_a_panel_without_a_seam_has_no_stitch_line():
    plain = replace(LAY.placed[0].panel, stitch=None)
    lay = replace(LAY, placed=(replace(LAY.placed[0], panel=plain),))
    assert Pen.STITCH not in {path.pen for path in lay_drawing(lay).paths}


def test_ezdxf_and_a_second_reader_find_the_outlines_in_the_exported_file():
    data = dxf.write(SHEET)
    document = ezdxf.read(io.StringIO(data.decode("cp1252")))
    assert not document.audit().errors
    by_ezdxf = [
        [(x, y) for x, y in line.get_points("xy")]
        for line in document.modelspace().query('LWPOLYLINE[layer=="cut"]')
    ]
    by_tags = [points for layer, _, points in oracles.dxf_polylines(data) if layer == "cut"]
    for found in (by_ezdxf, by_tags):
        assert len(found) == len(LAY.placed)
        for ring, expected in zip(found, _rings_mm(), strict=True):
            assert ring == [pytest.approx(point, abs=0.01) for point in expected]


def test_the_exported_svg_holds_the_same_outlines():
    cuts = [points for pen, _, points in oracles.svg_shapes(svg.write(SHEET)) if pen == "cut"]
    for ring, expected in zip(cuts, _rings_mm(), strict=True):
        assert ring == [pytest.approx(point, abs=0.01) for point in expected]


def test_drill_marks_lines_and_slits_are_read_back_where_they_lie():
    """A plate of 42 x 32 cm turned end for end at (2, 5) cm: (x, y) lies at (44 - x, 37 - y) cm."""
    panel = replace(
        LAY.panels[0],
        drills=(DrillMark((10 * CM, 20 * CM), "button"),),
        lines=(((5 * CM, 4 * CM), (15 * CM, 4 * CM)),),
        inner_cuts=(((30 * CM, 10 * CM), (30 * CM, 22 * CM)),),
    )
    placed = (PlacedPanel(panel, 1, 1, 180, 2 * CM, 5 * CM),)
    drawn = dxf_reader.read(dxf.write(lay_drawing(replace(LAY, panels=(panel,), placed=placed))))
    across, along = [path.points for path in drawn.paths if path.pen is Pen.DRILL]
    (line,) = [path.points for path in drawn.paths if path.pen is Pen.INNER_LINE]
    (slit,) = [path.points for path in drawn.paths if path.pen is Pen.INNER_CUT]
    assert [*chain(*across)] == pytest.approx([336, 170, 344, 170])
    assert [*chain(*along)] == pytest.approx([340, 166, 340, 174])
    assert [*chain(*line)] == pytest.approx([390, 330, 290, 330])
    assert [*chain(*slit)] == pytest.approx([140, 270, 140, 150])
    (name,) = [text for text in drawn.texts if text.pen is Pen.DRILL]
    assert (name.content, name.at) == ("button", pytest.approx((340.0, 178.0)))
