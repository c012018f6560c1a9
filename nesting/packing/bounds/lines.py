"""The least run of cutting lines that a set of panels needs.

Draw every line across the strip. Each line cuts some panels, and what it cuts
is its *pattern*: some *parts* of some figures. A part is one or more stretches
of a figure along the strip, and a panel laid as that figure is cut there by
lines over a length of exactly ``thickness``. So the length of a lay is the
total run of its patterns. This is at least the optimum of a linear program over
the patterns that can be on one line: a cutting-stock program (Gilmore and
Gomory 1961, cited from memory) in which a panel may choose its figure
fractionally.

The dual of that program gives every part a worth. If no pattern is worth more
than P, the run is at least the sum over all panels of the least worth of their
figures (thickness times worth, summed over the parts), divided by P (Farley
1990, cited from memory). This holds for any worths, so the program need not be
solved to the end, nor exactly: worths are rounded to integers, the pattern of
greatest worth is found in integers, and the bound is proved whatever the
floating-point solver returns.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from ortools.linear_solver import pywraplp

Integers = NDArray[np.int64]
Floats = NDArray[np.float64]
Booleans = NDArray[np.bool_]
Pattern = tuple[int, ...]

#: Worths are integer multiples of 1 / _FINENESS. No worth exceeds 1 and no length
#: exceeds 2e8 half grid units (1 km), so every run fits in 64 bits.
_FINENESS = 1 << 30

#: Share of the best worths so far in the worths tried next; it keeps the trials from
#: swinging between extremes (Wentges 1997, cited from memory).
_STEADINESS = 0.5


@dataclass(frozen=True)
class Demand:
    """What must be cut: ``thickness[f, p]`` of part p for each panel laid as figure f.

    Figure f belongs to kind ``kind[f]``; ``copies`` holds the panels of each kind.
    """

    thickness: Integers
    kind: Integers
    copies: Integers

    def of(self, parts: Booleans) -> "Demand":
        """The same demand as if the other parts needed no line."""
        return replace(self, thickness=np.where(parts, self.thickness, 0))

    def laid_as(self, figures: Booleans) -> "Demand":
        """The same demand if panels may only be laid as these figures."""
        return replace(self, thickness=self.thickness[figures], kind=self.kind[figures])

    def can_be_met(self) -> bool:
        """Tell whether every kind still has a figure."""
        return len(np.unique(self.kind)) == len(self.copies)

    def run(self, worth: Integers) -> int:
        """Exact sum over all panels of the least worth of their figures."""
        figures = self.thickness @ worth
        least = [int(figures[self.kind == kind].min()) for kind in range(len(self.copies))]
        return sum(int(n) * run for n, run in zip(self.copies, least, strict=True))


@dataclass(frozen=True)
class Scale:
    """Lengths on a line as whole levels, rounded down: ``length * levels // per``.

    Levels of lengths that fit a line together sum to no more than ``whole``.
    """

    levels: int
    per: int
    whole: int

    def __call__(self, length: Integers) -> Integers:
        """Convert lengths to levels."""
        return length * self.levels // self.per


class Strip(Protocol):
    """The patterns that can be on one line.

    ``usable`` (parts,) marks the parts that occur in any pattern.
    """

    usable: Booleans

    def dearest(self, worth: Integers) -> tuple[Integers, Sequence[Pattern]]:
        """Greatest worth of a pattern on a line of 0, 1, 2... levels, and some good patterns."""

    def allows(self, pattern: Pattern) -> bool:
        """Tell whether a pattern of another strip can be on a line of this one."""


@dataclass
class Knowledge:
    """The worths to begin with and the patterns known so far, passed on from strip to strip."""

    worth: Floats
    patterns: dict[Pattern, None] = field(default_factory=dict)


@dataclass(frozen=True)
class Trial:
    """What some worths prove: their ``run``, and ``most``, the greatest worth of a pattern.

    ``most`` (whole + 1,) is given for lines of 0, 1, 2... levels. The run of
    lines is at least run / most. No worths can prove more than about
    ``ceiling``, a floating-point estimate that only tells when to stop.
    """

    run: int
    most: Integers
    ceiling: float


def trials(demand: Demand, strip: Strip, knowledge: Knowledge) -> Iterator[Trial]:
    """Trials of better and better worths, until the caller stops asking."""
    demand = demand.of(strip.usable)
    program = _Program(demand)
    program.add(pattern for pattern in knowledge.patterns if strip.allows(pattern))
    asked, best = knowledge.worth, 0.0
    while True:
        worth = np.floor(np.clip(asked, 0, 1) * _FINENESS).astype(np.int64)
        most, found = strip.dearest(worth)
        run, dearest = demand.run(worth), max(int(most[-1]), 1)
        if run / dearest > best:
            best, knowledge.worth = run / dearest, worth / dearest
        knowledge.patterns.update(dict.fromkeys(found))
        program.add(found)
        ceiling, solution = program.solved()
        yield Trial(run, most, ceiling)
        steadiness = _STEADINESS if dearest > _FINENESS else 0
        asked = steadiness * knowledge.worth + (1 - steadiness) * solution


class _Program:
    """The dual linear program over the patterns known so far."""

    def __init__(self, demand: Demand) -> None:
        self._solver = pywraplp.Solver.CreateSolver("GLOP")
        self._scale = max(1.0, float(demand.thickness.sum(axis=1).max()))
        parts = demand.thickness.shape[1]
        self._worth = [self._solver.NumVar(0, 1, "") for _ in range(parts)]
        panels = [self._solver.NumVar(0, self._solver.infinity(), "") for _ in demand.copies]
        for row, kind in zip(demand.thickness / self._scale, demand.kind, strict=True):
            least = self._solver.Constraint(-self._solver.infinity(), 0)
            least.SetCoefficient(panels[kind], 1)
            for part in np.flatnonzero(row):
                least.SetCoefficient(self._worth[part], -float(row[part]))
        for panel, copies in zip(panels, demand.copies, strict=True):
            self._solver.Objective().SetCoefficient(panel, float(copies))
        self._solver.Objective().SetMaximization()

    def add(self, patterns: Iterable[Pattern]) -> None:
        """Add the constraints that these patterns are worth no more than 1."""
        for pattern in patterns:
            limit = self._solver.Constraint(-self._solver.infinity(), 1)
            for part, times in Counter(pattern).items():
                limit.SetCoefficient(self._worth[part], times)

    def solved(self) -> tuple[float, Floats]:
        """Greatest run that the known patterns allow, and its worths.

        If the solver finds no optimum, both are 0.
        """
        if self._solver.Solve() != pywraplp.Solver.OPTIMAL:
            return 0.0, np.zeros(len(self._worth))
        run = self._solver.Objective().Value() * self._scale
        return run, np.array([worth.solution_value() for worth in self._worth])
