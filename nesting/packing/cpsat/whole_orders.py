"""Whole orders by CP-SAT, with proof.

Every piece is free and every half-plane is kept, so an optimal answer is
optimal for the whole problem. Identical pieces are kept in the order of
their positions, since exchanging them changes nothing.
"""

from collections.abc import Callable
from dataclasses import dataclass

from nesting.packing.cpsat.twins import identical_in_order, identical_neighbours
from nesting.packing.engine import NO_TURN, THIS_TURN, Attempt, Share
from nesting.packing.stage import Arrangement, Stage

# CP-SAT takes long to load, and many searches need it late or not at all, so it is only
# imported when it is used.

#: The solver's deterministic time for the first attempt, several times as many seconds.
FIRST_WORK = 0.2

#: Greatest deterministic time for rectangles at the bound: a new seed helps more than time.
MOST_WORK_AT_BOUND = 1.6


@dataclass(frozen=True)
class Task:
    """One solve: a lay to be shortened, the lower bound, and the solver's limits."""

    stage: Stage
    start: Arrangement
    bound: int
    seed: int
    work: float
    seconds: float
    over: Callable[[], bool]


class WholeOrders:
    """Solves the whole order, each time with twice the work, until the lay is proved optimal.

    ``solve`` is one of the functions below. The engine wants every turn whose
    number is a power of two, from turn ``first`` on.
    """

    def __init__(
        self,
        stage: Stage,
        seed: int,
        over: Callable[[], bool],
        solve: Callable[[Task], Attempt],
        first: int = 1,
    ) -> None:
        self.stage, self.seed, self.over = stage, seed, over
        self.solve, self.first = solve, first
        self.work = FIRST_WORK

    def share(self, turn: int, _used_length: int, _bound: int) -> Share:
        """All of the turns that are a power of two, and none of the others."""
        return THIS_TURN if turn >= self.first and turn & (turn - 1) == 0 else NO_TURN

    def attempt(self, best: Arrangement, bound: int, seconds: float) -> Attempt:
        """Search for something shorter than ``best``, or for a proof that there is nothing."""
        start = identical_in_order(self.stage, best)
        found = self.solve(Task(self.stage, start, bound, self.seed, self.work, seconds, self.over))
        self.work, self.seed = self.work * 2, self.seed + 1
        return found


def solve_outlines(task: Task) -> Attempt:
    """Minimise the length of a lay of outlines."""
    from nesting.packing.cpsat.freedom import everywhere  # noqa: PLC0415 - see above
    from nesting.packing.cpsat.outlines import OutlineModel  # noqa: PLC0415 - see above

    freedoms = everywhere(task.stage, task.start)
    model = OutlineModel(task.stage, task.start, freedoms, half_planes=None)
    model.shorten(task.bound)
    model.keep_in_order(identical_neighbours(task.stage))
    answer = model.solve(task.work, task.seconds, task.over)
    # Corners of grown outlines are mitred, so with a gap or a clearance nothing is proved.
    problem = task.stage.problem
    mitred = problem.gap or any(body.clearance for body in problem.bodies)
    return Attempt(answer.arrangement, 0 if mitred else answer.bound)


def solve_rectangles(task: Task) -> Attempt:
    """Pack rectangles within the bound, or else as short as possible.

    Whether they fit a strip as short as the bound is a narrower question than
    how short the strip can be, and for perfect packings it is answered
    quickly. With a gap the proof needs another model with a weaker rule.
    """
    from nesting.packing.cpsat.rectangles import bevelled_order, whole_order  # noqa: PLC0415

    stage, start, bound = task.stage, task.start, task.bound
    limits, seed = (task.seconds, task.over), task.seed
    at_bound = whole_order(stage, start, bound, bound)
    answer = at_bound.solve(min(task.work, MOST_WORK_AT_BOUND), *limits, seed=seed)
    if answer.arrangement is None:
        least, most = max(bound, answer.bound), stage.used_length(start)
        answer = whole_order(stage, start, least, most).solve(task.work, *limits, seed=seed)
    if not stage.problem.gap:
        return Attempt(answer.arrangement, answer.bound)
    best = answer.arrangement or start
    used = stage.used_length(best)
    if answer.bound < used or used == bound:
        return Attempt(best)
    weaker = bevelled_order(stage, best, bound, used - 1).solve(task.work, *limits, seed=seed)
    return Attempt(best, min(used, weaker.bound))
