"""Windows of a lay, packed again."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from layout_rules import broken_rules
from strategies import box, problems

from nesting.geometry.outline import Outline
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.construction import BottomLeft
from nesting.packing.cpsat import windows
from nesting.packing.cpsat.windows import OutlineWindows, RectangleWindows
from nesting.packing.running import uninterrupted
from nesting.packing.stage import Arrangement, Stage
from nesting.units import MM

HALF = Outline(((0, 0), (80 * MM, 0), (0, 40 * MM)))


@pytest.fixture(autouse=True)
def small_work(monkeypatch):
    monkeypatch.setattr(windows, "WORK", 0.05)


def in_file(stage, apart):
    """Every piece in its first pose on the lower edge, one behind the other."""
    poses = np.array([choice[0] for choice in stage.choices], dtype=np.int64)
    x = np.cumsum([0, *(stage.length[poses[:-1]] + apart)])
    return Arrangement(poses, x, np.zeros_like(x))


def worked_on(windows_of, stage, start, times, seed=0):
    """The lay after some windows, each of which is checked with another library."""
    engine, best = windows_of(stage, seed, uninterrupted), start
    for _ in range(times):
        found, proved = engine.attempt(best, 0, math.inf)
        assert proved == 0
        if found is not None:
            assert stage.is_valid(found)
            assert broken_rules(stage.layout(found)) == []
            assert stage.used_length(found) <= stage.used_length(best)
            best = found
    return best


@given(st.data())
@settings(deadline=None, max_examples=5)
def test_a_window_leaves_a_valid_lay_that_is_no_longer(data):
    stage = Stage(data.draw(problems(most=8, reach=500, gaps=(0, 0, 30))))
    start = BottomLeft(stage).fill(data.draw(st.permutations(range(len(stage.choices)))))
    worked_on(OutlineWindows, stage, start, 2, seed=data.draw(st.integers(0, 99)))


@given(st.data())
@settings(deadline=None, max_examples=6)
def test_a_window_of_rectangles_does_too(data):
    side = st.integers(1, 12)
    kinds = data.draw(st.lists(st.tuples(side, side), min_size=1, max_size=3))
    turns = data.draw(st.sampled_from([(0,), (0, 90)]))
    shapes = tuple(Shape(box(a * MM, b * MM), turns) for a, b in kinds)
    pieces = data.draw(st.lists(st.integers(0, len(kinds) - 1).map(Piece), min_size=1, max_size=16))
    gap = data.draw(st.sampled_from([0, 1])) * MM
    stage = Stage(Problem(12 * MM, shapes, tuple(pieces), gap))
    worked_on(RectangleWindows, stage, in_file(stage, gap), 2, seed=data.draw(st.integers(0, 99)))


def test_triangles_in_file_are_packed_in_pairs():
    # Four in a row take 4 x 80 mm. If they may turn, pairs make rectangles: at least 160 mm.
    stage = Stage(Problem(40 * MM, (Shape(HALF, (0, 180)),), (Piece(0),) * 4))
    assert stage.used_length(worked_on(OutlineWindows, stage, in_file(stage, 0), 12)) == 160 * MM


def test_rectangles_in_file_are_packed_in_rows():
    # Twelve in a row, 5 mm apart, take 415 mm; in three rows 4 x 30 mm.
    twelve = Problem(60 * MM, (Shape(box(30 * MM, 20 * MM), (0,)),), (Piece(0),) * 12)
    stage = Stage(twelve)
    after = worked_on(RectangleWindows, stage, in_file(stage, 5 * MM), 12)
    assert stage.used_length(after) == 120 * MM


def test_a_bundle_stays_one():
    stage = Stage(Problem(40 * MM, (Shape(HALF, (0, 180)),), (Piece(0, 1),) * 4))
    after = worked_on(OutlineWindows, stage, in_file(stage, 10 * MM), 8)
    assert len({place.turn for place in stage.layout(after).placements}) == 1
    assert stage.used_length(after) == 320 * MM


def test_the_same_seed_draws_the_same_windows():
    stage = Stage(Problem(40 * MM, (Shape(HALF, (0, 180)),), (Piece(0),) * 4))
    one, two = (worked_on(OutlineWindows, stage, in_file(stage, 0), 4, seed=5) for _ in "ab")
    assert (one.pose.tolist(), one.x.tolist(), one.y.tolist()) == (
        two.pose.tolist(),
        two.x.tolist(),
        two.y.tolist(),
    )
