"""What an overlap costs in the guided search: a power of its depth, chosen by success.

With power one, many slight overlaps cost as much as a deep one, and small
pieces go where they are least in the way. With less than one, few pairs
overlap, however deep. Which of the two separates pieces sooner depends on
their shapes, so attempts are shared out by what each gained for its passes.
"""

import numpy as np

from nesting.packing import kernels
from nesting.packing.shares import Shares
from nesting.packing.tables import Tables

#: Powers of the depth.
POWERS = (1.0, 0.7)


class Prices:
    """Tables for each power of the depth, and whose turn it is.

    ``gain`` is what an attempt is thought to bring, and ``passes`` what it takes.
    """

    def __init__(
        self, tables: Tables, gain: float, passes: float, random: np.random.Generator
    ) -> None:
        self.depths = [tables.priced(power) for power in POWERS]
        self.shares = Shares([gain] * len(POWERS), passes, random)

    def choose(self) -> kernels.Depths:
        """Tables for the next attempt."""
        return self.depths[self.shares.choose()]
