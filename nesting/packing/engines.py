"""Engines take turns to shorten the lay; the successful ones get more turns."""

from collections.abc import Sequence

import numpy as np

from nesting.packing.engine import Engine
from nesting.packing.stage import Arrangement, Stage

#: What remains of an engine's earlier success after each of its turns, as a share.
MEMORY = 0.9


class Engines:
    """Decides which engine has the next turn, from the seed and their success alone.

    The first engine is the main one: it gets every turn that no other engine
    takes. The others are asked in order.
    """

    def __init__(self, stage: Stage, engines: Sequence[Engine], seed: int) -> None:
        self.stage = stage
        self.engines = tuple(engines)
        self.random = np.random.default_rng(seed)
        self.success = np.ones(len(engines))
        self.turns = 0

    def turn(self, best: Arrangement, bound: int, seconds: float) -> tuple[Arrangement, int]:
        """Let one engine try; return the best arrangement after that, and the bound it proved."""
        self.turns += 1
        used = self.stage.used_length(best)
        chosen = self._choose(used, bound)
        found, proved = self.engines[chosen].attempt(best, bound, seconds)
        after = best if found is None or self.stage.used_length(found) > used else found
        gained = self.stage.used_length(after) < used
        self.success[chosen] = MEMORY * self.success[chosen] + (1 - MEMORY) * gained
        return after, proved

    def _choose(self, used: int, bound: int) -> int:
        for k, engine in enumerate(self.engines[1:], start=1):
            least, most = engine.share(self.turns, used, bound)
            share = np.clip(self.success[k] / (self.success[0] + self.success[k]), least, most)
            if share == 1 or (share > 0 and self.random.random() < share):
                return k
        return 0
