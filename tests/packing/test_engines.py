"""Whose turn it is."""

import math

import numpy as np
import pytest
from strategies import box

from nesting.geometry.outline import Outline
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.engines import CLOSE, Engines
from nesting.packing.running import uninterrupted
from nesting.packing.solver import first_layout
from nesting.packing.stage import Arrangement, Stage
from nesting.units import MM

HALF = Outline(((0, 0), (80 * MM, 0), (0, 40 * MM)))
OBLONG = box(80 * MM, 40 * MM)


class Counted:
    """An engine that finds nothing and counts its turns."""

    turns = 0

    def attempt(self, _best, _bound, _seconds):
        """Find nothing and prove nothing."""
        self.turns += 1
        return None, 0


def turns(outline, bound_over_used):
    """How many of 200 turns the quick search and the windows get on 30 pieces of an outline."""
    stage = Stage(Problem(100 * MM, (Shape(outline, (0, 180)),), (Piece(0),) * 30))
    best = first_layout(stage)
    engines = Engines(stage, 0, uninterrupted)
    engines.engines = counted = Counted(), Counted()
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
    """An engine that shortens every lay by one unit; what it hands over is not judged here."""

    def attempt(self, best, _bound, _seconds):
        """Move the farthest piece back by one unit."""
        self.turns += 1
        x = best.x.copy()
        x[np.argmax(x)] -= 1
        return Arrangement(best.pose, x, best.y), 0


def test_windows_get_more_turns_when_they_find_something_than_when_the_other_engine_does():
    stage = Stage(Problem(100 * MM, (Shape(OBLONG, (0,)),), (Piece(0),) * 30))
    shares = []
    for both in ((Lucky(), Counted()), (Counted(), Lucky())):
        engines, after = Engines(stage, 0, uninterrupted), first_layout(stage)
        engines.engines = both
        for _ in range(600):
            after, _ = engines.turn(after, 1, math.inf)
        shares.append(both[1].turns)
    assert shares[1] > 2 * shares[0]
