"""The engines in turns: each tries to shorten the lay, the successful ones more often."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np

from nesting.packing.guided.restarts import Restarts
from nesting.packing.skyline.search import SkylineSearch
from nesting.packing.stage import Arrangement, Stage

#: Up to so many pieces the whole order is worth a try at proof: rectangles, others.
PROVABLE_RECTANGLES, PROVABLE = 20, 5

#: First turn of the whole order: the quick skyline may meet the bound before it.
FIRST_OF_RECTANGLES, FIRST = 4, 1

#: Least and most share of turns that windows get.
WINDOWS = 0.03, 0.3

#: Outlines get windows within this share of the bound, where the last grid units count;
#: further away the guided search gains more in the same time.
CLOSE = 0.01

#: How quickly old success is forgotten, each turn of an engine.
MEMORY = 0.9


class Engine(Protocol):
    """Something that tries to shorten a lay."""

    def attempt(
        self, best: Arrangement, bound: int, seconds: float
    ) -> tuple[Arrangement | None, int]:
        """An arrangement that may be shorter (None: none found) and a proven bound (0: none)."""


@dataclass
class _Later:
    """An engine that is made at its first turn, which may never come."""

    make: Callable[[], Engine]

    @cached_property
    def engine(self) -> Engine:
        """The engine itself."""
        return self.make()

    def attempt(
        self, best: Arrangement, bound: int, seconds: float
    ) -> tuple[Arrangement | None, int]:
        """As the engine does."""
        return self.engine.attempt(best, bound, seconds)


class Engines:
    """Chooses whose turn it is; its choices depend on the seed and on success alone."""

    def __init__(self, stage: Stage, seed: int, over: Callable[[], bool]) -> None:
        self.stage = stage
        self.random = np.random.default_rng(seed)
        pieces = len(stage.choices)
        rectangular = stage.is_rectangular
        provable = PROVABLE_RECTANGLES if rectangular else PROVABLE
        self.exact = _exact_search(stage, seed, over) if pieces <= provable else None
        self.engines: tuple[Engine, ...] = (
            SkylineSearch(stage, seed) if rectangular else Restarts(stage, seed, over),
            _Later(lambda: _windows(stage, seed, over)),
        )
        self.first_exact = FIRST_OF_RECTANGLES if rectangular else FIRST
        self.success = np.ones(len(self.engines))
        self.turns = 0

    def turn(self, best: Arrangement, bound: int, seconds: float) -> tuple[Arrangement, int]:
        """Let one engine try; the best arrangement after it, and what it proved."""
        self.turns += 1
        if self.exact is not None and self._is_exact_turn():
            found, proved = self.exact.attempt(best, bound, seconds)
            return self._better(best, found), proved
        windows = np.clip(self.success[1] / self.success.sum(), *WINDOWS)
        close = self.stage.is_rectangular or self.stage.used_length(best) <= (1 + CLOSE) * bound
        chosen = int(close and self.random.random() < windows)
        found, proved = self.engines[chosen].attempt(best, bound, seconds)
        after = self._better(best, found)
        gained = self.stage.used_length(after) < self.stage.used_length(best)
        self.success[chosen] = MEMORY * self.success[chosen] + (1 - MEMORY) * gained
        return after, proved

    def _is_exact_turn(self) -> bool:
        """The first and every turn at twice its number: each takes twice the work."""
        return self.turns >= self.first_exact and self.turns & (self.turns - 1) == 0

    def _better(self, best: Arrangement, found: Arrangement | None) -> Arrangement:
        if found is None or self.stage.used_length(found) > self.stage.used_length(best):
            return best
        return found


# CP-SAT takes long to load, and orders of many outlines seldom come so close to the bound
# that they need it.


def _exact_search(stage: Stage, seed: int, over: Callable[[], bool]) -> Engine:
    from nesting.packing.cpsat.whole_orders import ExactSearch  # noqa: PLC0415 - see above

    return ExactSearch(stage, seed, over)


def _windows(stage: Stage, seed: int, over: Callable[[], bool]) -> Engine:
    from nesting.packing.cpsat.windows import Windows  # noqa: PLC0415 - see above

    return Windows(stage, seed, over)
