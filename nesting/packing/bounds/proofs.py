"""Runs the proofs of a lower bound, from fast ones to strong ones."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Protocol

import numpy as np

from nesting.geometry.outline import twice_area
from nesting.layouts.problem import Problem
from nesting.packing.bounds.cells import least_cells
from nesting.packing.bounds.figures import Figure, figures_of, kinds_of
from nesting.packing.bounds.lines import Integers
from nesting.packing.bounds.runs import Panels, least_run, least_width
from nesting.packing.bounds.slices import SlicedPanels
from nesting.packing.bounds.stacks import StackedPanels, are_worth_stacking
from nesting.packing.running import uninterrupted

Stop = Callable[[], bool]

#: Share subtracted so that floating-point rounding never raises a bound.
_ROUNDING = 1e-9


class _PanelMaker(Protocol):
    """Makes panels in parts from figures and their copies, for lines of a given length."""

    def __call__(self, figures: Sequence[Figure], copies: Integers, width: int, /) -> Panels: ...


def lower_bound(problem: Problem, *, stop: Stop = uninterrupted) -> int:
    """A proven lower bound on the used length of any valid layout, in grid units.

    The amount of work depends on the problem alone, not on a clock. ``stop``
    is called often and can end the work early, with the best bound so far.

    Raises
    ------
    ValueError
        When a piece is wider than the strip in every allowed turn.
    """
    return max(improving_bounds(problem, stop=stop))


def improving_bounds(problem: Problem, *, stop: Stop = uninterrupted) -> Iterator[int]:
    """Lower bounds as they are proved, each at least as great as the one before.

    The first (the longest panel, or area divided by width) takes almost no
    time. Otherwise as ``lower_bound``.
    """
    task = _task(problem, stop)
    best = max(_longest(task), -(-problem.area2 // (2 * problem.width)))
    yield best
    for proof in _proofs(task):
        if stop():
            return
        best = max(best, proof(best))
        yield best


@dataclass(frozen=True)
class _Task:
    """Panels to be laid, in half grid units; ``gap`` is the clear cloth between any two."""

    figures: tuple[Figure, ...]
    copies: Integers
    width: int
    gap: int
    stop: Stop


def _task(problem: Problem, stop: Stop) -> _Task:
    figures = figures_of(problem)
    copies = np.array(list(kinds_of(problem).values()))
    if len({figure.kind for figure in figures}) < len(copies):
        msg = "a piece is wider than the strip in every allowed turn"
        raise ValueError(msg)
    return _Task(figures, copies, 2 * problem.width, 2 * problem.gap, stop)


def _longest(task: _Task) -> int:
    """Length of the longest panel in grid units, when each lies as its shortest figure."""
    shortest = [
        min(figure.length for figure in task.figures if figure.kind == kind)
        for kind in range(len(task.copies))
    ]
    return max(shortest) // 2


def _proofs(task: _Task) -> Iterator[Callable[[int], int]]:
    """Proofs of a bound; each takes the best bound so far."""
    yield lambda _: _by_cells(task)
    yield partial(_across, task, SlicedPanels, task.gap)
    yield partial(_along, task, SlicedPanels, task.gap)
    for some in _largest_and_all(task):
        if are_worth_stacking(some.figures):
            yield partial(_along, some, StackedPanels, 0)
            yield partial(_across, some, StackedPanels, 0)


def _largest_and_all(task: _Task) -> list[_Task]:
    """The panels of the kind with the greatest total area alone, and all panels.

    Small panels can weaken the proof for large ones: if a small panel lies
    between two large ones on a line, the proof does not see that the two
    collide elsewhere.
    """
    if len(task.copies) == 1:
        return [task]
    area = {figure.kind: twice_area(figure.ring) for figure in task.figures}
    most = max(area, key=lambda kind: area[kind] * int(task.copies[kind]))
    figures = tuple(replace(f, kind=0) for f in task.figures if f.kind == most)
    return [replace(task, figures=figures, copies=task.copies[[most]]), task]


def _by_cells(task: _Task) -> int:
    run = least_cells(task.figures, task.copies, task.stop) / (task.width + task.gap)
    return _grid(math.ceil(run * (1 - _ROUNDING)) - task.gap)


def _across(task: _Task, make: _PanelMaker, growth: int, best: int) -> int:
    """Bound from lines across the strip, each longer than the strip is wide by ``growth``."""
    panels = make(task.figures, task.copies, task.width + growth)
    return _grid(least_run(panels, 2 * best + task.gap, task.stop) - task.gap)


def _along(task: _Task, make: _PanelMaker, growth: int, best: int) -> int:
    """Bound from lines along the strip, each longer than the lay by ``growth``."""
    known = 2 * best + growth
    panels = make([figure.flipped() for figure in task.figures], task.copies, known)
    return _grid(least_width(panels, task.width + task.gap, known, task.stop) - growth)


def _grid(halves: int) -> int:
    """Convert half grid units to grid units, rounded up."""
    return -(-halves // 2)
