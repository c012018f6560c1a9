"""CP-SAT on windows: a few pieces of a layout are packed again, exactly.

Large neighbourhood search (Shaw 1998, cited from memory): the pieces nearest
to a random point are free, those around them may slide, all others stay where
they are. Some points are at the end of the lay, others anywhere in it.
Rectangles have a faster model, in which more pieces are free and none slides.
"""

from collections.abc import Callable

import numpy as np

from nesting.packing.compaction import compact
from nesting.packing.cpsat.freedom import Window
from nesting.packing.engine import NO_TURN, Attempt, Share
from nesting.packing.stage import Arrangement, Stage

# CP-SAT takes long to load, and orders of many outlines rarely come close enough to the
# bound to need it, so it is only imported when it is used.

#: Share of turns that windows get.
SHARE = Share(0.03, 0.3)

#: Outlines get windows when the lay is within this share of the bound, where the last grid
#: units count; further away the guided search gains more in the same time.
CLOSE = 0.01

#: Free and sliding pieces of a window.
FREE, SLIDING = 4, 8

#: Half-planes kept in one clause of a window: more make it slower, not denser.
HALF_PLANES = 12

#: Free rectangles of a window: the nearest to the point, and some others from anywhere.
NEAREST, ANY = 6, 2

#: The solver's deterministic time for one window, several times as many seconds.
WORK, WORK_OF_RECTANGLES = 0.2, 0.05


class OutlineWindows:
    """Windows of outlines, chosen with one stream of random numbers."""

    def __init__(self, stage: Stage, seed: int, over: Callable[[], bool]) -> None:
        self.stage, self.over = stage, over
        self.random = np.random.default_rng(seed)

    def share(self, _turn: int, used_length: int, bound: int) -> Share:
        """A share of the turns while the lay is close to the bound, else none."""
        return SHARE if used_length <= (1 + CLOSE) * bound else NO_TURN

    def attempt(self, best: Arrangement, _bound: int, seconds: float) -> Attempt:
        """Solve one window and push the lay together again; nothing is proved."""
        from nesting.packing.cpsat.outlines import OutlineModel  # noqa: PLC0415 - see above

        window = self._window(best, nearest_to_a_point(self.stage, best, self.random))
        freedoms = window.freedoms(self.stage, best)
        model = OutlineModel(self.stage, best, freedoms, HALF_PLANES)
        model.push_together()
        found = model.solve(WORK, seconds, self.over).arrangement
        if found is None:
            return Attempt(None)
        closer = compact(self.stage, found, self.stage.width // 60, self.over)
        candidates = [a for a in (found, closer) if a is not None]
        return Attempt(min(candidates, key=self.stage.used_length))

    def _window(self, best: Arrangement, nearest: list[int]) -> Window:
        """A window in which the nearest pieces are free to move back by the longest's length."""
        free, sliding = nearest[:FREE], nearest[FREE : FREE + SLIDING]
        reach = int(max(self.stage.length[best.pose[free]]))
        start = max(0, int(min(best.x[free])) - reach)
        end = self.stage.used_length(best)
        return Window(tuple(free), tuple(sliding), start, end, self.stage.width // 20)


class RectangleWindows:
    """Windows of rectangles, chosen with one stream of random numbers."""

    def __init__(self, stage: Stage, seed: int, over: Callable[[], bool]) -> None:
        self.stage, self.over = stage, over
        self.random = np.random.default_rng(seed)

    def share(self, _turn: int, _used_length: int, _bound: int) -> Share:
        """A share of all turns."""
        return SHARE

    def attempt(self, best: Arrangement, _bound: int, seconds: float) -> Attempt:
        """Solve one window; nothing is proved."""
        from nesting.packing.cpsat.rectangles import window  # noqa: PLC0415 - see above

        nearest = nearest_to_a_point(self.stage, best, self.random)
        others = self.random.permutation(nearest[NEAREST:])[:ANY]
        model = window(self.stage, best, (*nearest[:NEAREST], *map(int, others)))
        answer = model.solve(WORK_OF_RECTANGLES, seconds, self.over, thorough=False)
        return Attempt(answer.arrangement)


def nearest_to_a_point(stage: Stage, lay: Arrangement, random: np.random.Generator) -> list[int]:
    """All pieces in order of their distance from a random point on a lay."""
    length = stage.used_length(lay)
    middle_x = lay.x + stage.length[lay.pose] / 2
    middle_y = lay.y + stage.height[lay.pose] / 2
    x = length if random.random() < 0.4 else random.uniform(0, length)
    y = random.uniform(0, stage.width)
    distance = np.hypot(middle_x - x, middle_y - y)
    return [int(i) for i in np.argsort(distance, kind="stable")]
