"""The CP-SAT model: some pieces move and turn, the others stand still.

Every pair of convex parts becomes one clause: of the half-planes in which
the two are apart, one must hold (see `nesting.geometry.contact`). Half-planes
that the bounds of the positions already decide are left out. Leaving others
out only forbids offsets, it never allows an overlap: a curved outline with
hundreds of edges is modelled by a dozen of them, and the answer is exact.
"""

import math
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from ortools.sat.python import cp_model

from nesting.geometry.contact import Contact
from nesting.packing.stage import Arrangement, Stage

#: Half-planes kept in one clause of a window: more make it slower, not denser.
HALF_PLANES = 12


@dataclass(frozen=True)
class Window:
    """What one solve may change.

    ``free`` pieces lie anywhere between ``start`` and ``end`` along the strip
    in any pose; ``sliding`` ones keep their pose and move by at most
    ``slide``. All others stand still.
    """

    free: tuple[int, ...]
    sliding: tuple[int, ...]
    start: int
    end: int
    slide: int


@dataclass(frozen=True)
class Answer:
    """Best arrangement of a solve (None: nothing found), and the bound it proved.

    The bound is on the model's objective; 0 when nothing is proved.
    """

    arrangement: Arrangement | None
    bound: int


@dataclass(frozen=True)
class _Body:
    """A piece in the model: position with its ranges, and literals for its poses.

    A piece that stands still has constants for variables and no literals.
    """

    x: cp_model.IntVar
    y: cp_model.IntVar
    x_range: tuple[int, int]
    y_range: tuple[int, int]
    poses: dict[int, cp_model.IntVar | None]
    length: cp_model.LinearExpr


class WindowModel:
    """The model of one window around an arrangement.

    ``half_planes`` None keeps all of them: with every piece free, an optimal
    answer is then optimal for the whole problem.
    """

    def __init__(
        self, stage: Stage, start: Arrangement, window: Window, half_planes: int | None
    ) -> None:
        self.stage, self.start, self.window = stage, start, window
        self.half_planes = half_planes
        self.model = cp_model.CpModel()
        self.length = stage.used_length(start)
        self.moving = (*window.free, *window.sliding)
        self.bodies = [self._body(i) for i in range(len(start.pose))]
        self._keep_apart()
        self._keep_bundles()
        self._minimise()

    def solve(self, work: float, seconds: float, over: Callable[[], bool]) -> Answer:
        """Solve within ``work`` (the solver's deterministic time) and ``seconds``."""
        solver = cp_model.CpSolver()
        status = run(solver, self.model, work, seconds, over)
        if status == cp_model.INFEASIBLE:
            return Answer(None, self.length + 1)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return Answer(None, 0)
        pose, x, y = self.start.pose.copy(), self.start.x.copy(), self.start.y.copy()
        for i in self.moving:
            body = self.bodies[i]
            x[i], y[i] = solver.value(body.x), solver.value(body.y)
            pose[i] = next(p for p, t in body.poses.items() if t is not None and solver.value(t))
        return Answer(Arrangement(pose, x, y), math.ceil(solver.best_objective_bound - 1e-6))

    def _body(self, i: int) -> _Body:
        x, y, pose = int(self.start.x[i]), int(self.start.y[i]), int(self.start.pose[i])
        if i not in self.moving:
            constant = self.model.new_constant
            length = constant(int(self.stage.length[pose]))
            return _Body(constant(x), constant(y), (x, x), (y, y), {pose: None}, length)
        poses = self.stage.choices[i] if i in self.window.free else (pose,)
        lengths, heights = self.stage.length[list(poses)], self.stage.height[list(poses)]
        x_range, y_range = self._ranges(i, int(lengths.min()), int(heights.min()))
        taken = {p: self.model.new_bool_var("") for p in poses}
        self.model.add_exactly_one(taken.values())
        weighted = cp_model.LinearExpr.weighted_sum
        body = _Body(
            self.model.new_int_var(*x_range, f"x{i}"),
            self.model.new_int_var(*y_range, f"y{i}"),
            x_range,
            y_range,
            dict(taken),
            weighted(list(taken.values()), lengths.tolist()),
        )
        height = weighted(list(taken.values()), heights.tolist())
        self.model.add(body.y + height <= self.stage.width)
        self.model.add_hint(body.x, x)
        self.model.add_hint(body.y, y)
        for p, literal in taken.items():
            self.model.add_hint(literal, p == pose)
        return body

    def _ranges(self, i: int, length: int, height: int) -> tuple[tuple[int, int], tuple[int, int]]:
        """Where a moving piece may lie, its present place included."""
        x, y, window = int(self.start.x[i]), int(self.start.y[i]), self.window
        last_x, last_y = self.length - length, self.stage.width - height
        if i in window.free:
            return (min(window.start, x), max(x, min(window.end - length, last_x))), (0, last_y)
        return (
            (max(0, x - window.slide), min(last_x, x + window.slide)),
            (max(0, y - window.slide), min(last_y, y + window.slide)),
        )

    def _keep_apart(self) -> None:
        """One clause for every pair of parts of which at least one moves."""
        for i in self.moving:
            for j in range(len(self.bodies)):
                if j not in self.moving or i < j:
                    self._keep_pair_apart(i, j)

    def _keep_pair_apart(self, i: int, j: int) -> None:
        first, second = self.bodies[i], self.bodies[j]
        dx = second.x_range[0] - first.x_range[1], second.x_range[1] - first.x_range[0]
        dy = second.y_range[0] - first.y_range[1], second.y_range[1] - first.y_range[0]
        for a, taken_a in first.poses.items():
            for b, taken_b in second.poses.items():
                unless = [t.negated() for t in (taken_a, taken_b) if t is not None]
                contact = self.stage.contact(a, b)
                now = (a, b) == (self.start.pose[i], self.start.pose[j])
                for group in undecided(contact, dx, dy):
                    rows = self._rows(contact, group, dx, dy, i, j)
                    literals = [self._literal(contact, row, first, second) for row in rows]
                    self.model.add_bool_or([*literals, *unless])
                    if now and literals:
                        self._hint(contact, rows, literals, i, j)

    def _rows(
        self,
        contact: Contact,
        group: slice,
        dx: tuple[int, int],
        dy: tuple[int, int],
        i: int,
        j: int,
    ) -> list[int]:
        """Half-planes of a group that can hold, thinned to those that matter."""
        greatest = _greatest(contact, group, dx, dy)
        rows = np.arange(group.start, group.stop)[greatest >= contact.offsets[group]]
        if self.half_planes is None or len(rows) <= self.half_planes:
            return [int(r) for r in rows]
        angle = np.arctan2(contact.normals[rows, 1], contact.normals[rows, 0])
        spread = np.argsort(angle)[np.linspace(0, len(rows) - 1, self.half_planes).astype(int)]
        clearance = contact.clearance(*self._offset(i, j))[rows]
        return sorted({int(rows[k]) for k in spread} | {int(rows[np.argmax(clearance)])})

    def _literal(self, contact: Contact, row: int, first: _Body, second: _Body) -> cp_model.IntVar:
        """A literal that forces one half-plane to hold."""
        literal = self.model.new_bool_var("")
        nx, ny = (int(n) for n in contact.normals[row])
        apart = nx * (second.x - first.x) + ny * (second.y - first.y)
        self.model.add(apart >= int(contact.offsets[row])).only_enforce_if(literal)
        return literal

    def _hint(
        self, contact: Contact, rows: list[int], literals: list[cp_model.IntVar], i: int, j: int
    ) -> None:
        clearest = int(np.argmax(contact.clearance(*self._offset(i, j))[rows]))
        for k, literal in enumerate(literals):
            self.model.add_hint(literal, k == clearest)

    def _offset(self, i: int, j: int) -> tuple[int, int]:
        start = self.start
        return int(start.x[j] - start.x[i]), int(start.y[j] - start.y[i])

    def _keep_bundles(self) -> None:
        """Pieces of one bundle point the same way."""
        for members in self.stage.bundles.values():
            second_way = self.model.new_bool_var("")
            for i in members:
                for p, taken in self.bodies[i].poses.items():
                    ways = self.stage.poses[p].ways()
                    if len(ways) == 1:
                        unless = [] if taken is None else [taken.negated()]
                        way = second_way if 1 in ways else second_way.negated()
                        self.model.add_bool_or([*unless, way])

    def _minimise(self) -> None:
        """Shortest strip first; then everything that moves as near to its start as can be."""
        end = self.model.new_int_var(0, self.length, "end")
        for body in self.bodies:
            self.model.add(end >= body.x + body.length)
        self.model.add_hint(end, self.length)
        ends = [part for i in self.moving for part in (self.bodies[i].x, self.bodies[i].length)]
        self.model.minimize(2 * len(self.moving) * end + cp_model.LinearExpr.sum(ends))


