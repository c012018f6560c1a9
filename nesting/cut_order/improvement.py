"""Shortens a long course part by part, ordering each part by routing.

A *window* is a cut and the cuts nearest to it. They are taken out of the
course and may go anywhere in it and be made in other ways. The runs of cuts
left between them stay as they are, but their order may change. So a window has
few links however long the course is, and can still shorten the travel between
distant parts of the course that pass close to each other.

All cuts are awake at first. The next window is the one around the awake cut
that the head travels farthest to. A window that shortens the course wakes all
its cuts; one that does not puts the cuts around its middle to sleep.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from nesting.cut_order.course import Course, distances
from nesting.cut_order.passes import Pairs, Pass, Points
from nesting.cut_order.routing import Visit, find_route

#: Cuts in a window, and how many ways to make each are tried besides its present one.
_FREE = 14
_WAYS = 4

#: Millimetres that a window must gain to count: less is rounding.
_GAIN = 0.01

_Indices = NDArray[np.int64]


class Rerouting:
    """A course that is being shortened.

    ``order`` lists the cuts along the course. ``ways``, ``ins`` and ``outs``
    are indexed by cut: how it is made, and where the head enters and leaves it.
    """

    def __init__(self, cuts: Sequence[Pass], before: Pairs, start: Points, course: Course) -> None:
        self.cuts = cuts
        self.before = np.reshape(before, (-1, 2)).astype(np.int64)
        self.start = start
        self.order = np.array(course.order)
        self.ways = np.empty_like(self.order)
        self.ways[self.order] = course.ways
        made = list(zip(cuts, self.ways, strict=True))
        self.ins = np.array([cut.ins[way] for cut, way in made])
        self.outs = np.array([cut.outs[way] for cut, way in made])

    def shorten(self, most: int) -> Course:
        """Shorten the course with at most ``most`` windows."""
        awake = np.ones(len(self.cuts), dtype=bool)
        for _ in range(most):
            if not awake.any():
                break
            middle = int(np.where(awake, self._approaches(), -1.0).argmax())
            near = np.argsort(distances(self.ins[[middle]], self.ins)[0], kind="stable")
            if self._improve(near[:_FREE]):
                awake[near[:_FREE]] = True
            else:
                awake[near[: _FREE // 2]] = False
        return Course(tuple(self.order.tolist()), tuple(self.ways[self.order].tolist()))

    def _approaches(self) -> NDArray[np.float64]:
        """How far the head travels to each cut, by index of the cut."""
        left = np.vstack([self.start, self.outs[self.order[:-1]]])
        far = np.empty(len(self.order))
        far[self.order] = np.hypot(*(self.ins[self.order] - left).T)
        return far

    def _improve(self, window: _Indices) -> bool:
        """Reorder the cuts of a window if that shortens the course."""
        free = {int(index): self._near_ways(int(index), window) for index in window}
        runs = self._runs(window)
        links = [self._link(run, free) for run in runs]
        before = self._before(runs)
        visits = find_route(links, before, self.start)
        present = [(link, 0) for link in range(len(links))]
        if self._length(links, visits) > self._length(links, present) - _GAIN:
            return False
        for link, way in visits:
            index = int(runs[link][0])
            if index in free:
                self._make(index, free[index][way])
        self.order = np.concatenate([runs[link] for link, _ in visits])
        return True

    def _near_ways(self, index: int, window: _Indices) -> list[int]:
        """The present way of a cut, and the ways that begin nearest to other cuts of the window."""
        far = distances(self.cuts[index].ins, self.ins[window[window != index]])
        nearest = far.argmin(axis=0)[np.argsort(far.min(axis=0), kind="stable")]
        others = dict.fromkeys(nearest.tolist())
        return list(dict.fromkeys([int(self.ways[index]), *list(others)[:_WAYS]]))

    def _runs(self, window: _Indices) -> list[_Indices]:
        """The course in pieces: each cut of the window alone, and the runs between them."""
        places = np.flatnonzero(np.isin(self.order, window))
        pieces = np.split(self.order, np.unique([*places, *(places + 1)]))
        return [piece for piece in pieces if len(piece)]

    def _link(self, run: _Indices, free: dict[int, list[int]]) -> Pass:
        first, last = int(run[0]), int(run[-1])
        if first in free:
            ways = free[first]
            return Pass(self.cuts[first].ins[ways], self.cuts[first].outs[ways])
        return Pass(self.ins[[first]], self.outs[[last]])

    def _before(self, runs: Sequence[_Indices]) -> Pairs:
        """Pairs of links of which the first must come before the second."""
        home = np.empty(len(self.cuts), dtype=np.int64)
        home[self.order] = np.repeat(np.arange(len(runs)), [len(run) for run in runs])
        pairs = home[self.before]
        between = np.unique(pairs[pairs[:, 0] != pairs[:, 1]], axis=0)
        return [(int(first), int(second)) for first, second in between]

    def _length(self, links: Sequence[Pass], visits: Sequence[Visit]) -> float:
        """Travel between links; the travel within them does not change."""
        ins = np.array([links[link].ins[way] for link, way in visits])
        outs = np.array([self.start, *(links[link].outs[way] for link, way in visits[:-1])])
        return float(np.hypot(*(ins - outs).T).sum())

    def _make(self, index: int, way: int) -> None:
        self.ways[index] = way
        self.ins[index] = self.cuts[index].ins[way]
        self.outs[index] = self.cuts[index].outs[way]
