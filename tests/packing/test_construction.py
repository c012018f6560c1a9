"""Bottom-left fill: valid, repeatable, and each piece where it first fits."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from layout_rules import broken_rules, used_length
from strategies import QUARTERS, box, outlines, problems

from nesting.geometry.outline import Outline
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.construction import BottomLeft
from nesting.packing.stage import Stage
from nesting.units import MM

FLAG = Outline(((0, 0), (6, 0), (6, 2), (2, 2), (2, 4), (0, 4)))


def identical(count, outline, width, gap=0, turns=(0,)):
    return Stage(Problem(width, (Shape(outline, turns),), (Piece(0),) * count, gap))


def places(arrangement):
    return list(
        zip(arrangement.pose.tolist(), arrangement.x.tolist(), arrangement.y.tolist(), strict=True)
    )


def first_fit(stage, index, laid):
    """Least (end, y, x, pose) of a piece among those laid, by trying every place on the grid."""
    longest = int(stage.length.max())
    end = max((x + int(stage.length[pose]) for pose, x, _ in laid), default=0)
    return min(
        (x + int(stage.length[pose]), y, x, pose)
        for pose in stage.choices[index]
        for x in range(end + longest + 1)
        for y in range(int(stage.width - stage.height[pose]) + 1)
        if all(
            stage.contact(other, pose).free(x - other_x, y - other_y)
            for other, other_x, other_y in laid
        )
    )


@given(st.data())
@settings(deadline=None, max_examples=40)
def test_every_fill_is_valid(data):
    stage = Stage(data.draw(problems(most=7)))
    order = data.draw(st.permutations(range(len(stage.choices))))
    filled = BottomLeft(stage).fill(order)
    assert stage.is_valid(filled)
    assert broken_rules(stage.layout(filled)) == []


@given(st.data())
@settings(deadline=None, max_examples=40)
def test_every_fill_of_large_pieces_with_a_gap_is_valid(data):
    stage = Stage(data.draw(problems(most=6, reach=3_000, gaps=(0, 1, 30, 300))))
    filled = BottomLeft(stage).fill(range(len(stage.choices)))
    assert stage.is_valid(filled)
    assert broken_rules(stage.layout(filled)) == []


@given(st.data())
@settings(deadline=None, max_examples=40)
def test_pieces_of_one_bundle_are_laid_the_same_way(data):
    problem = data.draw(problems(most=6))
    shapes = tuple(replace(shape, turns=(0, 180)) for shape in problem.shapes)
    pieces = tuple(
        replace(piece, bundle=data.draw(st.sampled_from([None, 1, 2]))) for piece in problem.pieces
    )
    stage = Stage(replace(problem, shapes=shapes, pieces=pieces))
    filled = BottomLeft(stage).fill(range(len(pieces)))
    assert stage.is_valid(filled)
    assert broken_rules(stage.layout(filled)) == []


@given(st.data())
@settings(deadline=None, max_examples=40)
def test_the_same_order_gives_the_same_fill(data):
    problem = data.draw(problems(gaps=(0, 3)))
    order = data.draw(st.permutations(range(len(problem.pieces))))
    again, rule = BottomLeft(Stage(problem)), BottomLeft(Stage(problem))
    rule.fill(order[::-1])
    assert places(rule.fill(order)) == places(again.fill(order))


@given(st.data())
@settings(deadline=None, max_examples=40)
def test_what_is_laid_first_does_not_ask_what_comes_later(data):
    stage = Stage(data.draw(problems(most=6)))
    count = len(stage.choices)
    order = data.draw(st.permutations(range(count)))
    first = data.draw(st.integers(0, count))
    other = order[:first] + data.draw(st.permutations(order[first:]))
    rule = BottomLeft(stage)
    one, two = places(rule.fill(order)), places(rule.fill(other))
    assert [one[i] for i in order[:first]] == [two[i] for i in order[:first]]


@given(st.data())
@settings(deadline=None, max_examples=40)
def test_each_piece_lies_where_its_end_comes_first_then_lowest(data):
    # On a strip this narrow every grid unit is a column.
    stage = Stage(data.draw(problems(most=4, reach=6)))
    rule = BottomLeft(stage)
    assert rule.pitch == 1
    order = data.draw(st.permutations(range(len(stage.choices))))
    filled = places(rule.fill(order))
    laid = []
    for i in order:
        *_, y, x, pose = first_fit(stage, i, laid)
        assert filled[i] == (pose, x, y)
        laid.append(filled[i])


def test_a_piece_falls_into_the_bay_of_one_that_lies_already():
    bay = Outline(((0, 0), (12, 0), (12, 6), (8, 6), (8, 2), (4, 2), (4, 6), (0, 6)))
    stage = Stage(Problem(6, (Shape(bay, (0,)), Shape(box(4, 4), (0,))), (Piece(0), Piece(1))))
    assert places(BottomLeft(stage).fill([0, 1])) == [(0, 0, 0), (1, 4, 2)]


@given(st.integers(1, 30), st.integers(1, 60), st.integers(50, 3_000), st.integers(1, 5))
@settings(deadline=None, max_examples=40)
def test_identical_rectangles_fill_rows_without_loss(count, columns, height, rows):
    # Rows of them fill the strip exactly; their length is a whole number of columns.
    width = rows * height
    pitch = BottomLeft(identical(1, box(1, height), width)).pitch
    stage = identical(count, box(columns * pitch, height), width)
    filled = BottomLeft(stage).fill(range(count))
    assert stage.used_length(filled) == -(-count // rows) * columns * pitch


@pytest.mark.parametrize("gap", [1 * MM, 3 * MM])
def test_identical_rectangles_keep_the_gap_between_rows_but_not_to_the_edges(gap):
    # Three rows of 400 mm with two gaps between them fill 1200 mm and two gaps.
    stage = identical(6, box(500 * MM, 400 * MM), 1200 * MM + 2 * gap, gap)
    filled = BottomLeft(stage).fill(range(6))
    assert sorted(filled.y.tolist())[::2] == [0, 400 * MM + gap, 2 * (400 * MM + gap)]
    pitch = BottomLeft(stage).pitch
    assert 1000 * MM + gap <= stage.used_length(filled) < 1000 * MM + gap + pitch


@given(outlines(), st.integers(2, 6))
@settings(deadline=None, max_examples=40)
def test_no_two_pieces_ever_need_more_than_their_lengths_together(outline, count):
    x0, y0 = outline.bounds[:2]
    shape = Outline(tuple((x - x0, y - y0) for x, y in outline.points))
    stage = identical(count, shape, shape.height + 3)
    assert stage.used_length(BottomLeft(stage).fill(range(count))) <= count * shape.length


def test_a_piece_turns_when_that_ends_sooner():
    stage = identical(1, box(9, 4), 10, turns=QUARTERS)
    layout = stage.layout(BottomLeft(stage).fill([0]))
    assert used_length(layout) == 4
    assert layout.placements[0].turn in (90, 270)


def test_a_bundle_follows_its_first_piece():
    # Without the bundle the second flag would turn and lie closer: two L shapes make a block.
    free, tied = (
        Stage(Problem(6, (Shape(FLAG, (0, 180)),), (Piece(0, bundle),) * 2)) for bundle in (None, 1)
    )
    apart, alike = (stage.layout(BottomLeft(stage).fill([0, 1])) for stage in (free, tied))
    assert len({place.turn for place in apart.placements}) == 2
    assert len({place.turn for place in alike.placements}) == 1
    assert used_length(apart) < used_length(alike)


@given(st.data())
@settings(deadline=None, max_examples=60)
def test_a_bundle_points_a_way_that_all_of_its_pieces_can(data):
    # Each piece may point one way, the other or both; there is one way that all of them can.
    problem = data.draw(problems(most=6, turns=(0,)))
    way = data.draw(st.sampled_from([0, 180]))
    ways = st.sets(st.sampled_from([0, 180])).map(lambda turns: tuple(sorted(turns | {way})))
    shapes = tuple(replace(shape, turns=data.draw(ways)) for shape in problem.shapes)
    pieces = tuple(replace(piece, bundle=1) for piece in problem.pieces)
    stage = Stage(replace(problem, shapes=shapes, pieces=pieces))
    filled = BottomLeft(stage).fill(data.draw(st.permutations(range(len(pieces)))))
    assert stage.is_valid(filled)
    assert broken_rules(stage.layout(filled)) == []
