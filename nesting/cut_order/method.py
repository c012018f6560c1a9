"""Finds an order of cuts with little travel: the method on one page.

A few cuts are ordered exactly. For more, the search starts from two orders,
nearest first and the given one. For each, the best vertex to enter every cut
is found. Routing then shortens the better of the two, window after window,
until nothing improves or the allowed work is done, and the best vertices are
found again. The problem is sequential ordering with a choice of nodes
(generalized travelling salesman: Noon and Bean, Operations Research 39, 1991;
precedence: Escudero, European Journal of Operational Research 37, 1988), for
which no exact method is fast.

The same cuts give the same order: no clock is read and nothing is random.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from nesting.cut_order.course import Course, best_ways, respects, travel
from nesting.cut_order.improvement import Rerouting
from nesting.cut_order.nearest import nearest_first
from nesting.cut_order.passes import Pairs, Pass, Points, along, pass_along, precedence
from nesting.cut_order.shortest import MOST, shortest_course
from nesting.drawings.drawing import Path

#: Most windows for one order, 1 to 2 s of work; small lays need fewer.
_MOST_WINDOWS = 100


@dataclass(frozen=True, slots=True)
class Travel:
    """Travel of the lifted head from its start to the last cut, in millimetres.

    ``given``: in the given order, each cut from its first point. ``nearest``:
    always to the nearest point where a cut may begin. ``after``: in the order
    that was found.
    """

    given: float
    nearest: float
    after: float

    @property
    def below_given(self) -> float:
        """Share of the travel that is saved, compared with the given order."""
        return _share_saved(self.given, self.after)

    @property
    def below_nearest(self) -> float:
        """Share of the travel that is saved, compared with nearest first."""
        return _share_saved(self.nearest, self.after)


@dataclass(frozen=True, slots=True)
class CutOrder:
    """Cuts in the order of cutting.

    ``order`` are indices into the given paths; ``paths`` are the same paths in
    that order. Each begins where the head enters it: a closed path at a vertex,
    an open one at an end. Closed paths keep their direction.
    """

    start: tuple[float, float]
    order: tuple[int, ...]
    paths: tuple[Path, ...]
    travel: Travel


def cut_order(paths: Sequence[Path], start: tuple[float, float] = (0.0, 0.0)) -> CutOrder:
    """Put cuts in an order with little travel from a start point, in millimetres.

    Everything inside a closed cut is made before it: cut-outs, notches, drill
    marks. The travel is never longer than with nearest first.
    """
    if not paths:
        return CutOrder(start, (), (), Travel(0.0, 0.0, 0.0))
    cuts, before, origin = [pass_along(path) for path in paths], precedence(paths), np.array(start)
    given = Course(tuple(range(len(cuts))), (0,) * len(cuts))
    nearest = nearest_first(cuts, before, origin)
    if len(cuts) <= MOST:
        course = shortest_course(cuts, before, origin)
    else:
        known = [one for one in (nearest, given) if respects(one.order, before)]
        course = _shorten_best(cuts, before, origin, known)
    return CutOrder(
        start,
        course.order,
        tuple(along(paths[i], way) for i, way in zip(course.order, course.ways, strict=True)),
        Travel(*(travel(cuts, one, origin) for one in (given, nearest, course))),
    )


def _shorten_best(
    cuts: Sequence[Pass], before: Pairs, start: Points, known: Sequence[Course]
) -> Course:
    """The best of the known courses, shortened as far as the allowed work goes."""
    entered = [best_ways(cuts, course.order, start) for course in known]
    best = min(entered, key=lambda course: travel(cuts, course, start))
    found = Rerouting(cuts, before, start, best).shorten(_MOST_WINDOWS)
    return best_ways(cuts, found.order, start)


def _share_saved(before: float, after: float) -> float:
    return 1 - after / before if before else 0.0
