"""How a problem is searched: rectangles have quicker ways than outlines.

A strategy is chosen once for a search and says everything in which the two
differ: the first layout, the engines, and the compiled loops that must be
ready for them.
"""

from collections.abc import Callable
from typing import Final, Protocol

import numpy as np

from nesting.geometry.outline import Outline
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.construction import BottomLeft
from nesting.packing.cpsat.whole_orders import WholeOrders, solve_outlines, solve_rectangles
from nesting.packing.cpsat.windows import OutlineWindows, RectangleWindows
from nesting.packing.engine import Engine
from nesting.packing.engines import Engines
from nesting.packing.guided.restarts import Restarts
from nesting.packing.guided.search import GuidedSearch
from nesting.packing.skyline.search import Skyline, SkylineSearch
from nesting.packing.stage import Arrangement, Stage

#: Up to so many pieces the whole order is worth a try at proof: rectangles, others.
PROVABLE_RECTANGLES, PROVABLE = 20, 5

#: First turn of a whole order of rectangles: the quick skyline may meet the bound before it.
FIRST_OF_RECTANGLES = 4

_NOTCHED = Outline(((0, 0), (300, 0), (150, 140), (300, 300), (0, 300)))
_OBLONG = Outline(((0, 0), (300, 0), (300, 370), (0, 370)))


class Strategy(Protocol):
    """What differs from one kind of problem to another."""

    def first_layout(self, stage: Stage) -> Arrangement:
        """A valid arrangement, at once."""

    def engines(self, stage: Stage, seed: int, over: Callable[[], bool]) -> list[Engine]:
        """The engines that apply to a stage, the main one first."""

    def call_loops(self) -> None:
        """Let every compiled loop that a search calls meet the types that a search gives it."""


class Outlines:
    """Bottom-left by falling area, then guided search; for any outlines and bodies."""

    def first_layout(self, stage: Stage) -> Arrangement:
        """Bottom-left by falling area."""
        pieces = range(len(stage.choices))
        by_area = sorted(pieces, key=lambda i: -int(stage.area2[stage.choices[i][0]]))
        return BottomLeft(stage).fill(by_area)

    def engines(self, stage: Stage, seed: int, over: Callable[[], bool]) -> list[Engine]:
        """Guided search, whole orders of a few pieces, windows."""
        engines: list[Engine] = [Restarts(stage, seed, over)]
        if len(stage.choices) <= PROVABLE:
            engines.append(WholeOrders(stage, seed, over, solve_outlines))
        return [*engines, OutlineWindows(stage, seed, over)]

    def call_loops(self) -> None:
        """Lay and separate a few pieces."""
        stage = _few(_NOTCHED)
        lay = BottomLeft(stage).fill(range(len(stage.choices)))
        heap = Arrangement(lay.pose, np.zeros_like(lay.x), np.zeros_like(lay.y))
        search = GuidedSearch(stage, 0, over=lambda: False)
        search.separated(heap, stage.used_length(lay))


class Rectangles:
    """Upright rectangles alone on the strip, which may point either way: skyline."""

    def first_layout(self, stage: Stage) -> Arrangement:
        """By skyline."""
        return Skyline(stage).first()

    def engines(self, stage: Stage, seed: int, over: Callable[[], bool]) -> list[Engine]:
        """Skyline search, whole orders of some pieces, windows."""
        engines: list[Engine] = [SkylineSearch(stage, seed)]
        if len(stage.choices) <= PROVABLE_RECTANGLES:
            first = FIRST_OF_RECTANGLES
            engines.append(WholeOrders(stage, seed, over, solve_rectangles, first))
        return [*engines, RectangleWindows(stage, seed, over)]

    def call_loops(self) -> None:
        """Lay a few rectangles and exchange them."""
        stage = _few(_OBLONG)
        search = SkylineSearch(stage, 0)
        lay = search.skyline.first()
        row = Arrangement(lay.pose, np.arange(len(lay.x)) * _OBLONG.length, np.zeros_like(lay.y))
        search.attempt(row, stage.used_length(lay), 0.0)
        stage.is_valid(lay)


OUTLINES: Final = Outlines()
RECTANGLES: Final = Rectangles()


def strategy_for(stage: Stage) -> Strategy:
    """Rectangles, where every pose is upright and points either way as its bundle asks.

    Skylines and sums of sizes rest on pushing everything to the start; with
    bodies other places can be better.
    """
    rectangular = not stage.bodies and all(
        pose.outline.area2 == 2 * pose.outline.length * pose.outline.height
        and (not stage.bundles or len(pose.ways()) == 2)
        for pose in stage.poses
    )
    return RECTANGLES if rectangular else OUTLINES


def engines_for(stage: Stage, seed: int, over: Callable[[], bool]) -> Engines:
    """The engines of a stage's strategy, ready to take turns."""
    return Engines(stage, strategy_for(stage).engines(stage, seed, over), seed)


def _few(outline: Outline) -> Stage:
    """A stage with three pieces of one shape: two lie beside each other."""
    return Stage(Problem(1000, (Shape(outline, (0, 180)),), (Piece(0),) * 3))
