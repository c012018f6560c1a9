"""The CP-SAT model of outlines: some pieces move and turn, the others do not move.

Every pair of convex parts becomes one clause: at least one of the half-planes
in which the two are apart must hold (see `nesting.geometry.contact`). Pairs
that the ranges of the positions keep apart anyway are left out, and so are
half-planes that cannot hold. Leaving out further half-planes only forbids
offsets and never allows an overlap: a curved outline with hundreds of edges is
modelled by a dozen of them, and the answer is still exactly valid.
"""

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from ortools.sat.python import cp_model

from nesting.geometry.contact import Contact
from nesting.packing.cpsat.freedom import Freedom, Range
from nesting.packing.cpsat.solving import Answer, run
from nesting.packing.stage import Arrangement, Stage


@dataclass(frozen=True)
class _Placed:
    """A piece or body in the model: its position and ranges, and literals for its poses.

    Whatever does not move has constants in place of variables, and no literals.
    """

    x: cp_model.IntVar
    y: cp_model.IntVar
    x_range: Range
    y_range: Range
    poses: dict[int, cp_model.IntVar | None]
    length: cp_model.LinearExpr


@dataclass(frozen=True)
class _Pair:
    """Two things, the ranges of the offset from the first to the second, and the offset now."""

    first: _Placed
    second: _Placed
    dx: Range
    dy: Range
    now: tuple[int, int]


