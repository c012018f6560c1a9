"""The order of cuts with the least travel that can be found, on one page.

A few cuts are ordered exactly. For more, two orders are at hand at once:
nearest first, and the one in which they were given. The better of them, each
entered at its best vertices, is made shorter by routing window after window,
until nothing is gained or the work allowed is done, and entered at its best
vertices again. The problem is that of
sequential ordering with a choice of nodes (generalized travelling salesman:
Noon and Bean, Operations Research 39, 1991; precedence: Escudero, European
Journal of Operational Research 37, 1988), for which no exact method is quick.

The same cuts give the same order: no clock is read, nothing is random.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from nesting.cut_order.course import Course, best_ways, keeps, travel
from nesting.cut_order.improvement import Rerouting
from nesting.cut_order.nearest import nearest_first
from nesting.cut_order.passes import Pairs, Pass, Points, along, pass_along, precedence
from nesting.cut_order.shortest import MOST, shortest_course
from nesting.drawings.drawing import Path

#: Windows that one order may take, 1 to 2 s of work; small lays end sooner.
_MOST_WINDOWS = 100


@dataclass(frozen=True, slots=True)
class Travel:
    """Way of the lifted head between cuts, from its start to its last cut, in millimetres.

    ``given``: in the order in which the cuts were given, each from its first
    point. ``nearest``: always on to the nearest point where a cut may begin.
    ``after``: in the order that was found.
    """

    given: float
    nearest: float
    after: float

    @property
    def below_given(self) -> float:
        """Share of the travel in the given order that is saved."""
        return _saved(self.given, self.after)

    @property
    def below_nearest(self) -> float:
        """Share of the travel from nearest to nearest that is saved."""
        return _saved(self.nearest, self.after)


@dataclass(frozen=True, slots=True)
class CutOrder:
    """Cuts in the order of cutting.

    ``order`` are indices into the paths that were given; ``paths`` are these
    in that order, a closed one beginning at the vertex where the head enters
    it, an open one where it is entered; their direction round the cut is kept.
    """

    start: tuple[float, float]
    order: tuple[int, ...]
    paths: tuple[Path, ...]
    travel: Travel


def cut_order(paths: Sequence[Path], start: tuple[float, float] = (0.0, 0.0)) -> CutOrder:
    """Put cuts in an order of little travel from a start point, millimetres.

    Whatever lies inside a closed cut is made before it: cut-outs, notches,
    drill marks. The travel is never longer than nearest first.
    """
    if not paths:
        return CutOrder(start, (), (), Travel(0.0, 0.0, 0.0))
    cuts, before, origin = [pass_along(path) for path in paths], precedence(paths), np.array(start)
    given = Course(tuple(range(len(cuts))), (0,) * len(cuts))
    nearest = nearest_first(cuts, before, origin)
    if len(cuts) <= MOST:
        course = shortest_course(cuts, before, origin)
    else:
        known = [one for one in (nearest, given) if keeps(one.order, before)]
        course = _shortened(cuts, before, origin, known)
    return CutOrder(
        start,
        course.order,
        tuple(along(paths[i], way) for i, way in zip(course.order, course.ways, strict=True)),
        Travel(*(travel(cuts, one, origin) for one in (given, nearest, course))),
    )


def _shortened(
    cuts: Sequence[Pass], before: Pairs, start: Points, known: Sequence[Course]
) -> Course:
    """The best of the known courses, made as short as the work allowed will go."""
    entered = [best_ways(cuts, course.order, start) for course in known]
    best = min(entered, key=lambda course: travel(cuts, course, start))
    found = Rerouting(cuts, before, start, best).shorten(_MOST_WINDOWS)
    return best_ways(cuts, found.order, start)


def _saved(before: float, after: float) -> float:
    return 1 - after / before if before else 0.0
