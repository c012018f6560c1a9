from worked_lays import mixed_lay

from benchmarks.cut_travel import measure, repeat
from nesting.drawings.drawing import Pen
from nesting.exporters.lay import lay_drawing

SHEET = lay_drawing(mixed_lay())


def test_a_lay_repeated_along_the_roll_has_every_line_again_one_length_further():
    twice = repeat(SHEET, 2)
    count = len(SHEET.paths)
    assert twice.width == 2 * SHEET.width
    for first, second in zip(twice.paths[:count], twice.paths[count:], strict=True):
        assert second.points == tuple((x + SHEET.width, y) for x, y in first.points)


def test_cuts_notches_and_both_together_each_have_a_row():
    rows = list(measure("nook", SHEET, together=True))
    assert [row[:3] for row in rows] == [
        ["nook", "cut", "6"], ["nook", "notch", "7"], ["nook", "together", "13"],
    ]  # fmt: skip
    for row in rows:
        placement, nearest, after = map(float, row[3:6])
        assert after <= nearest
        assert after <= placement


def test_a_lay_without_notches_has_cuts_only():
    bare = type(SHEET)("bare", SHEET.width, SHEET.height, tuple(
        path for path in SHEET.paths if path.pen is not Pen.NOTCH
    ), ())  # fmt: skip
    assert [row[1] for row in measure("bare", bare, together=True)] == ["cut"]
