"""The engines in turns: each tries to shorten the lay, the successful ones more often."""

from collections.abc import Sequence

import numpy as np

from nesting.packing.engine import Engine
from nesting.packing.stage import Arrangement, Stage

#: How quickly old success is forgotten, each turn of an engine.
MEMORY = 0.9


class Engines:
    """Chooses whose turn it is; its choices depend on the seed and on success alone.

    The first engine is the main one: it gets every turn that no other one
    takes. The others are asked in their order.
    """

    def __init__(self, stage: Stage, engines: Sequence[Engine], seed: int) -> None:
        self.stage = stage
        self.engines = tuple(engines)
        self.random = np.random.default_rng(seed)
        self.success = np.ones(len(engines))
        self.turns = 0

    def turn(self, best: Arrangement, bound: int, seconds: float) -> tuple[Arrangement, int]:
        """Let one engine try; the best arrangement after it, and what it proved."""
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
