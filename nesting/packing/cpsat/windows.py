"""CP-SAT on windows: a few pieces of a layout are packed again, exactly.

Large neighbourhood search (Shaw 1998, cited from memory): the pieces
nearest to a point are free, those around them may slide, all others stand
still. Points are drawn at the end of the lay and anywhere. Rectangles have
a quicker model, in which more pieces are free and none slides.
"""

from collections.abc import Callable

import numpy as np

from nesting.packing.compaction import compact
from nesting.packing.cpsat.outlines import HALF_PLANES, Window, WindowModel
from nesting.packing.cpsat.rectangles import RectangleWindow
from nesting.packing.stage import Arrangement, Stage

#: Free and sliding pieces of a window.
FREE, SLIDING = 4, 8

#: Free rectangles of a window: the nearest to the point, and some of all others.
NEAREST, ANY = 6, 2

#: The solver's deterministic time for one window, some times as many seconds.
WORK, WORK_OF_RECTANGLES = 0.2, 0.05


class Windows:
    """Windows drawn from one stream of random numbers."""

    def __init__(self, stage: Stage, seed: int, over: Callable[[], bool]) -> None:
        self.stage, self.over = stage, over
        self.random = np.random.default_rng(seed)

    def attempt(
        self, best: Arrangement, _bound: int, seconds: float
    ) -> tuple[Arrangement | None, int]:
        """Solve one window and push the lay together again; nothing is proved."""
        nearest = self._nearest_to_a_point(best)
        if self.stage.is_rectangular:
            rectangles = self._of_rectangles(best, nearest)
            return rectangles.solve(WORK_OF_RECTANGLES, seconds, self.over).arrangement, 0
        model = WindowModel(self.stage, best, self._window(best, nearest), HALF_PLANES)
        answer = model.solve(WORK, seconds, self.over)
        if answer.arrangement is None:
            return None, 0
        closer = compact(self.stage, answer.arrangement, self.stage.width // 60, self.over)
        candidates = [a for a in (answer.arrangement, closer) if a is not None]
        return min(candidates, key=self.stage.used_length), 0

    def _nearest_to_a_point(self, best: Arrangement) -> list[int]:
        """All pieces by their distance from a random point on the lay."""
        stage, length = self.stage, self.stage.used_length(best)
        middle_x = best.x + stage.length[best.pose] / 2
        middle_y = best.y + stage.height[best.pose] / 2
        x = length if self.random.random() < 0.4 else self.random.uniform(0, length)
        y = self.random.uniform(0, stage.width)
        distance = np.hypot(middle_x - x, middle_y - y)
        return [int(i) for i in np.argsort(distance, kind="stable")]

    def _window(self, best: Arrangement, nearest: list[int]) -> Window:
        """The nearest pieces free, as far back as the longest of them reaches."""
        free, sliding = nearest[:FREE], nearest[FREE : FREE + SLIDING]
        reach = int(max(self.stage.length[best.pose[free]]))
        start = max(0, int(min(best.x[free])) - reach)
        end = self.stage.used_length(best)
        return Window(tuple(free), tuple(sliding), start, end, self.stage.width // 20)

    def _of_rectangles(self, best: Arrangement, nearest: list[int]) -> RectangleWindow:
        others = self.random.permutation(nearest[NEAREST:])[:ANY]
        return RectangleWindow(self.stage, best, (*nearest[:NEAREST], *map(int, others)))
