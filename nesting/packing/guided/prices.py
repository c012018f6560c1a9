"""What an overlap costs in the guided search: a power of its depth, chosen by success.

With power one, many slight overlaps cost as much as a deep one, and small
pieces go where they are least in the way. With less than one, few pairs
overlap, however deep. Which of the two separates pieces sooner depends on
their shapes, so attempts are shared out by what each gained for its passes.
"""

import numpy as np

from nesting.packing.guided import kernels
from nesting.packing.guided.tables import Tables

#: Powers of the depth.
POWERS = (1.0, 0.7)

#: Least share of attempts that each of them gets.
LEAST_SHARE = 0.15

#: What is remembered of earlier attempts at each new one.
MEMORY = 0.95

#: What each is credited with at first: shares of the strip's width, and passes.
_GAIN, _PASSES = 0.01, 100.0


class Prices:
    """Tables for each power of the depth; whose turn it is follows from success alone."""

    def __init__(self, tables: Tables, random: np.random.Generator) -> None:
        self.depths = [tables.priced(power) for power in POWERS]
        self.random = random
        self.gained = np.full(len(POWERS), _GAIN * tables.stage.width)
        self.passes = np.full(len(POWERS), _PASSES)
        self.chosen = 0

    def choose(self) -> kernels.Depths:
        """Tables for the next attempt."""
        rate = self.gained / self.passes
        share = LEAST_SHARE + (1 - LEAST_SHARE * len(rate)) * rate / rate.sum()
        self.chosen = int(self.random.choice(len(rate), p=share))
        return self.depths[self.chosen]

    def note(self, gain: int, passes: int) -> None:
        """Remember what the attempt came to, in grid units, and forget a little of earlier ones."""
        self.gained *= MEMORY
        self.passes *= MEMORY
        self.gained[self.chosen] += gain
        self.passes[self.chosen] += passes
