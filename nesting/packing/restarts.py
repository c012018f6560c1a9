"""The guided search started afresh where it is stalled.

Small lays are soon as short as what lies around them allows: more attempts
from there gain little, while another start may lead further (multistart;
Martí 2003, from memory). So when many attempts in a row have failed, the
pieces are laid anew in another order, and that lay is searched until it is
stalled too; then the best one again, and so on. The best lay is never lost.
"""

from collections.abc import Callable

import numpy as np

from nesting.packing.construction import BottomLeft
from nesting.packing.search import GuidedSearch
from nesting.packing.stage import Arrangement, Stage

#: Attempts in a row that failed before another start.
STALLED = 100

#: How far the order of a new start strays from that by falling area, in powers of e.
SPREAD = 0.5


class Restarts:
    """Guided search, from the best lay and from lays of its own in turns."""

    def __init__(self, stage: Stage, seed: int, over: Callable[[], bool]) -> None:
        self.stage = stage
        self.search = GuidedSearch(stage, seed, over)
        self.rule = BottomLeft(stage)
        self.random = np.random.default_rng((seed, 1))
        self.own: Arrangement | None = None
        self.failures = 0

    def attempt(
        self, best: Arrangement, bound: int, seconds: float
    ) -> tuple[Arrangement | None, int]:
        """Try to shorten ``best``, or the lay that was started afresh; nothing is proved."""
        start = best if self.own is None else self.own
        found, proved = self.search.attempt(start, bound, seconds)
        self.failures = self.failures + 1 if found is None else 0
        if found is not None and self.own is not None:
            self.own = found
        if self.failures == STALLED:
            self.failures = 0
            self.own = self._laid_anew() if self.own is None else None
            self.search.begin()
        return found, proved

    def _laid_anew(self) -> Arrangement:
        """Bottom-left, large pieces first on the whole."""
        size = np.log(self.search.area) + self.random.normal(0, SPREAD, len(self.search.area))
        return self.rule.fill([int(i) for i in np.argsort(-size)])
