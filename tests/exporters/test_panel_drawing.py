"""All panels at true size on one sheet."""

import pytest
import shapely
import worked_lays

from nesting.drawings.drawing import Pen
from nesting.exporters.panel_drawing import panel_drawing
from nesting.units import CM

PANELS = worked_lays.mixed_lay().panels


def cuts(drawing):
    return [shapely.Polygon(path.points) for path in drawing.paths if path.pen is Pen.CUT]


def test_every_panel_is_drawn_once_clear_of_the_others_and_of_the_edges():
    drawing = panel_drawing(PANELS, "Reading nook")
    rings = cuts(drawing)
    sheet = shapely.box(0, 0, drawing.width, drawing.height)
    assert len(rings) == len(PANELS)
    assert sorted(ring.area for ring in rings) == pytest.approx(
        sorted(p.cut.area_mm2 for p in PANELS)
    )
    assert all(sheet.exterior.distance(ring) >= 9.99 and sheet.contains(ring) for ring in rings)
    apart = [a.distance(b) for i, a in enumerate(rings) for b in rings[i + 1 :]]
    assert min(apart) >= 9.99


def test_labels_say_how_often_each_is_cut():
    assert {text.content for text in panel_drawing(PANELS, "t").texts} == {
        "cushion / plate, cut 2",
        "cushion / boxing, cut 1",
        "pouf / cap, cut 1",
        "pouf / gore, cut 2",
    }


def test_a_panel_that_is_too_wide_for_the_sheet_is_turned_a_quarter():
    (plate, *_) = PANELS  # 42 x 32 cm
    assert panel_drawing([plate], "t", 36 * CM).height == 360.0
    turned = panel_drawing([plate], "t", 34 * CM)
    assert (turned.width, turned.height) == (440.0, 340.0)
    tall = panel_drawing(
        [worked_lays.rectangle(20 * CM, 50 * CM, name="a", item="b")], "t", 34 * CM
    )
    assert (tall.width, tall.height) == (520.0, 340.0)


def test_a_sheet_is_widened_for_a_panel_that_fits_no_way():
    (plate, *_) = PANELS
    assert panel_drawing([plate], "t", 20 * CM).height == 340.0
