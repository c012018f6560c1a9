"""Push pieces together: a linear program over the half-planes they touch.

With one half-plane chosen for every near pair of parts the positions are
continuous variables of a small linear program: shortest strip, no overlap
(Li and Milenkovic 1995, compaction and separation, cited from memory). The
half-planes are those with most clearance now; after each solve they are
chosen again, until nothing is gained. Small overlaps are allowed at the
start: the same program takes them apart.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from ortools.linear_solver import pywraplp

from nesting.packing.stage import Arrangement, Stage

Floats = NDArray[np.float64]

#: Rounds of choosing half-planes and solving; a handful converges.
ROUNDS = 8

#: A round must shorten the strip by this share of the trust box to be followed by another.
GAIN = 1e-3

#: Grid units of remaining overlap that are the solver's own rounding.
_NOISE = 1e-3


@dataclass(frozen=True)
class _Row:
    """One chosen half-plane: normal·(position of j - position of i) >= offset."""

    i: int
    j: int
    nx: float
    ny: float
    offset: float


def compact(
    stage: Stage, start: Arrangement, trust: int, rounds: int = ROUNDS
) -> Arrangement | None:
    """Shortest arrangement within reach of ``start``; poses stay as they are.

    ``trust`` is how far a piece may move in one round, in grid units. Never
    longer than a valid ``start``; None when overlaps could not be taken apart.
    """
    x, y = start.x.astype(np.float64), start.y.astype(np.float64)
    length = float((x + stage.length[start.pose]).max())
    best = start if stage.is_valid(start) else None
    for _ in range(rounds):
        solved = _solve(stage, start.pose, x, y, trust)
        if solved is None:
            break
        x, y, overlap = solved
        if overlap > _NOISE:
            continue
        rounded = Arrangement(
            start.pose, np.floor(x + 1e-4).astype(np.int64), np.floor(y + 1e-4).astype(np.int64)
        )
        if not stage.is_valid(rounded):
            break
        if best is None or stage.used_length(rounded) <= stage.used_length(best):
            best = rounded
        shorter = float((x + stage.length[start.pose]).max())
        if length - shorter < GAIN * trust:
            break
        length = shorter
    return best


def _solve(
    stage: Stage, pose: NDArray[np.int64], x: Floats, y: Floats, trust: int
) -> tuple[Floats, Floats, float] | None:
    """One linear program: new positions and the overlap that is left."""
    solver = pywraplp.Solver.CreateSolver("GLOP")
    lengths = stage.length[pose].astype(float).tolist()
    tops = (stage.width - stage.height[pose]).astype(float).tolist()
    n = len(x)
    at, low = x.tolist(), y.tolist()
    xs = [solver.NumVar(max(0.0, at[i] - trust), at[i] + trust, "") for i in range(n)]
    ys = [
        solver.NumVar(
            max(0.0, min(low[i] - trust, tops[i])), max(0.0, min(low[i] + trust, tops[i])), ""
        )
        for i in range(n)
    ]
    end = solver.NumVar(0.0, solver.infinity(), "")
    objective = solver.Objective()
    objective.SetCoefficient(end, 1.0)
    for i in range(n):
        row = solver.RowConstraint(float(lengths[i]), solver.infinity(), "")
        row.SetCoefficient(end, 1.0)
        row.SetCoefficient(xs[i], -1.0)
        objective.SetCoefficient(xs[i], 0.02 / n)
    slacks = []
    for r in _rows(stage, pose, x, y, trust):
        row = solver.RowConstraint(r.offset, solver.infinity(), "")
        row.SetCoefficient(xs[r.j], r.nx)
        row.SetCoefficient(xs[r.i], -r.nx)
        row.SetCoefficient(ys[r.j], r.ny)
        row.SetCoefficient(ys[r.i], -r.ny)
        if r.nx * (x[r.j] - x[r.i]) + r.ny * (y[r.j] - y[r.i]) < r.offset:
            slack = solver.NumVar(0.0, solver.infinity(), "")
            row.SetCoefficient(slack, 1.0)
            objective.SetCoefficient(slack, 10.0)
            slacks.append(slack)
    objective.SetMinimization()
    if solver.Solve() != pywraplp.Solver.OPTIMAL:
        return None
    overlap = max((s.solution_value() for s in slacks), default=0.0)
    return (
        np.array([v.solution_value() for v in xs]),
        np.array([v.solution_value() for v in ys]),
        overlap,
    )


def _rows(stage: Stage, pose: NDArray[np.int64], x: Floats, y: Floats, trust: int) -> list[_Row]:
    """The half-plane with most clearance of every pair of parts that can meet."""
    rows = []
    here = Arrangement(pose, np.floor(x).astype(np.int64), np.floor(y).astype(np.int64))
    for i, j in stage.near_pairs(here, stage.reach + 2 * trust + 2):
        dx, dy = float(x[j] - x[i]), float(y[j] - y[i])
        contact = stage.contact(int(pose[i]), int(pose[j]))
        clearance = contact.clearance(dx, dy)
        most = np.maximum.reduceat(clearance, contact.starts[:-1])
        for group in np.flatnonzero(most < 3 * trust):
            first, last = contact.starts[group], contact.starts[group + 1]
            k = first + int(np.argmax(clearance[first:last]))
            nx, ny = (contact.normals[k] / contact.lengths[k]).tolist()
            offset = float(contact.offsets[k] / contact.lengths[k]) + _margin(nx, ny)
            rows.append(_Row(i, j, nx, ny, offset))
    return rows


def _margin(nx: float, ny: float) -> float:
    """What rounding both positions down may cost a half-plane.

    Nothing along an axis, where rounding keeps whole differences whole;
    otherwise up to one unit in each coordinate.
    """
    return 0.0 if nx == 0 or ny == 0 else abs(nx) + abs(ny)
