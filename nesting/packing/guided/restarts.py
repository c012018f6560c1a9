"""Restarts of the guided search when it stalls.

The search soon reaches a local optimum of a small lay: more attempts from there
gain little, while another start may lead further (multistart; Martí 2003, from
memory). So when many attempts in a row have failed, a part of the lay is
shuffled and separated again on a longer strip. The search continues from that
lay until it stalls too, then from the best one again, and so on. The best lay
is never lost.
"""

from collections.abc import Callable

import numpy as np

from nesting.packing.engine import THIS_TURN, Attempt, Share
from nesting.packing.guided.search import GuidedSearch
from nesting.packing.stage import Arrangement, Stage

#: Failed attempts in a row before a restart, per piece: small lays stall sooner.
STALLED = 3

#: Least and greatest share of the strip in which pieces are shuffled.
SHUFFLED = 0.3, 1.0

#: How much longer the strip is made to separate them, as a share, and the factor by which
#: that grows as long as it is not enough.
LONGER, MORE = 0.03, 1.5


class Restarts:
    """Guided search, alternately from the best lay and from lays of its own."""

    def __init__(self, stage: Stage, seed: int, over: Callable[[], bool]) -> None:
        self.stage, self.over = stage, over
        self.search = GuidedSearch(stage, seed, over)
        self.random = np.random.default_rng((seed, 1))
        self.patience = STALLED * len(stage.choices)
        self.own: Arrangement | None = None
        self.failures = 0

    def share(self, _turn: int, _used_length: int, _bound: int) -> Share:
        """Every turn that no other engine takes: this is a main engine."""
        return THIS_TURN

    def attempt(self, best: Arrangement, bound: int, seconds: float) -> Attempt:
        """Try to shorten ``best``, or the lay of the last restart; nothing is proved."""
        start = best if self.own is None else self.own
        found, _ = self.search.attempt(start, bound, seconds)
        self.failures = self.failures + 1 if found is None else 0
        if found is not None and self.own is not None:
            self.own = found
        if self.failures == self.patience:
            self.failures = 0
            self.search.begin()
            self.own = self._restarted(best) if self.own is None else None
        return Attempt(found)

    def _restarted(self, best: Arrangement) -> Arrangement | None:
        """The best lay with a part shuffled and separated; None when the search is over."""
        crowded, longer = self._shuffled(best), LONGER
        while not self.over():
            length = int((1 + longer) * self.stage.used_length(best))
            own = self.search.separated(crowded, length)
            if own is not None:
                return own
            longer *= MORE
        return None

    def _shuffled(self, best: Arrangement) -> Arrangement:
        """The best lay after pieces in a random part of the strip have exchanged their middles."""
        length, height = self.stage.length[best.pose], self.stage.height[best.pose]
        middle_x, middle_y = best.x + length // 2, best.y + height // 2
        share, whole = self.random.uniform(*SHUFFLED), self.stage.used_length(best)
        begin = self.random.uniform(0, (1 - share) * whole)
        part = np.flatnonzero((begin <= middle_x) & (middle_x <= begin + share * whole))
        x, y, to = best.x.copy(), best.y.copy(), self.random.permutation(part)
        x[part] = middle_x[to] - length[part] // 2
        y[part] = middle_y[to] - height[part] // 2
        return Arrangement(best.pose, x, y)
