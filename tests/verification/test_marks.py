"""Marks in a lay drawing, in every format: each in its place, and no others."""

import re
from dataclasses import replace

import pytest
import shapely
import worked_lays
from hypothesis import given, settings
from hypothesis import strategies as st
from planted_faults import LAY, SHEET, shifted, with_path
from reading_back import WAYS as FILES
from reading_back import by_plot, by_svg
from worked_lays import TWILL

from nesting.drawings.drawing import Path, Pen
from nesting.drawings.panel_marks import drill_cross
from nesting.exporters.cut_path import Corner, cut_path
from nesting.exporters.lay import lay_drawing
from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.panels.making import make_panels
from nesting.panels.panel import DrillMark
from nesting.panels.product import products
from nesting.units import CM, MM
from nesting.verification.drawn import check_drawing
from nesting.verification.roll_call import LISTED

MARKS = (Pen.STITCH, Pen.NOTCH, Pen.DRILL, Pen.INNER_LINE, Pen.INNER_CUT)

WORDS = {
    Pen.STITCH: "stitch line", Pen.NOTCH: "notch", Pen.DRILL: "drill mark",
    Pen.INNER_LINE: "inner line", Pen.INNER_CUT: "inner cut",
}  # fmt: skip


def as_drawn(drawing):
    return drawing


WAYS = (as_drawn, *FILES)


@pytest.fixture(params=WAYS)
def check(request):
    """Check a drawing after it was written in a format and read back."""

    def checked(drawing, lay=LAY):
        return check_drawing(request.param(drawing), lay.cloth, lay.panels)

    return checked


def first(pen):
    """Index of the first path of a kind, and how many paths are one mark."""
    return next(i for i, path in enumerate(SHEET.paths) if path.pen is pen), 1 + (pen is Pen.DRILL)


def without(pen):
    """The drawing without the first mark of a kind."""
    index, count = first(pen)
    return replace(SHEET, paths=SHEET.paths[:index] + SHEET.paths[index + count :])


def with_first(pen, change):
    """The drawing with the first mark of a kind changed."""
    index, count = first(pen)
    mark = tuple(change(path) for path in SHEET.paths[index : index + count])
    return replace(SHEET, paths=SHEET.paths[:index] + mark + SHEET.paths[index + count :])


def middle(pen):
    """The middle of the first mark of a kind as the drawing has it."""
    index, count = first(pen)
    points = [point for path in SHEET.paths[index : index + count] for point in path.points]
    x0, y0, x1, y1 = shapely.MultiPoint(points).bounds
    return (x0 + x1) / 2, (y0 + y1) / 2


def place_in(detail, number=0):
    """One of the places in the detail of a finding."""
    return tuple(map(float, re.findall(r"at \((-?[\d.]+), (-?[\d.]+)\) mm", detail)[number]))


def numbers(findings):
    return [one.number for one in findings]


def test_a_sound_drawing_has_no_findings(check):
    assert check(SHEET) == ()


@pytest.mark.parametrize("corner", Corner)
def test_cuts_entered_elsewhere_or_made_backward_are_the_same_marks(check, corner):
    assert check(cut_path(SHEET, corner).drawing) == ()


@pytest.mark.parametrize("pen", MARKS)
def test_a_mark_that_is_missing_is_reported_with_its_panel_and_place(check, pen):
    (finding,) = check(without(pen))
    assert (finding.number, finding.where) == (606, "teal twill: cushion / plate / 1.1")
    assert finding.detail.startswith(f"no {WORDS[pen]} at ")
    assert finding.detail.endswith("draw it, or export the drawing again")
    assert place_in(finding.detail) == pytest.approx(middle(pen), abs=0.02)


@pytest.mark.parametrize("pen", MARKS)
def test_a_mark_moved_by_a_millimetre_is_reported_with_its_distance(check, pen):
    (finding,) = check(with_first(pen, lambda path: shifted(path, 0.6, 0.8)))
    assert (finding.number, finding.where) == (607, "teal twill: cushion / plate / 1.1")
    off = float(re.search(r"is ([\d.]+) mm off", finding.detail)[1])
    assert off == pytest.approx(1.0, abs=0.04)
    x, y = middle(pen)
    assert place_in(finding.detail) == pytest.approx((x + 0.6, y + 0.8), abs=0.03)
    assert place_in(finding.detail, 1) == pytest.approx((x, y), abs=0.03)
    assert "move it" in finding.detail


