"""Which pieces of cloth to use, and what is cut from which shade: chosen by CP-SAT.

Only areas, prices and what fits where decide here; whether panels really fit
their pieces is for the packer to answer. An answer too good to be true leads to
another question, with less room (`nesting.planning.pieces`).
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from ortools.sat.python import cp_model

from nesting.packing.cpsat.solving import run
from nesting.packing.running import uninterrupted

#: Work of one solve, in CP-SAT's deterministic time.
_WORK: Final = 4.0

#: Costs are counted in such a part of their unit, so that a little area costs something.
_FINER: Final = 1_000_000


@dataclass(frozen=True)
class Lot:
    """Panels that are cut from one shade: those of one copy of an item, say.

    ``count`` equal lots are to be cut. ``area`` is that of one; ``panels`` are the
    numbers of its panels, for `Ground.fits`.
    """

    count: int
    area: int
    panels: frozenset[int]


@dataclass(frozen=True)
class Ground:
    """One piece of cloth: the area of panels that it holds, and what using it costs.

    An ``endless`` one holds any area, and ``cost`` is that of as much of it as
    holds ``room``. ``fits`` are the panels that can lie on it.
    """

    shade: str
    room: int
    cost: int
    fits: frozenset[int]
    endless: bool = False


@dataclass(frozen=True)
class Assignment:
    """The pieces that are used, by number, and how many of each lot every shade gets."""

    used: tuple[int, ...]
    counts: dict[str, tuple[int, ...]]


def assign(
    lots: Sequence[Lot],
    grounds: Sequence[Ground],
    interrupted: Callable[[], bool] = uninterrupted,
) -> Assignment | None:
    """The cheapest assignment that is found within fixed work; None if there is none.

    Among equally cheap ones, one that uses least of the endless pieces.
    """
    model = cp_model.CpModel()
    used = [model.new_bool_var(f"use {index}") for index in range(len(grounds))]
    taken = _taken(model, grounds, used, lots)
    shades = tuple(dict.fromkeys(ground.shade for ground in grounds))
    counts = {
        shade: [model.new_int_var(0, lot.count, f"{shade}: {i}") for i, lot in enumerate(lots)]
        for shade in shades
    }
    for index, lot in enumerate(lots):
        model.add(sum(counts[shade][index] for shade in shades) == lot.count)
    for shade in shades:
        here = [index for index, ground in enumerate(grounds) if ground.shade == shade]
        needed = sum(n * lot.area for n, lot in zip(counts[shade], lots, strict=True))
        model.add(needed <= sum(taken[index] for index in here))
        for index, lot in enumerate(lots):
            _must_fit(model, lot, counts[shade][index], [(grounds[i], used[i]) for i in here])
    model.minimize(sum(_cost(*each) for each in zip(grounds, used, taken, strict=True)))
    solver = cp_model.CpSolver()
    status = run(solver, model, _WORK, math.inf, interrupted)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return Assignment(
        tuple(index for index, use in enumerate(used) if solver.value(use)),
        {shade: tuple(solver.value(n) for n in counts[shade]) for shade in shades},
    )


def _taken(
    model: cp_model.CpModel,
    grounds: Sequence[Ground],
    used: Sequence[cp_model.IntVar],
    lots: Sequence[Lot],
) -> list[cp_model.LinearExprT]:
    """The area that may be cut from each piece."""
    whole = sum(lot.count * lot.area for lot in lots)
    taken: list[cp_model.LinearExprT] = []
    for index, (ground, use) in enumerate(zip(grounds, used, strict=True)):
        if ground.endless:
            area = model.new_int_var(0, whole, f"area of {index}")
            model.add(area == 0).only_enforce_if(~use)
            taken.append(area)
        else:
            taken.append(use * ground.room)
    return taken


def _must_fit(
    model: cp_model.CpModel,
    lot: Lot,
    count: cp_model.IntVar,
    pieces: Sequence[tuple[Ground, cp_model.IntVar]],
) -> None:
    """Where a lot is cut, each of its panels fits some piece that is used."""
    some = model.new_bool_var("some")
    model.add(count == 0).only_enforce_if(~some)
    for panel in sorted(lot.panels):
        model.add_bool_or([~some, *(use for ground, use in pieces if panel in ground.fits)])


def _cost(
    ground: Ground, use: cp_model.IntVar, taken: cp_model.LinearExprT
) -> cp_model.LinearExprT:
    if ground.endless:
        return taken * max(1, ground.cost * _FINER // ground.room)
    return use * ground.cost * _FINER
