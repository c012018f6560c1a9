"""Lengths proved by lines: directly for lines across the strip, by refutation along it."""

from collections.abc import Callable
from itertools import islice
from typing import Protocol

import numpy as np

from nesting.packing.bounds.lines import (
    Demand,
    Floats,
    Integers,
    Knowledge,
    Scale,
    Strip,
    trials,
)

#: Most trials of one program, and of all programs that refute widths together.
_TRIALS, _ALL_TRIALS = 120, 400

#: Most trials times parts of one program.
_WORK = 12_000

#: Programs with more parts than the first do not go on for gains below the second, a share.
_SMALL, _GAIN = 60, 0.002

#: The program counts as solved when its two bounds differ by less than this share.
_SOLVED = 1e-7


class Panels(Protocol):
    """Panels cut into parts, as slices or as stacks, for lines of about a given width.

    ``extent`` (figures,) is how long a line must be to cut the figure.
    """

    demand: Demand
    extent: Integers

    def first_worth(self) -> Floats:
        """The worths to begin with."""

    def unit(self) -> int:
        """The length of one level on lines of about the width."""

    def scale(self) -> Scale:
        """The best levels for lines of exactly the width."""

    def strip(self, scale: Scale) -> Strip:
        """The patterns on a line."""


def least_run(panels: Panels, known: int, stop: Callable[[], bool]) -> int:
    """Proven run of lines of exactly the width that the panels need, at least ``known``."""
    knowledge = Knowledge(panels.first_worth())
    strip = panels.strip(panels.scale())
    best, worth_while = known, known * (1 + _gain(panels))
    for trial in islice(trials(panels.demand, strip, knowledge), _most_trials(panels)):
        best = max(best, -(-trial.run // max(int(trial.most[-1]), 1)))
        if trial.ceiling <= max(worth_while, best * (1 + _SOLVED)) or stop():
            break
    return best


def least_width(panels: Panels, run: int, known: int, stop: Callable[[], bool]) -> int:
    """Proven least width of lines for which a ``run`` can be enough, at least ``known``.

    A width is refuted if lines of that width need a longer run. The aim grows
    in doubling steps as long as it is refuted; then the interval that is left
    is halved. Every trial also says something about all widths below the aim.
    """
    refuting = _Refuting(panels, run, known, stop)
    step, high = max(1, round(_gain(panels) * known / refuting.unit)), 0
    while refuting.goes_on() and (not high or high - refuting.level > 1):
        aim = (refuting.level + high) // 2 if high else refuting.level + step
        if refuting.reaches(aim):
            step *= 2
        elif refuting.level > refuting.start:
            high = aim
        else:
            break
    return max(known, (refuting.level + 1) * refuting.unit)


class _Refuting:
    """Widths up to ``level`` units are refuted; knowledge is passed on from aim to aim."""

    def __init__(self, panels: Panels, run: int, known: int, stop: Callable[[], bool]) -> None:
        self._panels, self._run, self._stop = panels, run, stop
        self.unit = panels.unit()
        self.start = self.level = known // self.unit - 1
        self._knowledge = Knowledge(panels.first_worth())
        self._trials_left = _ALL_TRIALS

    def goes_on(self) -> bool:
        """Tell whether any trials are left and nobody has stopped the work."""
        return self._trials_left > 0 and not self._stop()

    def reaches(self, aim: int) -> bool:
        """Try to refute widths up to an aim, and tell whether it worked."""
        width = (aim + 1) * self.unit - 1
        demand = self._panels.demand.laid_as(self._panels.extent <= width)
        if not demand.can_be_met():
            self.level = aim
        else:
            self._try(demand, aim)
        return self.level >= aim

    def _try(self, demand: Demand, aim: int) -> None:
        strip = self._panels.strip(Scale(1, self.unit, aim))
        for trial in islice(trials(demand, strip, self._knowledge), _most_trials(self._panels)):
            too_little = np.searchsorted(trial.most, (trial.run - 1) // self._run, side="right")
            self.level = max(self.level, int(too_little) - 1)
            self._trials_left -= 1
            if self.level >= aim or trial.ceiling <= self._run or not self.goes_on():
                return


def _most_trials(panels: Panels) -> int:
    parts = int(panels.demand.thickness.shape[1])
    return min(_TRIALS, _WORK // parts)


def _gain(panels: Panels) -> float:
    return 0 if panels.demand.thickness.shape[1] <= _SMALL else _GAIN