class OutlineModel:
    """Pieces that move, kept apart from each other and from whatever does not move.

    Only the pieces in ``freedoms`` move; bodies never do. ``half_planes`` is
    about how many are kept in one clause; None keeps all of them: if every
    piece is free everywhere, an optimal answer is then optimal for the whole
    problem. `push_together` or `shorten` add an objective.
    """

    def __init__(
        self,
        stage: Stage,
        start: Arrangement,
        freedoms: Mapping[int, Freedom],
        half_planes: int | None,
    ) -> None:
        self.stage, self.start, self.half_planes = stage, start, half_planes
        self.model = cp_model.CpModel()
        self.length = stage.used_length(start)
        self.moving = tuple(freedoms)
        self.lying = stage.with_bodies(start)
        self.things = [
            self._moving(i, freedoms[i]) if i in freedoms else self._still(i)
            for i in range(len(self.lying.pose))
        ]
        self._keep_apart()
        self._keep_bundles()

    def push_together(self) -> None:
        """Minimise the length of the strip, then the ends of the moving pieces along it."""
        end = self._end(0)
        self.model.add_hint(end, self.length)
        ends = [part for i in self.moving for part in (self.things[i].x, self.things[i].length)]
        self.model.minimize(2 * len(self.moving) * end + cp_model.LinearExpr.sum(ends))

    def shorten(self, bound: int) -> None:
        """Minimise the length of the strip alone; it is known to be at least ``bound``."""
        self.model.minimize(self._end(min(bound, self.length)))

    def keep_in_order(self, pairs: Iterable[tuple[int, int]]) -> None:
        """Let the second piece of each pair begin no earlier than the first."""
        for i, j in pairs:
            self.model.add(self.things[i].x <= self.things[j].x)

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
            piece = self.things[i]
            x[i], y[i] = solver.value(piece.x), solver.value(piece.y)
            pose[i] = next(p for p, t in piece.poses.items() if t is not None and solver.value(t))
        return Answer(Arrangement(pose, x, y), math.ceil(solver.best_objective_bound - 1e-6))

    def _still(self, i: int) -> _Placed:
        pose, x, y = (int(each[i]) for each in self.lying)
        constant = self.model.new_constant
        length = constant(int(self.stage.length[pose]))
        return _Placed(constant(x), constant(y), (x, x), (y, y), {pose: None}, length)

    def _moving(self, i: int, freedom: Freedom) -> _Placed:
        lengths = self.stage.length[list(freedom.poses)].tolist()
        heights = self.stage.height[list(freedom.poses)].tolist()
        chosen = {p: self.model.new_bool_var("") for p in freedom.poses}
        self.model.add_exactly_one(chosen.values())
        weighted = cp_model.LinearExpr.weighted_sum
        piece = _Placed(
            self.model.new_int_var(*freedom.x, f"x{i}"),
            self.model.new_int_var(*freedom.y, f"y{i}"),
            freedom.x,
            freedom.y,
            dict(chosen),
            weighted(list(chosen.values()), lengths),
        )
        height = weighted(list(chosen.values()), heights)
        self.model.add(piece.y + height <= self.stage.width)
        self.model.add_hint(piece.x, int(self.start.x[i]))
        self.model.add_hint(piece.y, int(self.start.y[i]))
        for p, literal in chosen.items():
            self.model.add_hint(literal, p == int(self.start.pose[i]))
        return piece

    def _keep_apart(self) -> None:
        """Add a clause for every pair of parts of which at least one moves."""
        for i in self.moving:
            for j in range(len(self.things)):
                if j not in self.moving or i < j:
                    self._keep_pair_apart(i, j)

    def _keep_pair_apart(self, i: int, j: int) -> None:
        pair, pose = self._pair(i, j), self.lying.pose
        for a, chosen_a in pair.first.poses.items():
            for b, chosen_b in pair.second.poses.items():
                unless = [c.negated() for c in (chosen_a, chosen_b) if c is not None]
                contact = self.stage.contact(a, b)
                now = (a, b) == (pose[i], pose[j])
                for group in undecided(contact, pair.dx, pair.dy):
                    rows = self._rows(contact, group, pair)
                    literals = [self._literal(contact, row, pair) for row in rows]
                    self.model.add_bool_or([*literals, *unless])
                    if now and literals:
                        self._hint(contact, rows, literals, pair)

    def _pair(self, i: int, j: int) -> _Pair:
        first, second, lying = self.things[i], self.things[j], self.lying
        dx = second.x_range[0] - first.x_range[1], second.x_range[1] - first.x_range[0]
        dy = second.y_range[0] - first.y_range[1], second.y_range[1] - first.y_range[0]
        now = int(lying.x[j] - lying.x[i]), int(lying.y[j] - lying.y[i])
        return _Pair(first, second, dx, dy, now)

    def _rows(self, contact: Contact, group: slice, pair: _Pair) -> list[int]:
        """Half-planes of a group that can hold; if too many, some spread over all directions."""
        greatest = _greatest(contact, group, pair.dx, pair.dy)
        rows = np.arange(group.start, group.stop)[greatest >= contact.offsets[group]]
        if self.half_planes is None or len(rows) <= self.half_planes:
            return [int(r) for r in rows]
        angle = np.arctan2(contact.normals[rows, 1], contact.normals[rows, 0])
        spread = np.argsort(angle)[np.linspace(0, len(rows) - 1, self.half_planes).astype(int)]
        clearance = contact.clearance(*pair.now)[rows]
        return sorted({int(rows[k]) for k in spread} | {int(rows[np.argmax(clearance)])})

    def _literal(self, contact: Contact, row: int, pair: _Pair) -> cp_model.IntVar:
        """A literal that forces one half-plane to hold."""
        literal = self.model.new_bool_var("")
        nx, ny = (int(n) for n in contact.normals[row])
        first, second = pair.first, pair.second
        apart = nx * (second.x - first.x) + ny * (second.y - first.y)
        self.model.add(apart >= int(contact.offsets[row])).only_enforce_if(literal)
        return literal

    def _hint(
        self, contact: Contact, rows: list[int], literals: list[cp_model.IntVar], pair: _Pair
    ) -> None:
        clearest = int(np.argmax(contact.clearance(*pair.now)[rows]))
        for k, literal in enumerate(literals):
            self.model.add_hint(literal, k == clearest)

    def _keep_bundles(self) -> None:
        """Let the pieces of each bundle point the same way."""
        for members in self.stage.bundles.values():
            second_way = self.model.new_bool_var("")
            for i in members:
                for p, chosen in self.things[i].poses.items():
                    ways = self.stage.poses[p].ways()
                    if len(ways) == 1:
                        unless = [] if chosen is None else [chosen.negated()]
                        way = second_way if 1 in ways else second_way.negated()
                        self.model.add_bool_or([*unless, way])

    def _end(self, least: int) -> cp_model.IntVar:
        """A variable for the end of the strip, which no piece passes."""
        end = self.model.new_int_var(least, self.length, "end")
        for piece in self.things[: len(self.start.pose)]:
            self.model.add(end >= piece.x + piece.length)
        return end


def undecided(contact: Contact, dx: Range, dy: Range) -> list[slice]:
    """Groups of a contact that may overlap at some offset within the ranges dx, dy."""
    nx, ny = contact.normals[:, 0], contact.normals[:, 1]
    least = np.minimum(nx * dx[0], nx * dx[1]) + np.minimum(ny * dy[0], ny * dy[1])
    free = np.maximum.reduceat(least - contact.offsets, contact.starts[:-1]) >= 0
    groups = contact.groups()
    return [groups[g] for g in np.flatnonzero(~free)]


def _greatest(contact: Contact, group: slice, dx: Range, dy: Range) -> NDArray[np.int64]:
    """Greatest normal·offset of each half-plane of a group over the ranges dx, dy."""
    nx, ny = contact.normals[group, 0], contact.normals[group, 1]
    greatest = np.maximum(nx * dx[0], nx * dx[1]) + np.maximum(ny * dy[0], ny * dy[1])
    return np.asarray(greatest)
