"""Which engine has the next turn."""

import math

import numpy as np
import pytest
from strategies import box

from nesting.geometry.outline import Outline
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.cpsat.whole_orders import WholeOrders
from nesting.packing.cpsat.windows import CLOSE, OutlineWindows, RectangleWindows
from nesting.packing.engine import Attempt
from nesting.packing.engines import Engines
from nesting.packing.guided.restarts import Restarts
from nesting.packing.running import uninterrupted
from nesting.packing.skyline.search import SkylineSearch
from nesting.packing.solver import first_layout
from nesting.packing.stage import Arrangement, Stage
from nesting.packing.strategy import strategy_for
from nesting.units import MM

HALF = Outline(((0, 0), (80 * MM, 0), (0, 40 * MM)))
OBLONG = box(80 * MM, 40 * MM)


class Counted:
    """An engine that wants as many turns as another, finds nothing and counts them."""

    def __init__(self, as_wanted_by):
        self.share, self.turns = as_wanted_by.share, 0

    def attempt(self, _best, _bound, _seconds):
        """Find nothing and prove nothing."""
        self.turns += 1
        return Attempt(None)


def turns(outline, bound_over_used):
    """How many of 200 turns the quick search and the windows get on 30 pieces of an outline."""
    stage = Stage(Problem(100 * MM, (Shape(outline, (0, 180)),), (Piece(0),) * 30))
    best = first_layout(stage)
    counted = [Counted(engine) for engine in strategy_for(stage).engines(stage, 0, uninterrupted)]
    engines = Engines(stage, counted, 0)
    for _ in range(200):
        after, proved = engines.turn(best, int(stage.used_length(best) * bound_over_used), math.inf)
        assert (after, proved) == (best, 0)
    return [each.turns for each in counted]


def test_outlines_far_from_the_bound_are_left_to_the_guided_search():
    assert turns(HALF, 1 - 2 * CLOSE) == [200, 0]


@pytest.mark.parametrize(
    ("outline", "bound_over_used"), [(HALF, 1 - CLOSE / 2), (OBLONG, 1 - CLOSE / 2), (OBLONG, 0.5)]
)
def test_windows_have_a_share_close_to_the_bound_and_on_rectangles_everywhere(
    outline, bound_over_used
):
    quick, windows = turns(outline, bound_over_used)
    assert quick + windows == 200
    assert 0 < windows < 100


class Lucky(Counted):
    """An engine that shortens every lay by one unit; its lays are not checked here."""

    def attempt(self, best, _bound, _seconds):
        """Move the farthest piece back by one unit."""
        self.turns += 1
        x = best.x.copy()
        x[np.argmax(x)] -= 1
        return Attempt(Arrangement(best.pose, x, best.y))


def test_windows_get_more_turns_when_they_find_something_than_when_the_other_engine_does():
    stage = Stage(Problem(100 * MM, (Shape(OBLONG, (0,)),), (Piece(0),) * 30))
    shares = []
    main, windows = strategy_for(stage).engines(stage, 0, uninterrupted)
    for both in ((Lucky(main), Counted(windows)), (Counted(main), Lucky(windows))):
        engines, after = Engines(stage, both, 0), first_layout(stage)
        for _ in range(600):
            after, _ = engines.turn(after, 1, math.inf)
        shares.append(both[1].turns)
    assert shares[1] > 2 * shares[0]


@pytest.mark.parametrize(
    ("outline", "pieces", "expected"),
    [
        (OBLONG, 20, [SkylineSearch, WholeOrders, RectangleWindows]),
        (OBLONG, 21, [SkylineSearch, RectangleWindows]),
        (HALF, 5, [Restarts, WholeOrders, OutlineWindows]),
        (HALF, 6, [Restarts, OutlineWindows]),
    ],
)
def test_rectangles_and_outlines_have_engines_of_their_own_and_few_pieces_are_tried_whole(
    outline, pieces, expected
):
    stage = Stage(Problem(100 * MM, (Shape(outline, (0, 180)),), (Piece(0),) * pieces))
    engines = strategy_for(stage).engines(stage, 0, uninterrupted)
    assert [type(engine) for engine in engines] == expected


@pytest.mark.parametrize(
    ("outline", "turns"), [(HALF, [1, 2, 4, 8, 16, 32]), (OBLONG, [4, 8, 16, 32])]
)
def test_a_whole_order_has_each_turn_at_a_power_of_two_rectangles_from_the_fourth_on(
    outline, turns
):
    stage = Stage(Problem(100 * MM, (Shape(outline, (0, 180)),), (Piece(0),) * 5))
    main, whole, windows = map(Counted, strategy_for(stage).engines(stage, 0, uninterrupted))
    engines, best, taken = Engines(stage, [main, whole, windows], 0), first_layout(stage), []
    for turn in range(1, 41):
        before = whole.turns
        engines.turn(best, 1, math.inf)
        taken += [turn] * (whole.turns - before)
    assert taken == turns