def undecided(contact: Contact, dx: tuple[int, int], dy: tuple[int, int]) -> list[slice]:
    """Groups of a contact that offsets within the ranges dx, dy do not settle as free."""
    nx, ny = contact.normals[:, 0], contact.normals[:, 1]
    least = np.minimum(nx * dx[0], nx * dx[1]) + np.minimum(ny * dy[0], ny * dy[1])
    free = np.maximum.reduceat(least - contact.offsets, contact.starts[:-1]) >= 0
    groups = contact.groups()
    return [groups[g] for g in np.flatnonzero(~free)]


def _greatest(
    contact: Contact, group: slice, dx: tuple[int, int], dy: tuple[int, int]
) -> NDArray[np.int64]:
    """Greatest normal·offset of each half-plane over the ranges."""
    nx, ny = contact.normals[group, 0], contact.normals[group, 1]
    greatest = np.maximum(nx * dx[0], nx * dx[1]) + np.maximum(ny * dy[0], ny * dy[1])
    return np.asarray(greatest)


def run(
    solver: cp_model.CpSolver,
    model: cp_model.CpModel,
    work: float,
    seconds: float,
    over: Callable[[], bool],
) -> cp_model.CpSolverStatus:
    """Solve on one thread within ``work`` (deterministic time) and ``seconds``."""
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False  # Ctrl-C belongs to the caller
    solver.parameters.max_deterministic_time = work
    if seconds < math.inf:
        solver.parameters.max_time_in_seconds = max(0.01, seconds)
    with _stopped_when(over, solver.stop_search):
        return solver.solve(model)


@contextmanager
def _stopped_when(over: Callable[[], bool], stop: Callable[[], None]) -> Iterator[None]:
    """Watch from another thread, and stop a solver when its time is over."""
    done = threading.Event()

    def watch() -> None:
        while not done.wait(0.05):
            if over():
                stop()

    watcher = threading.Thread(target=watch, daemon=True)
    watcher.start()
    try:
        yield
    finally:
        done.set()
        watcher.join()
