"""From panels to a packing problem and back."""

from dataclasses import replace

import pytest
from worked_lays import disc, rectangle

from nesting.cloth.cloth import Cloth, Nap
from nesting.layouts.cutting_list import cutting_list, packing_problem, placed_panels
from nesting.layouts.layout import Layout, Placement
from nesting.layouts.piece_strip import strip_of
from nesting.panels.panel import GrainRule
from nesting.units import CM, MM

CLOTH = Cloth("serge", 140 * CM, selvedge=15 * MM, gap=3 * MM, end_allowance=2 * CM)

PLATE = rectangle(42 * CM, 32 * CM, name="plate", item="seat", per_item=2, quantity=3)
CAP = disc(20 * CM, name="cap", item="pouf", per_item=2, quantity=1)


def _roll(cloth):
    """The roll of a cloth as a strip."""
    return strip_of(cloth, [cloth.roll])


def test_every_copy_and_part_is_listed_in_order():
    assert [(cut.panel.name, cut.copy, cut.part) for cut in cutting_list((PLATE, CAP))] == [
        ("plate", 1, 1), ("plate", 1, 2), ("plate", 2, 1), ("plate", 2, 2),
        ("plate", 3, 1), ("plate", 3, 2), ("cap", 1, 1), ("cap", 1, 2),
    ]  # fmt: skip


def test_the_problem_is_the_usable_cloth_with_one_piece_for_each_cut():
    problem = packing_problem(_roll(CLOTH), cutting_list((PLATE, CAP)))
    # 140 cm less two selvedges of 1.5 cm.
    assert (problem.width, problem.gap) == (137 * CM, 3 * MM)
    assert [piece.shape for piece in problem.pieces] == [0] * 6 + [1] * 2
    assert problem.area2 == 6 * PLATE.cut.area2 + 2 * CAP.cut.area2


def test_equal_outlines_with_equal_turns_are_one_shape():
    twin = replace(PLATE, name="base", item="stool")
    free = replace(PLATE, name="lid", item="stool", grain_rule=GrainRule.ANY)
    either = replace(CLOTH, nap=Nap.EITHER_WAY)
    assert len(packing_problem(_roll(CLOTH), cutting_list((PLATE, twin, free))).shapes) == 1
    assert [
        s.turns for s in packing_problem(_roll(either), cutting_list((PLATE, twin, free))).shapes
    ] == [
        (0, 180),
        (0, 90, 180, 270),
    ]


@pytest.mark.parametrize("nap", [Nap.ONE_WAY, Nap.EITHER_WAY])
def test_panels_are_bundled_only_on_a_cloth_laid_up_and_down(nap):
    pieces = packing_problem(_roll(replace(CLOTH, nap=nap)), cutting_list((PLATE, CAP))).pieces
    assert {piece.bundle for piece in pieces} == {None}


def test_up_and_down_all_panels_of_one_copy_of_an_item_are_a_bundle():
    boxing = rectangle(60 * CM, 8 * CM, name="boxing", item="seat", per_item=1, quantity=3)
    problem = packing_problem(
        _roll(replace(CLOTH, nap=Nap.UP_AND_DOWN)), cutting_list((PLATE, boxing, CAP))
    )
    # Plates of seats 1, 1, 2, 2, 3, 3; boxings of seats 1, 2, 3; both caps of one pouf.
    assert [piece.bundle for piece in problem.pieces] == [0, 0, 1, 1, 2, 2, 0, 1, 2, 3, 3]


def test_a_layout_comes_back_with_names_selvedge_and_end_allowance():
    cuts = cutting_list((CAP,))
    problem = packing_problem(_roll(CLOTH), cuts)
    layout = Layout(problem, (Placement(0, 30 * CM, 0), Placement(0, 5 * CM, 40 * CM)))
    ((first, second),) = placed_panels(_roll(CLOTH), cuts, layout)
    # The least x is put at the end allowance; y counts from the edge of the cloth.
    assert (first.x, first.y) == (27 * CM, 15 * MM)
    assert (second.x, second.y) == (2 * CM, 40 * CM + 15 * MM)
    assert (second.panel.name, second.copy, second.part) == ("cap", 1, 2)
