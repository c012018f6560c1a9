"""A panel of free grain, drawn a quarter round."""

import pytest
import shapely
from worked_lays import disc, gore, rectangle

from nesting.panels.drafting.quarter_turn import turned_quarter
from nesting.panels.panel import Notch
from nesting.units import CM, MM

PANELS = {
    "rectangle": rectangle(64 * CM, 10 * CM, name="boxing", item="seat"),
    "disc": disc(20 * CM, name="cap", item="pouf"),
    "gore": gore(62 * CM, 16 * CM, name="gore", item="pouf"),
}


@pytest.fixture(params=PANELS)
def pair(request):
    panel = PANELS[request.param]
    return panel, turned_quarter(panel)


def test_length_and_height_change_places_and_the_area_stays(pair):
    before, after = pair
    assert (after.cut.length, after.cut.height) == (before.cut.height, before.cut.length)
    assert after.cut.bounds[:2] == (0, 0)
    assert after.cut.area2 == before.cut.area2


def test_the_stitch_line_keeps_its_distance_from_the_cut_line(pair):
    _before, after = pair
    distances = [
        shapely.LinearRing(panel.cut.points).distance(shapely.LinearRing(panel.stitch.points))
        for panel in pair
    ]
    assert distances[0] == pytest.approx(distances[1])
    assert shapely.Polygon(after.cut.points).contains(shapely.Polygon(after.stitch.points))


def test_the_new_grain_line_runs_along_the_roll_inside_the_panel(pair):
    _, after = pair
    (x0, y0), (x1, y1) = after.grain
    assert y0 == y1
    assert x0 < x1
    assert shapely.Polygon(after.cut.points).contains(shapely.LineString(after.grain))


def test_notches_and_label_move_with_the_outline():
    panel = PANELS["rectangle"]
    after = turned_quarter(panel)
    # A quarter anticlockwise takes (x, y) of the 64 x 10 strip to (10 - y, x).
    assert after.notches[0] == Notch((10 * CM, 32 * CM), (10 * CM - 7 * MM, 32 * CM))
    assert after.label == (5 * CM, 32 * CM)


def test_four_quarters_give_the_outline_and_the_marks_back(pair):
    before, panel = pair[0], pair[0]
    for _ in range(4):
        panel = turned_quarter(panel)
    assert panel.cut == before.cut
    assert panel.stitch == before.stitch
    assert panel.notches == before.notches
    assert panel.label == before.label
