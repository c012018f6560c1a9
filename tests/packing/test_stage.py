"""Poses and contacts of a problem, and what counts as a valid arrangement."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from layout_rules import GROWING, broken_rules, polygons
from strategies import QUARTERS, arrangements, box, from_origin, outlines, problems

from nesting.geometry.outline import Outline
from nesting.geometry.transforms import outline_at
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.stage import Arrangement, Stage
from nesting.tolerances import MITRE_LIMIT
from nesting.verification.separation import nearer_than, overlaps

#: Points one way only, whichever way it is turned.
FLAG = Outline(((0, 0), (6, 0), (6, 2), (2, 2), (2, 4), (0, 4)))

#: Looks the same turned end for end, not turned a quarter.
SLANT = Outline(((0, 0), (4, 0), (6, 3), (2, 3)))


def stage_of(*outlines, width=20, turns=QUARTERS, gap=0, bundles=None):
    shapes = tuple(Shape(outline, turns) for outline in outlines)
    ways = bundles or [None] * len(outlines)
    return Stage(Problem(width, shapes, tuple(Piece(i, b) for i, b in enumerate(ways)), gap))


def arranged(*places):
    """An arrangement from (pose, x, y) of each piece."""
    return Arrangement(*(np.array(values, dtype=np.int64) for values in zip(*places, strict=True)))


def at_turns(stage, turns, xs):
    """Pieces at given turns and places along the strip, on its lower edge."""
    poses = [
        next(p for p in choice if turn in stage.poses[p].turns)
        for choice, turn in zip(stage.choices, turns, strict=True)
    ]
    return arranged(*((pose, x, 0) for pose, x in zip(poses, xs, strict=True)))


@pytest.mark.parametrize(
    ("outline", "poses"),
    [(box(4, 4), 1), (box(4, 3), 2), (SLANT, 2), (FLAG, 4), (Outline(((0, 0), (3, 0), (0, 3))), 4)],
)
def test_turns_that_give_the_same_outline_are_one_pose(outline, poses):
    assert len(stage_of(outline).poses) == poses


@given(outlines(), st.sets(st.sampled_from(QUARTERS), min_size=1))
@settings(deadline=None, max_examples=50)
def test_every_allowed_turn_belongs_to_one_pose_and_gives_its_outline(outline, turns):
    stage = stage_of(outline, width=40, turns=tuple(turns))
    assert sorted(turn for pose in stage.poses for turn in pose.turns) == sorted(turns)
    for pose in stage.poses:
        for turn in pose.turns:
            assert set(outline_at(outline, turn).points) == set(pose.outline.points)
    assert len({pose.outline for pose in stage.poses}) == len(stage.poses)


@given(st.data())
@settings(deadline=None, max_examples=80)
def test_an_arrangement_is_valid_just_when_nothing_overlaps(data):
    stage = Stage(data.draw(problems()))
    arrangement = data.draw(arrangements(stage, 30))
    layout = stage.layout(arrangement)
    assert stage.is_valid(arrangement) == (not broken_rules(layout))
    assert stage.is_valid(arrangement) == (not [*overlaps(polygons(layout))])


@given(st.data())
@settings(deadline=None, max_examples=50)
def test_what_lies_outside_the_strip_is_not_valid(data):
    stage = Stage(data.draw(problems(most=1)))
    lying = data.draw(arrangements(stage, 10))
    assert stage.is_valid(lying)
    room = int(stage.width - stage.height[lying.pose[0]])
    for x, y in ((-1, 0), (0, -1), (0, room + 1)):
        assert not stage.is_valid(arranged((int(lying.pose[0]), x, y)))


@given(st.data())
@settings(deadline=None, max_examples=60)
def test_with_a_gap_valid_pieces_keep_it(data):
    problem = data.draw(problems(most=4, reach=40, gaps=(1, 2, 5, 10)))
    stage = Stage(problem)
    arrangement = data.draw(arrangements(stage, 160))
    if stage.is_valid(arrangement):
        lying = polygons(stage.layout(arrangement))
        assert [*nearer_than(lying, problem.gap - GROWING)] == []


@given(outlines(40), outlines(40), st.integers(1, 7), st.integers(-20, 20))
@settings(deadline=None, max_examples=60)
def test_pieces_as_near_as_they_may_be_keep_the_gap(first, second, gap, shift):
    stage = stage_of(from_origin(first), from_origin(second), width=200, turns=(0,), gap=gap)
    x = int(stage.length[0]) + stage.reach
    while stage.is_valid(arranged((0, 0, 50), (1, x - 1, 50 + shift))) and x > -100:
        x -= 1
    one, other = polygons(stage.layout(arranged((0, 0, 50), (1, x, 50 + shift))))
    assert one.distance(other) >= gap - GROWING


@given(st.data())
@settings(deadline=None, max_examples=60)
def test_pieces_beyond_the_reach_of_mitred_corners_are_valid(data):
    problem = data.draw(problems(most=3, reach=40, gaps=(1, 2, 5, 10)))
    stage = Stage(problem)
    arrangement = data.draw(arrangements(stage, 250))
    # Each outline is grown by half the gap, rounded up; corners reach further, by MITRE_LIMIT
    # at most, and are then rounded outward to the grid (two units allowed).
    far = 2 * (MITRE_LIMIT * -(-problem.gap // 2) + 2)
    lying = polygons(stage.layout(arrangement))
    if not [*nearer_than(lying, far)]:
        assert stage.is_valid(arrangement)


def test_upright_rectangles_may_lie_at_just_the_gap():
    stage = stage_of(box(5, 5), box(5, 5), gap=4)
    assert stage.is_valid(arranged((0, 0, 0), (1, 9, 0)))
    assert stage.is_valid(arranged((0, 0, 0), (1, 0, 9)))
    assert not stage.is_valid(arranged((0, 0, 0), (1, 8, 0)))
    assert not stage.is_valid(arranged((0, 0, 0), (1, 0, 8)))


def test_a_bay_that_the_gap_all_but_closes_is_filled():
    # Grown by 2, the bay at the right is left a fraction of a unit wide; its sides,
    # rounded outward to the grid, would cross.
    bay = Outline(((7, 0), (4, 2), (4, 4), (5, 6), (0, 2), (0, 0)))
    stage = stage_of(bay, box(1, 1), turns=(0,), gap=3)
    assert stage.is_valid(arranged((0, 0, 0), (1, 14, 3)))
    assert not stage.is_valid(arranged((0, 0, 0), (1, 6, 3)))


def test_the_gap_is_not_kept_from_the_edges():
    stage = stage_of(box(5, 8), box(5, 8), width=20, gap=4)
    assert stage.is_valid(arranged((0, 0, 0), (0, 0, 12)))


def test_a_piece_wider_than_the_strip_in_every_turn_is_refused():
    with pytest.raises(ValueError, match="wider than the strip"):
        stage_of(box(5, 5), box(21, 22))
    with pytest.raises(ValueError, match="wider than the strip"):
        stage_of(box(5, 21), turns=(0, 180))


def test_a_piece_takes_only_the_turns_that_fit():
    stage = stage_of(box(30, 8), box(8, 30))
    assert [[stage.poses[p].turns for p in choice] for choice in stage.choices] == [
        [(0, 180)],
        [(90, 270)],
    ]


def test_pieces_of_a_bundle_point_the_same_way():
    stage = stage_of(FLAG, FLAG, FLAG, turns=(0, 180), bundles=[7, 7, None])
    assert stage.is_valid(at_turns(stage, (0, 0, 180), (0, 10, 20)))
    assert stage.is_valid(at_turns(stage, (180, 180, 0), (0, 10, 20)))
    assert not stage.is_valid(at_turns(stage, (0, 180, 0), (0, 10, 20)))


def test_a_quarter_turn_points_the_way_it_is_less_than_180():
    stage = stage_of(FLAG, FLAG, bundles=[1, 1])
    for turns, agree in [((0, 90), True), ((90, 180), False), ((270, 180), True)]:
        assert stage.is_valid(at_turns(stage, turns, (0, 10))) is agree


@given(st.lists(st.sampled_from([0, 180]), min_size=3, max_size=3))
def test_a_piece_that_looks_the_same_both_ways_is_turned_as_its_bundle_is(turns):
    stage = stage_of(FLAG, SLANT, box(5, 3), turns=(0, 180), bundles=[3, 3, 3])
    arrangement = at_turns(stage, turns, (0, 10, 20))
    assert stage.is_valid(arrangement)
    placements = stage.layout(arrangement).placements
    assert {place.turn for place in placements} == {turns[0]}
    assert broken_rules(stage.layout(arrangement)) == []


@given(st.data())
@settings(deadline=None, max_examples=60)
def test_bundles_that_agree_give_layouts_whose_turns_agree(data):
    problem = data.draw(problems(turns=(0, 180)))
    bundles = [data.draw(st.sampled_from([None, 1, 2])) for _ in problem.pieces]
    pieces = tuple(Piece(p.shape, b) for p, b in zip(problem.pieces, bundles, strict=True))
    problem = Problem(problem.width, problem.shapes, pieces)
    if not _every_bundle_has_a_way(problem):
        with pytest.raises(ValueError, match="no way that all of them can point"):
            Stage(problem)
        return
    stage = Stage(problem)
    arrangement = data.draw(arrangements(stage, 0))
    arrangement.x[:] = np.cumsum([0, *stage.length[arrangement.pose[:-1]]])
    if stage.is_valid(arrangement):
        assert broken_rules(stage.layout(arrangement)) == []


def _every_bundle_has_a_way(problem):
    """Whether the turns of all pieces of each bundle have a half of the circle in common."""
    ways = {}
    for piece in problem.pieces:
        if piece.bundle is not None:
            own = {turn >= 180 for turn in problem.shapes[piece.shape].turns}
            ways[piece.bundle] = ways.get(piece.bundle, own) & own
    return all(ways.values())


@given(st.data())
@settings(deadline=None, max_examples=50)
def test_a_layout_says_where_the_poses_lie(data):
    stage = Stage(data.draw(problems()))
    arrangement = data.draw(arrangements(stage, 30))
    layout = stage.layout(arrangement)
    ends = []
    for i, pose in enumerate(arrangement.pose):
        x0, y0, x1, _ = layout.outline(i).bounds
        assert (x0, y0) == (arrangement.x[i], arrangement.y[i])
        assert x1 - x0 == stage.length[pose]
        ends.append(x1)
    assert stage.used_length(arrangement) == max(ends)


@given(st.data(), st.integers(0, 9))
@settings(deadline=None, max_examples=50)
def test_near_pairs_are_those_whose_boxes_come_within_reach(data, reach):
    stage = Stage(data.draw(problems()))
    arrangement = data.draw(arrangements(stage, 40))
    boxes = [shapely.box(*polygon.bounds) for polygon in polygons(stage.layout(arrangement))]
    expected = [
        (i, j)
        for i, one in enumerate(boxes)
        for j in range(i + 1, len(boxes))
        if _apart(one, boxes[j]) < reach
    ]
    assert list(zip(*stage.near_pairs(arrangement, reach), strict=True)) == expected


def _apart(one, other):
    """Distance of two boxes along x or y, whichever is greater; negative if they overlap."""
    a, b = one.bounds, other.bounds
    return max(a[0] - b[2], b[0] - a[2], a[1] - b[3], b[1] - a[3])


def test_a_bundle_without_a_way_for_all_of_its_pieces_is_refused():
    shapes = Shape(FLAG, (0,)), Shape(FLAG, (90,)), Shape(FLAG, (180, 270))
    pieces = Piece(0, 4), Piece(1, 4), Piece(2, 4)
    Stage(Problem(20, shapes, pieces[:2]))
    with pytest.raises(ValueError, match="no way that all of them can point"):
        Stage(Problem(20, shapes, pieces))


def test_a_piece_of_a_bundle_takes_only_poses_that_point_as_all_of_it_can():
    shapes = Shape(FLAG, QUARTERS), Shape(FLAG, (180,))
    stage = Stage(Problem(20, shapes, (Piece(0, 4), Piece(1, 4), Piece(0))))
    turns = [{t for p in choice for t in stage.poses[p].turns} for choice in stage.choices]
    assert turns == [{180, 270}, {180}, set(QUARTERS)]
