from dataclasses import replace

import pytest
import shapely
from large_lay import large_lay
from worked_lays import TWILL, mixed_lay

from nesting.cloth.cloth import Nap
from nesting.reports.remnants import MOST, letter, remnants, room_for
from nesting.reports.vacancy import Box
from nesting.units import CM, IN


def _single_plate(cloth=TWILL):
    """A plate of 42 x 32 cm on the lower selvedge, 2 cm from the cut end."""
    lay = mixed_lay(cloth)
    return replace(lay, placed=lay.placed[:1])


def test_cloth_that_the_buying_step_adds_joins_the_cloth_left_beside_the_panels():
    # by hand: 42 + 2 x 2 cm are bought as 50 cm, so 46 cm lie between the ends; above the plate
    # are 137 - 32 cm, beside it only 4 cm
    assert remnants(_single_plate(), "cm") == (Box(2 * CM, 3350 * 10, 48 * CM, 13850 * 10),)


def test_the_end_of_the_cloth_is_kept_in_one_piece_over_its_whole_width():
    # by hand: 100 cm are bought. Between 44 and 98 cm nothing lies: 54 cm. Before that 105 cm are
    # free above the plate; without the rule they would be one rectangle of 96 x 105 cm
    end, above = remnants(_single_plate(replace(TWILL, buy_step=100 * CM)), "cm")
    assert end == Box(44 * CM, 150 * 10, 98 * CM, 13850 * 10)
    assert above == Box(2 * CM, 3350 * 10, 44 * CM, 13850 * 10)


def test_what_still_fits_on_a_remnant_is_counted_in_rows_and_columns():
    lay = _single_plate()
    plate = lay.placed[0].panel  # 42 x 32 cm
    no_gap = replace(TWILL, gap=0)
    assert room_for(Box(0, 0, 84 * CM, 65 * CM), plate, no_gap) == 4
    assert room_for(Box(0, 0, 84 * CM, 65 * CM), plate, replace(no_gap, gap=2 * CM)) == 1
    assert room_for(Box(0, 0, 32 * CM, 42 * CM), plate, no_gap) == 0
    either = replace(no_gap, nap=Nap.EITHER_WAY, cross_grain=True)
    assert room_for(Box(0, 0, 32 * CM, 42 * CM), plate, either) == 1


def test_a_piece_narrower_than_the_least_is_not_a_remnant():
    # by hand: sold in steps of 56 cm, 10 cm are left beside the plate, of 55.9 cm only 9.9 cm
    assert len(remnants(_single_plate(replace(TWILL, buy_step=56 * CM)), "cm")) == 2
    assert len(remnants(_single_plate(replace(TWILL, buy_step=559 * CM // 10)), "cm")) == 1


def test_people_who_work_in_inches_keep_pieces_four_inches_wide():
    # 42 cm of plate, 2 x 2 cm of ends and 4 in (10.16 cm) beside it
    enough = replace(TWILL, buy_step=46 * CM + 4 * IN)
    assert len(remnants(_single_plate(enough), "in")) == 2
    assert len(remnants(_single_plate(replace(enough, buy_step=46 * CM + 4 * IN - 1)), "in")) == 1


@pytest.mark.parametrize("lay", [mixed_lay(), large_lay()], ids=["mixed", "large"])
def test_remnants_are_clear_of_every_panel_according_to_another_library(lay):
    found = remnants(lay, "cm")
    assert 0 < len(found) <= MOST
    boxes = [shapely.box(b.x0, b.y0, b.x1, b.y1) for b in found]
    panels = shapely.STRtree([shapely.Polygon(p.outline.points) for p in lay.placed])
    meeting = panels.query(boxes, predicate="intersects").T
    for i, j in meeting:
        assert boxes[i].intersection(panels.geometries[j]).area < 1e-3  # of 1e6 in a cm²
    assert shapely.union_all(boxes).area == pytest.approx(sum(b.area for b in boxes))


def test_remnants_are_named_by_letters():
    assert [letter(n) for n in (1, 26, 27, 52, 53)] == ["A", "Z", "AA", "AZ", "BA"]