@pytest.mark.parametrize("pen", MARKS)
def test_a_surplus_mark_is_reported(check, pen):
    index, count = first(pen)
    more = tuple(shifted(path, 40.0, 31.0) for path in SHEET.paths[index : index + count])
    (finding,) = check(replace(SHEET, paths=(*more, *SHEET.paths)))
    assert (finding.number, finding.where) == (608, "teal twill: cushion / plate / 1.1")
    assert finding.detail.startswith(f"one {WORDS[pen]} too many at ")
    x, y = middle(pen)
    assert place_in(finding.detail) == pytest.approx((x + 40.0, y + 31.0), abs=0.02)
    assert "remove it" in finding.detail


@pytest.mark.parametrize("pen", MARKS)
def test_a_mark_drawn_twice_is_one_too_many(check, pen):
    index, count = first(pen)
    twice = replace(SHEET, paths=(*SHEET.paths, *SHEET.paths[index : index + count]))
    assert numbers(check(twice)) == [608]


@pytest.mark.parametrize("pen", MARKS)
def test_surplus_marks_outside_all_outlines_are_reported_for_the_cloth(check, pen):
    index, count = first(pen)
    x, y = middle(pen)
    more = tuple(shifted(path, 640 - x, 1200 - y) for path in SHEET.paths[index : index + count])
    (finding,) = check(replace(SHEET, paths=(*SHEET.paths, *more)))
    assert (finding.number, finding.where) == (608, "teal twill")
    assert "in no outline" in finding.detail


def test_a_line_with_a_wrong_pen_is_missing_for_one_kind_and_surplus_for_the_other(check):
    """A slit that is only drawn would not be cut; a fold that is cut would be spoilt."""
    drawn = with_first(Pen.INNER_CUT, lambda path: replace(path, pen=Pen.INNER_LINE))
    assert numbers(check(drawn)) == [608, 606]
    cut = with_first(Pen.INNER_LINE, lambda path: replace(path, pen=Pen.INNER_CUT))
    assert numbers(check(cut)) == [606, 608]


def test_half_a_cross_is_no_drill_mark(check):
    index, _ = first(Pen.DRILL)
    assert numbers(check(with_path(SHEET, index, None))) == [606]


def test_a_slit_that_is_too_short_is_found(check):
    # by hand: the slit of the first plate runs from (320, 65) to (320, 135) mm
    ends = ((320.0, 65.0), (320.0, 130.0))
    (finding,) = check(with_first(Pen.INNER_CUT, lambda path: replace(path, points=ends)))
    assert finding.number == 607
    assert re.search(r"is (4\.9|5\.0)\d mm off", finding.detail)


def test_a_cut_out_with_an_open_side_is_found(check):
    (index,) = [i for i, p in enumerate(SHEET.paths) if p.pen is Pen.INNER_CUT and p.closed]
    opened = replace(SHEET.paths[index], closed=False)
    (finding,) = check(with_path(SHEET, index, opened))
    # by hand: the middle of the open side lies 10 mm from the side along the roll
    assert (finding.number, finding.where) == (607, "teal twill: cushion / boxing / 1.1")
    assert "is 10.0" in finding.detail


def test_marks_are_not_checked_in_an_outline_that_differs_from_its_panel(check):
    """Where the outline is wrong, marks cannot be checked."""
    drawing = without(Pen.DRILL)
    index = next(i for i, path in enumerate(drawing.paths) if path.pen is Pen.CUT)
    (x, y), *others = drawing.paths[index].points
    bent = replace(drawing.paths[index], points=((x + 1.0, y + 1.0), *others))
    assert numbers(check(with_path(drawing, index, bent))) == [202]


@pytest.mark.parametrize(("way", "within"), [(by_plot, 0.0177), (by_svg, 0.0)])
def test_a_format_is_allowed_its_own_rounding_and_no_more(way, within):
    allowed = 0.02 + 2 * within
    for off, wanted in ((allowed - 0.015, []), (allowed + 0.04, [607])):
        moved = with_first(Pen.NOTCH, lambda path, off=off: shifted(path, off, 0.0))
        assert numbers(check_drawing(way(moved), LAY.cloth, LAY.panels)) == wanted


def test_of_many_faults_the_first_are_listed_and_the_others_counted():
    count = LISTED + 7
    plate = worked_lays.rectangle(40 * CM, 30 * CM, name="plate", item="stool")
    drills = tuple(DrillMark((5 * CM + 5 * MM * n, 10 * CM)) for n in range(count))
    plate = replace(plate, drills=drills)
    placed = (PlacedPanel(plate, 1, 1, 0, 2 * CM, TWILL.selvedge),)
    lay = ClothLay(TWILL, (plate,), placed, CM, proved_optimal=False)
    sheet = lay_drawing(lay)
    bare = replace(sheet, paths=tuple(p for p in sheet.paths if p.pen is not Pen.DRILL))
    findings = check_drawing(bare, lay.cloth, lay.panels)
    assert numbers(findings) == [606] * (LISTED + 1)
    assert findings[-1].detail == "7 more of the kind drill"


