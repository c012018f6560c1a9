from dataclasses import replace

import pytest
import shapely
import shapely.affinity
from worked_lays import TWILL, mixed_lay, rectangle

from nesting.geometry.outline import Outline
from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.layouts.mirroring import Face, cloth_seen, marking_sequence
from nesting.layouts.sequence import in_marking_order
from nesting.panels.panel import DrillMark
from nesting.units import CM

LAY = mixed_lay()


def lopsided_lay():
    """One panel without any symmetry, in each of the four turns."""
    cut = Outline(((0, 0), (30 * CM, 0), (24 * CM, 12 * CM), (0, 7 * CM)))
    plain = rectangle(30 * CM, 12 * CM, name="wing", item="kite", per_item=4)
    wing = replace(
        plain, cut=cut, stitch=None, notches=(), label=(10 * CM, 3 * CM),
        drills=(DrillMark((8 * CM, 5 * CM), "button"),), lines=(((CM, CM), (9 * CM, 2 * CM)),),
        inner_cuts=(((4 * CM, 3 * CM), (9 * CM, 4 * CM)),),
    )  # fmt: skip
    placed = tuple(
        PlacedPanel(wing, 1, i + 1, turn, 2 * CM + 40 * CM * i, TWILL.selvedge + 5 * CM * i)
        for i, turn in enumerate((0, 90, 180, 270))
    )
    return ClothLay(TWILL, (wing,), placed, 30 * CM, proved_optimal=False)


def reflected(points, width):
    """Reflected in the middle line of the cloth, with another library."""
    polygon = shapely.Polygon(points)
    return shapely.affinity.scale(polygon, 1, -1, origin=(0, width / 2))


@pytest.mark.parametrize("lay", [LAY, lopsided_lay()], ids=["mixed", "lopsided"])
def test_face_down_every_outline_is_reflected_across_the_roll(lay):
    back = cloth_seen(lay, Face.DOWN)
    for one, other in zip(lay.placed, back.placed, strict=True):
        expected = reflected(one.outline.points, lay.cloth.width)
        assert shapely.Polygon(other.outline.points).equals(expected)
        assert (one.copy, one.part, one.label) == (other.copy, other.part, other.label)


@pytest.mark.parametrize("lay", [LAY, lopsided_lay()], ids=["mixed", "lopsided"])
def test_marks_inside_the_panels_are_reflected_with_them(lay):
    back = cloth_seen(lay, Face.DOWN)
    width = lay.cloth.width

    def marks(placed):
        panel = placed.panel
        inner = panel.stitch.points if panel.stitch else ()
        feet = [end for notch in panel.notches for end in (notch.foot, notch.tip)]
        drills = [drill.at for drill in panel.drills]
        ends = [end for line in (*panel.lines, *panel.inner_cuts) for end in line]
        single = (*panel.grain, panel.label, *feet, *drills, *ends)
        return placed.on_cloth(single), set(placed.on_cloth(inner))

    for one, other in zip(lay.placed, back.placed, strict=True):
        (here, ring), (there, back_ring) = marks(one), marks(other)
        assert there == tuple((x, width - y) for x, y in here)
        assert back_ring == {(x, width - y) for x, y in ring}


def test_seen_twice_from_the_back_the_lay_is_what_it_was():
    lay = lopsided_lay()
    again = cloth_seen(cloth_seen(lay, Face.DOWN), Face.DOWN)
    for one, other in zip(lay.placed, again.placed, strict=True):
        assert set(one.outline.points) == set(other.outline.points)
        assert one.turn == other.turn


def test_lengths_areas_and_the_price_are_the_same_from_both_sides():
    back = cloth_seen(LAY, Face.DOWN)
    assert (back.used_length, back.buy_length) == (LAY.used_length, LAY.buy_length)
    assert back.panel_area_mm2 == pytest.approx(LAY.panel_area_mm2)
    assert back.cost == LAY.cost


def test_face_up_nothing_changes():
    assert cloth_seen(LAY, Face.UP) is LAY
    assert marking_sequence(LAY, Face.UP) == in_marking_order(LAY)


def test_a_number_means_the_same_panel_from_both_sides():
    up, down = (marking_sequence(LAY, face) for face in Face)
    assert [placed.label for placed in up] == [placed.label for placed in down]
