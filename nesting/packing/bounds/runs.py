"""Lengths that lines prove: across the strip at once, along it by refuting lengths."""

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

#: Trials of one program, at most, and of all programs that refute widths.
_TRIALS, _ALL_TRIALS = 120, 400

#: Trials times parts of one program, at most.
_WORK = 12_000

#: Programs of more parts than this are not pressed for gains below the share.
_SMALL, _GAIN = 60, 0.002

#: The program is solved when its two bounds differ by less than this share.
_SOLVED = 1e-7


class Panels(Protocol):
    """Panels cut into parts, as slices or as stacks, for lines of a width or about it.

    ``extent`` (figures,) is how long a line must be to cut the figure.
    """

    demand: Demand
    extent: Integers

    def first_worth(self) -> Floats:
        """Worths to begin with."""

    def unit(self) -> int:
        """A length to count levels in on lines of about the width."""

    def scale(self) -> Scale:
        """The best levels for lines of just the width."""

    def strip(self, scale: Scale) -> Strip:
        """The patterns on a line."""


def least_run(panels: Panels, known: int, stop: Callable[[], bool]) -> int:
    """Proven run of lines of just the width that the panels need, at least ``known``."""
    knowledge = Knowledge(panels.first_worth())
    strip = panels.strip(panels.scale())
    best, worth_while = known, known * (1 + _gain(panels))
    for trial in islice(trials(panels.demand, strip, knowledge), _most_trials(panels)):
        best = max(best, -(-trial.run // max(int(trial.most[-1]), 1)))
        if trial.ceiling <= max(worth_while, best * (1 + _SOLVED)) or stop():
            break
    return best


def least_width(panels: Panels, run: int, known: int, stop: Callable[[], bool]) -> int:
    """Proven width of lines of which a ``run`` can be enough, at least ``known``.

    A width is refuted when lines of it would have to run further. The aim
    leaps ahead as long as it is refuted, then halves the doubt; every trial
    tells of all widths below the aim as well.
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
    """Widths of up to ``level`` units are refuted; knowledge passes from aim to aim."""

    def __init__(self, panels: Panels, run: int, known: int, stop: Callable[[], bool]) -> None:
        self._panels, self._run, self._stop = panels, run, stop
        self.unit = panels.unit()
        self.start = self.level = known // self.unit - 1
        self._knowledge = Knowledge(panels.first_worth())
        self._trials_left = _ALL_TRIALS

    def goes_on(self) -> bool:
        """Tell whether there is work left to spend."""
        return self._trials_left > 0 and not self._stop()

    def reaches(self, aim: int) -> bool:
        """Try to refute widths up to an aim, and tell whether that was done."""
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
