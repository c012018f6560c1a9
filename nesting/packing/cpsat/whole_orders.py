"""Whole orders by CP-SAT, with proof.

Every piece is free and every half-plane is kept, so an optimal answer is
optimal for the whole problem. Identical pieces are kept in the order of
their positions, since exchanging them changes nothing.
"""

from collections.abc import Callable

from nesting.packing.cpsat.outlines import Answer, Window, WindowModel
from nesting.packing.cpsat.rectangles import BevelledModel, RectangleModel
from nesting.packing.cpsat.twins import identical_in_order, identical_neighbours
from nesting.packing.stage import Arrangement, Stage

#: The solver's deterministic time of the first attempt, some times as many seconds.
FIRST_WORK = 0.2

#: Its most for rectangles at the bound: a new random seed serves better than more time.
MOST_WORK_AT_BOUND = 1.6


class ExactSearch:
    """Solves the whole order, each time with twice the work, until it is proved."""

    def __init__(self, stage: Stage, seed: int, over: Callable[[], bool]) -> None:
        self.stage, self.seed, self.over = stage, seed, over
        self.work = FIRST_WORK

    def attempt(
        self, best: Arrangement, bound: int, seconds: float
    ) -> tuple[Arrangement | None, int]:
        """Search for something shorter than ``best``, or the proof that there is nothing."""
        start = identical_in_order(self.stage, best)
        if self.stage.is_rectangular:
            answer = self._rectangles(start, bound, seconds)
        else:
            answer = WholeModel(self.stage, start, bound).solve(self.work, seconds, self.over)
        self.work, self.seed = self.work * 2, self.seed + 1
        # Corners of grown outlines are mitred: with a gap that proves nothing.
        mitred = self.stage.problem.gap > 0 and not self.stage.is_rectangular
        return answer.arrangement, 0 if mitred else answer.bound

    def _rectangles(self, start: Arrangement, bound: int, seconds: float) -> Answer:
        """Rectangles: at the bound first, then as short as can be.

        Whether a strip as short as the bound can hold them is a narrower
        question than how short it can be, and perfect packings answer it
        quickly. With a gap the proof takes another, laxer model.
        """
        budget = self.work, seconds, self.over
        at_bound = RectangleModel(self.stage, start, bound, bound, self.seed)
        answer = at_bound.solve(min(self.work, MOST_WORK_AT_BOUND), seconds, self.over)
        if answer.arrangement is None:
            least, most = max(bound, answer.bound), self.stage.used_length(start)
            answer = RectangleModel(self.stage, start, least, most, self.seed).solve(*budget)
        if not self.stage.problem.gap:
            return answer
        best = answer.arrangement or start
        used = self.stage.used_length(best)
        if answer.bound < used or used == bound:
            return Answer(best, 0)
        laxer = BevelledModel(self.stage, best, bound, used - 1, self.seed).solve(*budget)
        return Answer(best, min(used, laxer.bound))


class WholeModel(WindowModel):
    """The window that holds every piece of an order of any outlines."""

    def __init__(self, stage: Stage, start: Arrangement, bound: int) -> None:
        self.bound = bound
        everything = Window(tuple(range(len(start.pose))), (), 0, stage.used_length(start), 0)
        super().__init__(stage, start, everything, half_planes=None)

    def _minimise(self) -> None:
        """Only the length counts, and it is known to be at least the bound."""
        end = self.model.new_int_var(min(self.bound, self.length), self.length, "end")
        for body in self.bodies:
            self.model.add(end >= body.x + body.length)
        for i, j in identical_neighbours(self.stage):
            self.model.add(self.bodies[i].x <= self.bodies[j].x)
        self.model.minimize(end)
