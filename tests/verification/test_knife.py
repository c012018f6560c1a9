"""Drawings for a knife: what they hold, read back in each format, and faults planted in them."""

from dataclasses import replace

import pytest
import worked_lays
from reading_back import by_arcs, by_dxf, by_plot, by_r12, by_svg

from nesting.cloth.cloth import Nap
from nesting.drawings.drawing import Drawing, Path, Pen, Text
from nesting.drawings.tool import Tool
from nesting.exporters.lay import lay_drawing
from nesting.panels.panel import DrillMark
from nesting.units import CM
from nesting.verification.drawn import check_drawing
from nesting.verification.knife import check_knife_drawing


def marked_lay(cloth=worked_lays.TWILL):
    """The mixed lay with two drill marks, a slit and a fold line in each plate, off its middle."""
    lay = worked_lays.mixed_lay(cloth)
    plate = next(panel for panel in lay.panels if panel.name == "plate")
    marked = replace(
        plate,
        drills=(DrillMark((8 * CM, 7 * CM), "button"), DrillMark((30 * CM, 22 * CM), "")),
        inner_cuts=(((10 * CM, 10 * CM), (18 * CM, 10 * CM)),),
        lines=(((5 * CM, 5 * CM), (5 * CM, 20 * CM)),),
    )

    def swap(panel):
        return marked if panel is plate else panel

    placed = tuple(replace(one, panel=swap(one.panel)) for one in lay.placed)
    return replace(lay, panels=tuple(map(swap, lay.panels)), placed=placed)


LAY = marked_lay()
KNIFE = lay_drawing(LAY, Tool.KNIFE)
READERS = [lambda drawing: drawing, by_dxf, by_r12, by_arcs, by_svg, by_plot]


def check(drawing, lay=LAY):
    return check_knife_drawing(drawing, lay.cloth, lay.panels)


def numbers(findings):
    return {one.number for one in findings}


def without(drawing, pen, index=0):
    gone = [path for path in drawing.paths if path.pen is pen][index]
    return replace(drawing, paths=tuple(path for path in drawing.paths if path is not gone))


def test_a_knife_drawing_holds_only_what_a_knife_or_punch_follows():
    whole = lay_drawing(LAY)
    assert KNIFE.texts == ()
    assert {path.pen for path in KNIFE.paths} == {Pen.CUT, Pen.INNER_CUT, Pen.NOTCH, Pen.DRILL}
    for pen in (Pen.CUT, Pen.INNER_CUT, Pen.NOTCH):
        kept, drawn = ([p for p in d.paths if p.pen is pen] for d in (KNIFE, whole))
        assert kept == drawn
    # two plates with two drill marks each, one point a mark
    drills = [path.points for path in KNIFE.paths if path.pen is Pen.DRILL]
    assert [len(points) for points in drills] == [1, 1, 1, 1]
    assert drills[0] == ((20.0 + 80.0, 15.0 + 70.0),)


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize("nap", [Nap.EITHER_WAY, Nap.UP_AND_DOWN])
def test_a_sound_knife_drawing_has_no_findings(read, nap):
    cloth = replace(worked_lays.TWILL, nap=nap, cross_grain=True)
    lay = marked_lay(cloth)
    found = check(read(lay_drawing(lay, Tool.KNIFE)), lay)
    # one plate points backward beside one that points forward: both are of the same copy
    assert numbers(found) == ({402} if nap is Nap.UP_AND_DOWN else set())


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize(
    ("pen", "number"),
    [(Pen.CUT, 101), (Pen.INNER_CUT, 606), (Pen.NOTCH, 606), (Pen.DRILL, 606)],
)
def test_what_a_knife_must_follow_is_missed(read, pen, number):
    assert number in numbers(check(read(without(KNIFE, pen))))


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize("pen", [Pen.STITCH, Pen.GRAIN, Pen.SELVEDGE, Pen.INNER_LINE])
def test_a_line_that_is_only_drawn_is_found(read, pen):
    stray = Path(pen, ((100.0, 100.0), (150.0, 120.0)))
    found = check(read(replace(KNIFE, paths=(stray, *KNIFE.paths))))
    assert numbers(found) == {620}
    assert f"a line of the kind {pen} at (100.00, 100.00) mm" in found[0].detail


