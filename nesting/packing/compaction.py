"""Push pieces together: a linear program over the half-planes they touch.

With one half-plane chosen for every near pair of parts, the positions are
continuous variables of a small linear program: shortest strip, no overlap
(Li and Milenkovic 1995, compaction and separation, cited from memory). The
half-planes chosen are those with most clearance in the present positions;
they are chosen again after each solve, until nothing is gained. Small
overlaps are allowed at the start: the same program removes them.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from ortools.linear_solver.python.model_builder_helper import (
    ModelBuilderHelper,
    ModelSolverHelper,
    SolveStatus,
)
from scipy.sparse import csr_matrix

from nesting.packing.contact_kernels import clearest
from nesting.packing.running import uninterrupted
from nesting.packing.stage import Arrangement, Integers, Stage

Floats = NDArray[np.float64]

#: Most rounds of choosing half-planes and solving; a few are enough to converge.
ROUNDS = 8

#: Another round follows only if the last one shortened the strip by this share of ``trust``.
GAIN = 1e-3

#: Another round follows only if less than this share of the overlap of two rounds
#: before is left; otherwise the pieces are stuck.
LESS = 0.95

#: Grid units of remaining overlap that count as the solver's rounding.
_NOISE = 1e-3


#: Price of a unit of overlap, and of a unit of x of a piece (divided by the number of
#: pieces), relative to a unit of length.
_OVERLAP_PRICE, _PLACE_PRICE = 10.0, 0.02


class _Lying(NamedTuple):
    """An arrangement whose positions need not be whole grid units."""

    pose: Integers
    x: Floats
    y: Floats


@dataclass(frozen=True)
class _Rows:
    """Chosen half-planes: normal·(position of second - position of first) >= offset, all (k,).

    The first is a piece, the second a piece or, with a number beyond all
    pieces, a body.
    """

    first: Integers
    second: Integers
    nx: Floats
    ny: Floats
    offset: Floats


def compact(
    stage: Stage, start: Arrangement, trust: int, over: Callable[[], bool] = uninterrupted
) -> Arrangement | None:
    """Shortest arrangement within reach of ``start``; poses stay as they are.

    ``trust`` is how far a piece may move in one round, in grid units. ``over``
    is asked before each round and may end the work there. The result is never
    longer than a valid ``start``; None when overlaps could not be removed.
    """
    x, y = start.x.astype(np.float64), start.y.astype(np.float64)
    length = float((x + stage.length[start.pose]).max())
    best = start if stage.is_clear(start) else None
    earlier, last = np.inf, np.inf
    for _ in range(ROUNDS):
        if over():
            break
        solved = _solve(stage, start.pose, x, y, trust)
        if solved is None:
            break
        x, y, overlap = solved
        if overlap > _NOISE:
            if overlap > LESS * earlier:
                break
            earlier, last = last, overlap
            continue
        rounded = Arrangement(
            start.pose, np.floor(x + 1e-4).astype(np.int64), np.floor(y + 1e-4).astype(np.int64)
        )
        if not stage.is_clear(rounded):
            break
        if best is None or stage.used_length(rounded) <= stage.used_length(best):
            best = rounded
        shorter = float((x + stage.length[start.pose]).max())
        if length - shorter < GAIN * trust:
            break
        length = shorter
    return best


def _solve(
    stage: Stage, pose: Integers, x: Floats, y: Floats, trust: int
) -> tuple[Floats, Floats, float] | None:
    """One linear program: new positions and the overlap that is left.

    Columns are x and y of each piece, the end of the strip, and the overlap
    left in each half-plane that does not hold yet; rows are the ends of the
    pieces and the half-planes.
    """
    n = len(x)
    both = zip((pose, x, y), stage.still, strict=True)
    lying = _Lying(*(np.concatenate(each) for each in both))
    rows = _rows(stage, lying, trust)
    dx = lying.x[rows.second] - lying.x[rows.first]
    dy = lying.y[rows.second] - lying.y[rows.first]
    short = np.flatnonzero(rows.nx * dx + rows.ny * dy < rows.offset)
    moves = rows.second < n
    of_bodies = rows.nx * lying.x[rows.second] + rows.ny * lying.y[rows.second]
    offset = np.where(moves, rows.offset, rows.offset - of_bodies)
    tops = stage.width - stage.height[pose]
    least = np.concatenate([x - trust, np.clip(y - trust, 0, tops), np.zeros(1 + len(short))])
    most = np.concatenate([x + trust, np.clip(y + trust, 0, tops), np.full(1 + len(short), np.inf)])
    price = np.zeros(len(least))
    price[:n], price[2 * n], price[2 * n + 1 :] = _PLACE_PRICE / n, 1.0, _OVERLAP_PRICE
    model, solver = ModelBuilderHelper(), ModelSolverHelper("glop")
    model.fill_model_from_sparse_data(
        np.maximum(least, 0.0),
        most,
        price,
        np.concatenate([stage.length[pose].astype(np.float64), offset]),
        np.full(n + len(offset), np.inf),
        _matrix(rows, moves, n, short),
    )
    solver.solve(model)
    if not solver.has_response() or solver.status() != SolveStatus.OPTIMAL:
        return None
    values = np.asarray(solver.variable_values())
    return values[:n], values[n : 2 * n], float(values[2 * n + 1 :].max(initial=0.0))


def _matrix(rows: _Rows, moves: NDArray[np.bool_], n: int, short: Integers) -> csr_matrix:
    """Coefficients of the linear program; ``moves`` marks the rows whose second is a piece."""
    k, pieces = len(rows.offset), np.arange(n)
    end, at, half = np.full(n, 2 * n), np.arange(k) + n, np.ones(len(short))
    parts = [
        (pieces, pieces, -np.ones(n)),
        (pieces, end, np.ones(n)),
        (at[moves], rows.second[moves], rows.nx[moves]),
        (at, rows.first, -rows.nx),
        (at[moves], rows.second[moves] + n, rows.ny[moves]),
        (at, rows.first + n, -rows.ny),
        (short + n, np.arange(len(short)) + 2 * n + 1, half),
    ]
    row, column, value = (np.concatenate(each) for each in zip(*parts, strict=True))
    return csr_matrix((value, (row, column)), shape=(n + k, 2 * n + 1 + len(short)))


def _rows(stage: Stage, lying: _Lying, trust: int) -> _Rows:
    """For every pair of parts that can meet, the half-plane with most clearance."""
    pose, x, y = lying
    here = Arrangement(pose, np.floor(x).astype(np.int64), np.floor(y).astype(np.int64))
    first, second = stage.near_pairs(here, stage.reach + 3 * trust + 2)
    planes, room = stage.half_planes, 16 * len(first) + 16
    while True:
        row, pair = np.empty(room, dtype=np.int64), np.empty(room, dtype=np.int64)
        found = clearest(first, second, lying, 3.0 * trust, planes, row, pair)
        if found >= 0:
            break
        room *= 2
    row, pair = row[:found], pair[:found]
    lower = pose[first] <= pose[second]
    i, j = np.where(lower, first, second)[pair], np.where(lower, second, first)[pair]
    nx, ny = (planes.normals[row] / planes.lengths[row, None]).T
    return _Rows(i, j, nx, ny, planes.offsets[row] / planes.lengths[row] + _margin(nx, ny))


def _margin(nx: Floats, ny: Floats) -> Floats:
    """How much clearance a half-plane may lose when both positions are rounded down.

    Nothing for normals along an axis, where rounding keeps whole differences
    whole; otherwise up to one unit in each coordinate.
    """
    return np.where((nx == 0) | (ny == 0), 0.0, np.abs(nx) + np.abs(ny))
