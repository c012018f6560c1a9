"""How a problem is searched: rectangles can be searched faster than outlines.

A strategy is chosen once for a search and holds all that differs between the
two: the first layout, the engines, and the compiled loops they need.
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

#: Up to this many pieces (rectangles, others) it is worth trying to prove the whole order.
PROVABLE_RECTANGLES, PROVABLE = 20, 5

#: First turn of a whole order of rectangles: the fast skyline may meet the bound earlier.
FIRST_OF_RECTANGLES = 4

_NOTCHED = Outline(((0, 0), (300, 0), (150, 140), (300, 300), (0, 300)))
_OBLONG = Outline(((0, 0), (300, 0), (300, 370), (0, 370)))


class Strategy(Protocol):
    """Everything that differs between the kinds of problem."""

    def first_layout(self, stage: Stage) -> Arrangement:
        """A valid arrangement, found quickly."""

    def engines(self, stage: Stage, seed: int, over: Callable[[], bool]) -> list[Engine]:
        """The engines that apply to a stage, the main one first."""

    def call_loops(self) -> None:
        """Call every compiled loop that a search calls, with the same types."""


class Outlines:
    """Bottom-left in order of decreasing area, then guided search; any outlines and bodies."""

    def first_layout(self, stage: Stage) -> Arrangement:
        """Bottom-left, in order of decreasing area."""
        pieces = range(len(stage.choices))
        by_area = sorted(pieces, key=lambda i: -int(stage.area2[stage.choices[i][0]]))
        return BottomLeft(stage).fill(by_area)

    def engines(self, stage: Stage, seed: int, over: Callable[[], bool]) -> list[Engine]:
        """Guided search, whole orders if there are few pieces, windows."""
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
    """Skyline; for upright rectangles that may point either way, without bodies."""

    def first_layout(self, stage: Stage) -> Arrangement:
        """The skyline's first fill."""
        return Skyline(stage).first()

    def engines(self, stage: Stage, seed: int, over: Callable[[], bool]) -> list[Engine]:
        """Skyline search, whole orders if there are not too many pieces, windows."""
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
    """Rectangles if all poses are upright and, with bundles, may point either way; else outlines.

    Skylines and positions that are sums of sizes rely on pushing every piece
    to the start; where bodies lie, other places can be better.
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
    """A stage with three pieces of one shape, of which two fit side by side."""
    return Stage(Problem(1000, (Shape(outline, (0, 180)),), (Piece(0),) * 3))