@pytest.mark.parametrize("read", READERS)
def test_a_text_is_found(read):
    found = check(read(replace(KNIFE, texts=(Text(Pen.LABEL, (200.0, 200.0), 10.0, "plate"),))))
    assert numbers(found) == {620}


@pytest.mark.parametrize("read", READERS)
def test_a_drill_mark_drawn_as_a_cross_is_found(read):
    pen_drills = tuple(path for path in lay_drawing(LAY).paths if path.pen is Pen.DRILL)
    others = tuple(path for path in KNIFE.paths if path.pen is not Pen.DRILL)
    assert numbers(check(read(replace(KNIFE, paths=(*pen_drills, *others))))) & {607, 608}


def moved(drawing, pen, by, index=0):
    wrong = [path for path in drawing.paths if path.pen is pen][index]
    points = tuple((x + by, y) for x, y in wrong.points)
    paths = tuple(replace(p, points=points) if p is wrong else p for p in drawing.paths)
    return replace(drawing, paths=paths)


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize("pen", [Pen.INNER_CUT, Pen.NOTCH, Pen.DRILL])
def test_a_mark_out_of_place_is_found(read, pen):
    assert 607 in numbers(check(read(moved(KNIFE, pen, 0.4))))


@pytest.mark.parametrize("read", READERS)
def test_an_outline_of_another_size_is_found(read):
    cut = next(path for path in KNIFE.paths if path.pen is Pen.CUT)
    points = tuple((x + 0.5 * (x > 200), y) for x, y in cut.points)
    paths = tuple(replace(p, points=points) if p is cut else p for p in KNIFE.paths)
    assert {101, 103} <= numbers(check(read(replace(KNIFE, paths=paths))))


@pytest.mark.parametrize("read", READERS)
def test_an_outline_laid_once_more_or_over_another_is_found(read):
    cut = next(path for path in KNIFE.paths if path.pen is Pen.CUT)
    found = check(read(replace(KNIFE, paths=(*KNIFE.paths, cut))))
    assert {103, 303} <= numbers(found)


def test_a_mirrored_panel_is_found():
    lay = worked_lays.mixed_lay()
    plate = lay.panels[0]
    cut = replace(plate.cut, points=((0, 0), (42 * CM, 0), (42 * CM, 32 * CM), (0, 20 * CM)))
    lopsided = replace(plate, cut=cut, stitch=None, notches=(), per_item=1)
    one = replace(lay.placed[0], panel=lopsided)
    lay = replace(lay, panels=(lopsided,), placed=(one,))
    drawing = lay_drawing(lay, Tool.KNIFE)
    assert check(drawing, lay) == ()
    (path,) = drawing.paths
    height = max(y for _, y in path.points) + min(y for _, y in path.points)
    turned_over = replace(path, points=tuple((x, height - y) for x, y in path.points[::-1]))
    assert 203 in numbers(check(replace(drawing, paths=(turned_over,)), lay))


def test_a_panel_against_a_nap_of_one_way_is_found():
    cloth = replace(worked_lays.TWILL, nap=Nap.ONE_WAY)
    lay = marked_lay(cloth)
    plates = tuple(one for one in lay.placed if one.panel.name == "plate")
    lay = replace(lay, panels=(plates[0].panel,), placed=plates)
    found = check(lay_drawing(lay, Tool.KNIFE), lay)
    assert numbers(found) == {401}
    assert len(found) == 1


def test_a_pen_drawing_is_no_knife_drawing():
    found = check(lay_drawing(LAY))
    kinds = {pen for pen in Pen if any(f"of the kind {pen} " in one.detail for one in found)}
    drawn = {Pen.STITCH, Pen.GRAIN, Pen.LABEL, Pen.SELVEDGE, Pen.INNER_LINE}
    assert kinds == {*drawn, Pen.DRILL}  # the names of drill marks


def test_a_knife_drawing_is_no_pen_drawing():
    assert {601, 602, 604} <= numbers(check_drawing(KNIFE, LAY.cloth, LAY.panels))


def test_an_empty_drawing_misses_every_panel():
    found = check(Drawing("teal twill", 700.0, 1400.0, (), ()))
    assert len([one for one in found if one.number == 101]) == sum(
        panel.per_item * panel.quantity for panel in LAY.panels
    )
