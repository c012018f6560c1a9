from collections import Counter
from dataclasses import replace

import pytest
import shapely
from worked_lays import mixed_lay

from nesting.drawings.drawing import Drawing, Path, Pen
from nesting.drawings.panel_marks import drill_cross
from nesting.exporters.cut_path import PASSES, Corner, cut_path
from nesting.exporters.lay import lay_drawing

LAY = mixed_lay()
SHEET = lay_drawing(LAY)
PLANNED = cut_path(SHEET)


def _rings(drawing):
    """Closed cut lines, whatever vertex they begin at."""
    lines = [path.points for path in drawing.paths if path.pen is Pen.CUT]
    return Counter(points[k:] + points[:k] for points in lines for k in [points.index(min(points))])


def _strokes(drawing, pen):
    """Open lines of a pen, whichever end they begin at."""
    return Counter(frozenset(path.points) for path in drawing.paths if path.pen is pen)


def test_the_same_lines_are_drawn_in_the_same_direction():
    assert _rings(PLANNED.drawing) == _rings(SHEET)
    assert _strokes(PLANNED.drawing, Pen.NOTCH) == _strokes(SHEET, Pen.NOTCH)
    for pen in set(Pen) - set(PASSES):
        kept, given = ([p for p in each.paths if p.pen is pen] for each in (PLANNED.drawing, SHEET))
        assert kept == given
    assert PLANNED.drawing == replace(SHEET, paths=PLANNED.drawing.paths)


def test_notches_drill_marks_slits_and_then_outlines_come_last_each_kind_together():
    x, y = LAY.placed[0].x / 100 + 100, LAY.placed[0].y / 100 + 100
    slit = Path(Pen.INNER_CUT, ((x, y), (x + 90, y)))
    sheet = replace(
        SHEET,
        paths=(
            *SHEET.paths,
            *(Path(Pen.DRILL, stroke) for stroke in drill_cross((x, y), 4.0)),
            slit,
        ),
    )
    pens = [path.pen for path in cut_path(sheet).drawing.paths]
    made = [pen for pen in pens if pen in PASSES]
    assert pens[-len(made) :] == made
    # seven notches as the lay's own test counts them, two strokes of a cross, six panels
    assert made == [Pen.NOTCH] * 7 + [Pen.DRILL] * 2 + [Pen.INNER_CUT] + [Pen.CUT] * 6


def test_every_pen_is_taken_up_once():
    pens = [path.pen for path in PLANNED.drawing.paths]
    changes = [pen for at, pen in enumerate(pens) if at == 0 or pens[at - 1] is not pen]
    assert changes == [Pen.SELVEDGE, Pen.STITCH, Pen.GRAIN, Pen.NOTCH, Pen.CUT]


def test_the_travel_is_told_in_the_units_of_the_maker():
    travel = PLANNED.cuts.travel
    told = PLANNED.titled_sentence("mm")
    assert told.startswith("Cutting machine, teal twill: between cuts the head travels ")
    assert "from the corner at the cut end by the lower edge" in told
    for way in (travel.given, travel.nearest, travel.after):
        assert f"{way:.0f} mm" in told
    assert f"{100 * (1 - travel.after / travel.nearest):.1f} % saved" in told


def test_each_pass_stands_in_the_drawing_as_it_was_ordered():
    for pen in PASSES:
        drawn = tuple(path for path in PLANNED.drawing.paths if path.pen is pen)
        assert drawn == PLANNED.passes[pen].paths


def test_a_cut_out_in_a_cut_out_is_cut_before_it():
    outline = shapely.Polygon(LAY.placed[0].outline.points).centroid
    x, y = outline.x / 100, outline.y / 100

    def ring(size):
        return Path(Pen.INNER_CUT, ((x, y), (x + size, y), (x, y + size)), closed=True)

    sheet = replace(SHEET, paths=(*SHEET.paths, ring(90), ring(9)))
    inside = [shapely.Polygon(p.points).area for p in cut_path(sheet).passes[Pen.INNER_CUT].paths]
    assert inside == [pytest.approx(9 * 9 / 2), pytest.approx(90 * 90 / 2)]


@pytest.mark.parametrize(
    ("corner", "point"),
    [
        (Corner.CUT_END_LOWER, (0, 0)),
        (Corner.CUT_END_UPPER, (0, 1400)),
        (Corner.FAR_END_LOWER, (700, 0)),
        (Corner.FAR_END_UPPER, (700, 1400)),
    ],
)
def test_the_head_starts_at_the_corner_asked_for(corner, point):
    # 70 cm bought of cloth 140 cm wide, as the fixture works out by hand
    planned = cut_path(SHEET, corner)
    assert {each.start for each in planned.passes.values()} == {point}


def test_the_travel_is_no_longer_than_nearest_first_and_below_the_order_of_the_lay():
    travel = PLANNED.cuts.travel
    assert travel.after <= travel.nearest
    assert 0 < travel.below_given < 1


def test_a_sheet_with_nothing_to_cut_is_left_as_it_is():
    bare = Drawing("blank", 100.0, 100.0, (), ())
    planned = cut_path(bare)
    assert planned.drawing == bare
    assert planned.cuts.travel.after == 0.0
