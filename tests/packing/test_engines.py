"""Whose turn it is: windows on outlines wait until the guided search gains nothing more."""

import pytest

from nesting.geometry.outline import Outline
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.engines import STALLED, Engines
from nesting.packing.running import never
from nesting.packing.solver import first_layout
from nesting.packing.stage import Stage

WEDGE = Outline(((0, 0), (3000, 0), (1500, 1400), (3000, 3000), (0, 3000)))


class Told:
    """An engine that notes the turns it gets and finds nothing."""

    def __init__(self, engines):
        self.engines, self.turns = engines, []

    def attempt(self, _best, _bound, _seconds):
        self.turns.append(self.engines.turns)
        return None, 0


@pytest.mark.parametrize("seed", [0, 1, 2])
def test_windows_on_outlines_wait_until_the_guided_search_is_stalled(seed):
    problem = Problem(4000, (Shape(WEDGE, (0, 180)),), tuple(Piece(0) for _ in range(8)))
    stage = Stage(problem)
    best = first_layout(stage)
    engines = Engines(stage, seed, never)
    search, windows = Told(engines), Told(engines)
    engines.engines = (search, windows)
    for _ in range(1000):
        engines.turn(best, 0, 1.0)
    assert search.turns[:STALLED] == list(range(1, STALLED + 1))
    assert windows.turns
    assert windows.turns[0] > STALLED
