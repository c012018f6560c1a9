"""CP-SAT models of rectangles: intervals that do not overlap in two dimensions.

A model consists of variables and the constraints added to them; `whole_order`,
`bevelled_order` and `window` build the models that are used.
"""

import math
from collections.abc import Callable, Sequence

import numpy as np
from ortools.sat.python import cp_model

from nesting.packing.cpsat.solving import Answer, run
from nesting.packing.cpsat.twins import identical, identical_neighbours
from nesting.packing.stage import Arrangement, Stage


class RectangleModel:
    """Rectangles between the edges of the strip, before its end.

    ``unit`` divides all positions; lengths in the model are counted in units.
    ``least`` and ``most`` are the limits of the end. Constraints that keep
    rectangles apart or hold them in place have to be added.
    """

    def __init__(self, stage: Stage, start: Arrangement, unit: int, least: int, most: int) -> None:
        self.stage, self.start, self.unit = stage, start, unit
        self.gap = stage.problem.gap // unit
        self.width, self.most = stage.width // unit, most // unit
        self.model = cp_model.CpModel()
        self.end = self.model.new_int_var(min(-(-least // unit), self.most), self.most, "end")
        n = len(start.pose)
        self.x = [self.model.new_int_var(0, self.most, "") for _ in range(n)]
        self.y = [self.model.new_int_var(0, self.width, "") for _ in range(n)]
        self.turned = [self.model.new_bool_var("") for _ in range(n)]
        self.sizes = [self._size(i) for i in range(n)]
        self._confine()

    def keep_gap(self) -> None:
        """Keep the gap: let no two rectangles overlap that are longer and higher by it."""
        self.model.add_no_overlap_2d(*self._intervals(self.gap))

    def keep_bevelled_gap(self) -> None:
        """Keep a weaker rule than the gap, which bevels the round corners that a gap leaves.

        Two rectangles with the gap between them are apart by the gap along the
        strip, or across it, or, corner to corner, by distances along and
        across that add up to at least the gap.
        """
        self.model.add_no_overlap_2d(*self._intervals(0))
        for i in range(len(self.x)):
            for j in range(i):
                self._keep_bevelled(i, j)

    def keep_sums(self) -> None:
        """Add a redundant rule for whole orders: what fits on a line across or along the strip.

        On any line across the strip the heights (gaps included) add up to no
        more than the width; on any line along it the lengths add up to no more
        than the end.
        """
        along, across = self._intervals(0)
        heights = [height + self.gap for _, height in self.sizes]
        lengths = [length + self.gap for length, _ in self.sizes]
        self.model.add_cumulative(along, heights, self.width + self.gap)
        self.model.add_cumulative(across, lengths, self.end + self.gap)

    def break_symmetry(self) -> None:
        """Allow only one of several lays that are equivalent or mirror images.

        Identical pieces stay in order and, since a layout may be mirrored along
        and across, the middle of one large piece lies in the lower half of the
        width and the first half of the length.
        """
        for i, j in identical_neighbours(self.stage):
            self.model.add(self.x[i] <= self.x[j])
        large = max(identical(self.stage), key=self._area)[0]
        self.model.add(2 * self.x[large] + self.sizes[large][0] <= self.end)
        self.model.add(2 * self.y[large] + self.sizes[large][1] <= self.width)

    def hold(self, still: Sequence[int]) -> None:
        """Keep some pieces where they lie."""
        for i in still:
            self.model.add(self.x[i] == int(self.start.x[i]) // self.unit)
            self.model.add(self.y[i] == int(self.start.y[i]) // self.unit)
            self.model.add(self.turned[i] == int(self.start.pose[i] != self.stage.choices[i][0]))

    def shorten(self) -> None:
        """Minimise the length of the strip."""
        self.model.minimize(self.end)

    def push_together(self, moving: Sequence[int]) -> None:
        """Minimise the length of the strip, then the ends of the moving pieces along it."""
        ends = [self.x[i] + self.sizes[i][0] for i in moving]
        self.model.minimize(2 * len(moving) * self.end + cp_model.LinearExpr.sum(ends))

    def solve(
        self,
        work: float,
        seconds: float,
        over: Callable[[], bool],
        *,
        seed: int = 0,
        thorough: bool = True,
    ) -> Answer:
        """Solve within ``work`` (deterministic time) and ``seconds``.

        Costly, ``thorough`` reasoning pays for whole orders; for windows it is
        better to solve many quickly.
        """
        solver = cp_model.CpSolver()
        solver.parameters.use_timetabling_in_no_overlap_2d = True
        solver.parameters.use_energetic_reasoning_in_no_overlap_2d = thorough
        solver.parameters.random_seed = seed
        status = run(solver, self.model, work, seconds, over)
        if status == cp_model.INFEASIBLE:
            return Answer(None, (self.most + 1) * self.unit)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return Answer(None, 0)
        choices = zip(self.stage.choices, self.turned, strict=True)
        poses = [poses[-1] if solver.value(turned) else poses[0] for poses, turned in choices]
        x, y = ([solver.value(v) * self.unit for v in axis] for axis in (self.x, self.y))
        arrays = (np.array(values, dtype=np.int64) for values in (poses, x, y))
        return Answer(Arrangement(*arrays), round(solver.best_objective_bound) * self.unit)

    def _size(self, i: int) -> tuple[cp_model.LinearExpr, cp_model.LinearExpr]:
        """Length and height of a piece, depending on whether it takes its last pose."""
        first, last = self.stage.choices[i][0], self.stage.choices[i][-1]
        turned = self.turned[i]
        self.model.add_hint(turned, self.start.pose[i] != first)
        if first == last:
            self.model.add(turned == 0)
        length, height = (
            (int(extent[first]) // self.unit, int(extent[last]) // self.unit)
            for extent in (self.stage.length, self.stage.height)
        )
        return (
            length[0] + (length[1] - length[0]) * turned,
            height[0] + (height[1] - height[0]) * turned,
        )

    def _confine(self) -> None:
        """Keep every piece between the edges of the strip and before its end."""
        for i, (length, height) in enumerate(self.sizes):
            self.model.add(self.x[i] + length <= self.end)
            self.model.add(self.y[i] + height <= self.width)
            self.model.add_hint(self.x[i], int(self.start.x[i]) // self.unit)
            self.model.add_hint(self.y[i], int(self.start.y[i]) // self.unit)

    def _area(self, pieces: list[int]) -> int:
        return int(self.stage.area2[self.stage.choices[pieces[0]][0]])

    def _intervals(self, gap: int) -> tuple[list[cp_model.IntervalVar], list[cp_model.IntervalVar]]:
        """Extent of every piece along and across, extended by the gap at its far side."""
        along = [
            self._interval(x, size[0] + gap) for x, size in zip(self.x, self.sizes, strict=True)
        ]
        across = [
            self._interval(y, size[1] + gap) for y, size in zip(self.y, self.sizes, strict=True)
        ]
        return along, across

    def _interval(self, start: cp_model.IntVar, size: cp_model.LinearExpr) -> cp_model.IntervalVar:
        end = self.model.new_int_var(0, self.most + self.width + self.gap, "")
        return self.model.new_interval_var(start, size, end, "")

    def _keep_bevelled(self, i: int, j: int) -> None:
        right, left = (self._distance(self.x, 0, a, b) for a, b in ((i, j), (j, i)))
        above, below = (self._distance(self.y, 1, a, b) for a, b in ((i, j), (j, i)))
        literals = []
        for distance in (right, left, above, below):
            literals.append(self.model.new_bool_var(""))
            self.model.add(distance >= self.gap).only_enforce_if(literals[-1])
        for along in (right, left):
            for across in (above, below):
                literals.append(self.model.new_bool_var(""))
                self.model.add(along + across >= self.gap).only_enforce_if(literals[-1])
                self.model.add(along >= 0).only_enforce_if(literals[-1])
                self.model.add(across >= 0).only_enforce_if(literals[-1])
        self.model.add_bool_or(literals)

    def _distance(
        self, axis: list[cp_model.IntVar], side: int, a: int, b: int
    ) -> cp_model.LinearExpr:
        """Distance from the far side of piece a to the near side of piece b."""
        return axis[b] - axis[a] - self.sizes[a][side]


def whole_order(stage: Stage, start: Arrangement, least: int, most: int) -> RectangleModel:
    """All rectangles on a strip that ends between ``least`` and ``most``.

    In some best layout every piece is pushed to the start and down, so
    positions are sums of sizes and gaps, and their common divisor is the unit.
    """
    model = RectangleModel(stage, start, _common_divisor(stage), least, most)
    model.keep_gap()
    model.keep_sums()
    model.break_symmetry()
    model.shorten()
    return model


def bevelled_order(stage: Stage, start: Arrangement, least: int, most: int) -> RectangleModel:
    """The same with a weaker rule: what this model cannot pack shorter, nothing can.

    The unit is one grid unit here, since with bevels positions are not sums of
    sizes and gaps.
    """
    model = RectangleModel(stage, start, 1, least, most)
    model.keep_bevelled_gap()
    model.keep_sums()
    model.break_symmetry()
    model.shorten()
    return model


def window(stage: Stage, start: Arrangement, free: Sequence[int]) -> RectangleModel:
    """Some rectangles packed again among the others, which do not move."""
    unit = math.gcd(_common_divisor(stage), *start.x.tolist(), *start.y.tolist())
    model = RectangleModel(stage, start, unit, 0, stage.used_length(start))
    model.keep_gap()
    model.hold([*set(range(len(start.pose))) - set(free)])
    model.push_together(free)
    return model


def _common_divisor(stage: Stage) -> int:
    return math.gcd(*stage.length.tolist(), *stage.height.tolist(), stage.problem.gap)
