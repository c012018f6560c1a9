from worked_lays import TWILL, mixed_lay, rectangle

from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.layouts.sequence import REACH, in_marking_order, runs
from nesting.units import CM


def _grid_lay(columns, rows, size=30 * CM):
    panel = rectangle(size, size, name="square", item="mat", per_item=columns * rows)
    placed = tuple(
        PlacedPanel(panel, 1, 1 + i * rows + j, 0, i * size, j * size)
        for j in range(rows)
        for i in range(columns)
    )
    return ClothLay(TWILL, (panel,), placed, size, proved_optimal=False)


def test_columns_are_walked_up_and_down():
    # By hand: three columns of two squares, numbered from the lower edge in each.
    order = [placed.part for placed in in_marking_order(_grid_lay(3, 2))]
    assert order == [1, 2, 4, 3, 5, 6]


def test_every_panel_is_marked_once():
    lay = mixed_lay()
    assert sorted(map(id, in_marking_order(lay))) == sorted(map(id, lay.placed))


def test_a_column_is_no_deeper_than_a_reach():
    long = rectangle(3 * REACH, 10 * CM, name="strip", item="bench")
    short = rectangle(20 * CM, 10 * CM, name="square", item="bench", per_item=6)
    squares = tuple(PlacedPanel(short, 1, i + 1, 0, 20 * CM * i, 20 * CM) for i in range(6))
    placed = (PlacedPanel(long, 1, 1, 0, 0, 0), *squares)
    order = in_marking_order(ClothLay(TWILL, (long, short), placed, 3 * REACH, True))
    # by hand: 60 cm of reach hold the strip and the three squares that begin before it
    assert [p.panel.name for p in order[:4]] == ["strip", "square", "square", "square"]
    assert [p.part for p in order[1:4]] == [1, 2, 3]


def test_numbers_that_follow_each_other_are_drawn_together():
    assert runs([1, 2, 3, 7, 9, 10]) == "1–3, 7, 9–10"
    assert runs([]) == ""
