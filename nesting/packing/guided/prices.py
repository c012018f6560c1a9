"""What an overlap costs in the guided search: a power of its depth, chosen by success.

With power 1, many slight overlaps cost as much as a deep one, and small
pieces go where they are least in the way. With a lower power, few pairs
overlap, but these may overlap deeply. Which of the two separates pieces sooner
depends on their shapes, so attempts are shared out by the gain per pass.
"""

import numpy as np

from nesting.packing.guided import kernels
from nesting.packing.guided.tables import Tables

#: The powers of the depth.
POWERS = (1.0, 0.7)

#: Least share of attempts that each power gets.
LEAST_SHARE = 0.15

#: What remains of the record of earlier attempts after each new one, as a share.
MEMORY = 0.95

#: What each power is credited with at first: gain as a share of the strip's width, and passes.
_GAIN, _PASSES = 0.01, 100.0


class Prices:
    """Tables for each power of the depth; a power is drawn with a chance that follows success."""

    def __init__(self, tables: Tables, random: np.random.Generator) -> None:
        self.depths = [tables.priced(power) for power in POWERS]
        self.random = random
        self.gained = np.full(len(POWERS), _GAIN * tables.stage.width)
        self.passes = np.full(len(POWERS), _PASSES)
        self.chosen = 0

    def choose(self) -> kernels.Depths:
        """Draw the tables for the next attempt."""
        rate = self.gained / self.passes
        share = LEAST_SHARE + (1 - LEAST_SHARE * len(rate)) * rate / rate.sum()
        self.chosen = int(self.random.choice(len(rate), p=share))
        return self.depths[self.chosen]

    def note(self, gain: int, passes: int) -> None:
        """Record the attempt's gain, in grid units, and passes; forget a little of earlier ones."""
        self.gained *= MEMORY
        self.passes *= MEMORY
        self.gained[self.chosen] += gain
        self.passes[self.chosen] += passes