def test_two_notches_that_meet_where_the_paper_is_fed_are_not_lost():
    """Plates that touch at x = 250 mm: the plot cannot tell their notches from one split line."""
    cloth = replace(TWILL, gap=0)
    plate = worked_lays.rectangle(23 * CM, 30 * CM, name="plate", item="stool", per_item=2)
    half = 15 * CM
    ends = tuple(
        replace(plate.notches[0], foot=(x, half), tip=(x + way, half))
        for x, way in ((0, 7 * MM), (23 * CM, -7 * MM))
    )
    plate = replace(plate, notches=ends)
    placed = tuple(
        PlacedPanel(plate, 1, n, 0, 2 * CM + (n - 1) * 23 * CM, cloth.selvedge) for n in (1, 2)
    )
    lay = ClothLay(cloth, (plate,), placed, CM, proved_optimal=False)
    sheet = lay_drawing(lay)
    meeting = [i for i, p in enumerate(sheet.paths) if p.pen is Pen.NOTCH and p.points[0][0] == 250]
    assert len(meeting) == 2
    for one in meeting:  # from tip to foot, so that one of them ends where the other begins
        back = replace(sheet.paths[one], points=sheet.paths[one].points[::-1])
        plot = by_plot(with_path(sheet, one, back))
        assert sum(path.pen is Pen.NOTCH for path in plot.paths) == 3
        assert check_drawing(plot, cloth, lay.panels) == ()
    for one in meeting:
        alone = by_plot(with_path(sheet, one, None))
        assert numbers(check_drawing(alone, cloth, lay.panels)) == [606]


def panels_of(name):
    """The panels of a product at its usual sizes, with a slit where it may have one."""
    product = products()[name]
    values = {each.name: each.shown for each in product.measurements}
    kinds = [each.choices for each in product.measurements if each.name == "closure"]
    if kinds and "slit" in kinds[0]:
        values["closure"] = "slit"
    if product.faults(values, 10.0):
        values = {each.name: each.shown for each in product.measurements}
    return make_panels(product, values, item=name, cloth="c", quantity=1, allowance_mm=10.0).panels


PANELS = [
    panel for name in sorted(products()) if name != "outline" for panel in panels_of(name)
]  # fmt: skip


@st.composite
def rows(draw):
    """Some panels of all products in a row on the cloth, each turned somehow."""
    placed, x = [], TWILL.end_allowance
    chosen = draw(st.lists(st.sampled_from(PANELS), min_size=1, max_size=4, unique_by=id))
    for panel in chosen:
        turn = draw(st.sampled_from((0, 90, 180, 270)))
        one = PlacedPanel(panel, 1, 1, turn, x, TWILL.selvedge + draw(st.integers(0, 30 * CM)))
        placed.append(one)
        x = one.outline.bounds[2] + TWILL.gap + draw(st.integers(0, CM))
    return ClothLay(TWILL, tuple(chosen), tuple(placed), CM, proved_optimal=False)


def of_marks(findings):
    return [one for one in findings if 606 <= one.number <= 608]


@given(rows(), st.sampled_from(WAYS), st.data())
@settings(deadline=None, max_examples=60)
def test_the_marks_of_any_product_are_accepted_in_place_and_reported_when_missing(lay, way, data):
    sheet = lay_drawing(lay)
    assert of_marks(check_drawing(way(sheet), lay.cloth, lay.panels)) == []
    marks = [i for i, path in enumerate(sheet.paths) if path.pen in MARKS]
    if marks:
        gone = data.draw(st.sampled_from(marks))
        faulty = way(with_path(sheet, gone, None))
        found = of_marks(check_drawing(faulty, lay.cloth, lay.panels))
        assert numbers(found) == [606]


def test_marks_without_points_or_numbers_raise_no_error():
    odd = (
        Path(Pen.NOTCH, ()),
        Path(Pen.DRILL, ((float("nan"), 1.0), (2.0, 2.0))),
        Path(Pen.INNER_CUT, ((200.0, 200.0),)),
    )
    findings = check_drawing(replace(SHEET, paths=(*SHEET.paths, *odd)), LAY.cloth, LAY.panels)
    assert numbers(findings) == [608]


def test_a_cross_between_the_places_of_two_marks_is_found(check):
    sheet = replace(
        SHEET,
        paths=(
            *SHEET.paths,
            *(Path(Pen.DRILL, stroke) for stroke in drill_cross((200.0, 200.0), 4.0)),
        ),
    )
    assert numbers(check(sheet)) == [608]
