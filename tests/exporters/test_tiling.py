import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from worked_lays import disc, gore, rectangle

from nesting.drawings.print.paper import A4, LETTER
from nesting.errors import OrderError
from nesting.exporters.templates.template import whole
from nesting.exporters.templates.tiling import FOOT_MM, Printing, divided
from nesting.units import CM, MM

PLATE = rectangle(42 * CM, 32 * CM, name="plate", item="cushion")


def _live_boxes(division):
    wide, tall = division.size
    return {
        sheet.name: shapely.box(*sheet.at, sheet.at[0] + wide, sheet.at[1] + tall)
        for sheet in division.sheets
    }


def test_a_small_panel_takes_one_sheet():
    division = divided(whole(disc(15 * CM, name="cap", item="pouf"), "cm"), Printing())
    assert [sheet.name for sheet in division.sheets] == ["A1"]


def test_sheets_are_counted_by_hand():
    # A4 lying, margins and overlap of 10 mm, a foot of 13 mm: live area 277 x 177 mm,
    # pitch 267 x 167. 424 mm need (424 - 10) / 267 = 1.6, two; 324 mm (324 - 10) / 167 = 1.9, two.
    # Upright: pitch 180 x 254: three by two.
    division = divided(whole(PLATE, "cm"), Printing())
    assert FOOT_MM == 13
    assert division.size == (277, 177)
    assert [sheet.name for sheet in division.sheets] == ["A1", "A2", "B1", "B2"]


def test_sheets_that_show_nothing_of_a_panel_are_not_printed():
    division = divided(whole(gore(180 * CM, 60 * CM, name="gore", item="pouf"), "cm"), Printing())
    assert len(division.sheets) < division.rows * division.columns


@settings(max_examples=40, deadline=None)
@given(
    length=st.integers(3 * CM, 220 * CM),
    height=st.integers(3 * CM, 150 * CM),
    kind=st.sampled_from([rectangle, gore]),
    paper=st.sampled_from([A4, LETTER]),
    margin=st.floats(0, 25),
    overlap=st.floats(5, 40),
)
def test_the_sheets_show_all_of_a_template_and_neighbours_share_the_overlap(
    length, height, kind, paper, margin, overlap
):
    template = whole(kind(length, height, name="p", item="i"), "cm")
    division = divided(template, Printing(paper, margin, overlap))
    boxes = _live_boxes(division)
    shown = shapely.union_all(list(boxes.values()))
    assert shapely.Polygon(template.ring).difference(shown.buffer(1e-6)).is_empty
    for sheet in division.sheets:
        right = division.at(sheet.row, sheet.column + 1)
        if right:
            shared = boxes[sheet.name].intersection(boxes[right.name]).bounds
            assert shared[2] - shared[0] == pytest.approx(overlap)
            assert shared[3] - shared[1] == pytest.approx(division.size[1])


def test_margin_and_overlap_out_of_their_limits_are_both_told():
    with pytest.raises(OrderError) as caught:
        Printing(margin=60, overlap=1)
    assert [str(fault) for fault in caught.value.faults] == [
        "margin: must be from 0 to 25 mm: 60 mm (for example 10 mm)",
        "overlap: must be from 5 to 40 mm: 1 mm (for example 10 mm)",
    ]


def test_a_panel_of_one_millimetre_more_than_fits_takes_a_second_sheet():
    # 277 mm across a lying sheet, less 2 mm clear on both sides: 273 mm fit
    narrow = 10 * CM
    fits = rectangle(273 * MM, narrow, name="p", item="i")
    longer = rectangle(274 * MM, narrow, name="p", item="i")
    lying = [len(divided(whole(p, "mm"), Printing()).sheets) for p in (fits, longer)]
    assert lying == [1, 2]
