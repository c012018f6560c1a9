"""CP-SAT on windows: a few pieces of a layout are packed again, exactly.

Large neighbourhood search (Shaw 1998, cited from memory): the pieces
nearest to a point are free, those around them may slide, all others stand
still. Points are drawn where a gain is likeliest: at the end of the lay,
around the widest gaps, and anywhere.
"""

from collections.abc import Callable

import numpy as np

from nesting.packing.compaction import compact
from nesting.packing.model import HALF_PLANES, Window, WindowModel
from nesting.packing.stage import Arrangement, Stage

#: Free and sliding pieces of a window.
FREE, SLIDING = 4, 8

#: The solver's deterministic time for one window, about twice as many seconds.
WORK = 0.2


class Windows:
    """Windows drawn from one stream of random numbers."""

    def __init__(self, stage: Stage, seed: int, over: Callable[[], bool]) -> None:
        self.stage, self.over = stage, over
        self.random = np.random.default_rng(seed)

    def attempt(
        self, best: Arrangement, _bound: int, seconds: float
    ) -> tuple[Arrangement | None, int]:
        """Solve one window and push the lay together again; nothing is proved."""
        window = self._window(best)
        model = WindowModel(self.stage, best, window, HALF_PLANES)
        answer = model.solve(WORK, seconds, self.over)
        if answer.arrangement is None:
            return None, 0
        closer = compact(self.stage, answer.arrangement, self.stage.width // 60)
        candidates = [a for a in (answer.arrangement, closer) if a is not None]
        return min(candidates, key=self.stage.used_length), 0

    def _window(self, best: Arrangement) -> Window:
        """The pieces nearest to a point on the lay."""
        stage, length = self.stage, self.stage.used_length(best)
        middle_x = best.x + stage.length[best.pose] / 2
        middle_y = best.y + stage.height[best.pose] / 2
        x = length if self.random.random() < 0.4 else self.random.uniform(0, length)
        y = self.random.uniform(0, stage.width)
        nearest = np.argsort(np.hypot(middle_x - x, middle_y - y), kind="stable")
        free = [int(i) for i in nearest[:FREE]]
        sliding = [int(i) for i in nearest[FREE : FREE + SLIDING]]
        reach = int(max(stage.length[best.pose[free]]))
        start = int(min(best.x[free])) - reach
        return Window(tuple(free), tuple(sliding), max(0, start), length, stage.width // 20)
