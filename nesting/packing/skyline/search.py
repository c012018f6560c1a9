"""Rectangles by skyline: the deepest gap gets the piece that fits it best.

The construction rule is best fit (Burke, Kendall and Whitwell 2004) on a
skyline, with points for a piece that fills the gap or is level with a wall
(after Leung, Zhang and Sim 2011; Imahori and Yagiura 2010 and Wei, Oon, Zhu
and Lim 2011 use the same skyline). Ties go to the piece that comes first in an
order. A local search exchanges pieces of the order until no piece is left over
on a strip a little shorter than the best. All papers are cited from memory.
"""

import numpy as np
from numpy.typing import NDArray

from nesting.packing.engine import THIS_TURN, Attempt, Share
from nesting.packing.skyline import kernels
from nesting.packing.stage import Arrangement, Integers, Stage

#: Work of one attempt: about as many comparisons of a piece with a gap.
WORK = 6_000_000

#: After this many trials without gain, per piece, a new order is begun.
PATIENCE = 40

#: How much new orders differ: spread of the random factor on the measure of each piece.
SPREAD = 0.3

#: What counts as a good fit, in turn: filling the gap counts more than being level with a
#: wall, the same, or alone. Orders that give a bad lay by one rule may give a good one by
#: another.
RULES = (kernels.Rule(2, 1), kernels.Rule(1, 1), kernels.Rule(1, 0))

#: Greater than any area that can be lost or left over.
_ENDLESS = 2**60


class Skyline:
    """Fills strips with the pieces of a stage, which must all be rectangles.

    The gap is added to the length and height of each rectangle and of the strip.
    """

    def __init__(self, stage: Stage) -> None:
        self.stage = stage
        self.gap = stage.problem.gap
        n = len(stage.choices)
        both = np.array([(poses[0], poses[-1]) for poses in stage.choices], dtype=np.int64)
        size = np.stack([stage.length[both], stage.height[both]], axis=2) + self.gap
        ways = np.array([len(poses) for poses in stage.choices], dtype=np.int64)
        self.poses = both
        self.rectangles = kernels.Rectangles(size, ways)
        self.lay = kernels.Lay(*(np.zeros(n, dtype=np.int64) for _ in range(3)))
        self.scratch = kernels.Scratch(*(np.zeros(n + 2, dtype=np.int64) for _ in range(3)))

    def first(self) -> Arrangement:
        """The shortest of the fills by decreasing area, perimeter, longer and shorter side."""
        filled = [self.fill(np.argsort(-key, kind="stable")) for key in self.measures()]
        return min(filled, key=self.stage.used_length)

    def measures(self) -> list[NDArray[np.float64]]:
        """Measures of each piece, shape (pieces,) each; orders sort the pieces by one of them."""
        a, b = self.rectangles.size[:, 0].astype(np.float64).T
        return [a * b, a + b, np.maximum(a, b), np.minimum(a, b)]

    def fill(self, order: Integers) -> Arrangement:
        """Lay all pieces on an endless strip."""
        # One more than all pieces end to end, so that none is level with the end of the strip.
        endless = int(self.rectangles.size.max(axis=(1, 2)).sum()) + 1
        width = self.stage.width + self.gap
        room = width, endless, _ENDLESS
        kernels.fill(order, RULES[0], self.rectangles, *room, self.lay, self.scratch)
        return self.laid()

    def laid(self) -> Arrangement:
        """The result of the last fill, as an arrangement."""
        pose = self.poses[np.arange(len(self.poses)), self.lay.way]
        return Arrangement(pose, self.lay.x.copy(), self.lay.y.copy())


class SkylineSearch:
    """Local search over orders, in attempts of fixed work."""

    def __init__(self, stage: Stage, seed: int) -> None:
        self.stage, self.skyline = stage, Skyline(stage)
        self.random = np.random.default_rng(seed)
        self.state = np.array([self.random.integers(1, 2**62)], dtype=np.uint64)
        extents = *stage.length.tolist(), *stage.height.tolist(), stage.problem.gap
        self.unit = int(np.gcd.reduce(extents))
        self.measures = self.skyline.measures()
        self.starts = 0
        self.limit = 0
        self._begin()

    def share(self, _turn: int, _used_length: int, _bound: int) -> Share:
        """Every turn that no other engine takes: this is a main engine."""
        return THIS_TURN

    def attempt(self, best: Arrangement, bound: int, _seconds: float) -> Attempt:
        """Continue the search for lays shorter than ``best``; nothing is proved."""
        found, n = None, len(self.order)
        trials = max(1, WORK // n**2)
        self._aim(best, bound)
        while trials > 0 and self.limit < self.stage.used_length(found or best):
            if self.stale >= PATIENCE * n:
                self._begin()
            trials -= self._exchange(trials)
            if self.left_over == 0:
                found = self.skyline.laid()
                self._aim(found, bound)
        return Attempt(found)

    def _aim(self, best: Arrangement, bound: int) -> None:
        """Make the strip shorter than the best lay; a new length resets the area left over."""
        limit = max(bound, self.stage.used_length(best) - self.unit)
        if limit != self.limit:
            self.limit, self.left_over, self.stale = limit, _ENDLESS, 0

    def _begin(self) -> None:
        """Begin a new order by the next measure, later with random factors, and take a new rule."""
        spread = SPREAD if self.starts >= len(self.measures) else 0.0
        key = self.measures[self.starts % len(self.measures)]
        factor = np.exp(self.random.normal(0, spread, len(key)))
        self.order = np.argsort(-key * factor, kind="stable")
        self.rule = RULES[self.starts % len(RULES)]
        self.starts += 1
        self.left_over, self.stale = _ENDLESS, 0

    def _exchange(self, trials: int) -> int:
        """Exchange pieces of the order; return the number of trials made."""
        skyline, gap = self.skyline, self.skyline.gap
        self.left_over, self.stale, made = kernels.exchange(
            self.order,
            self.left_over,
            self.stale,
            trials,
            PATIENCE * len(self.order),
            self.rule,
            skyline.rectangles,
            self.stage.width + gap,
            self.limit + gap,
            skyline.lay,
            skyline.scratch,
            self.state,
        )
        return int(made)
