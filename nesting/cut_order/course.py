"""A course of the head: an order of the cuts, and the way in which each is made."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from nesting.cut_order.passes import Pairs, Pass, Points


@dataclass(frozen=True, slots=True)
class Course:
    """Indices of the cuts in the order of cutting, and the way in which each is made."""

    order: tuple[int, ...]
    ways: tuple[int, ...]


def travel(cuts: Sequence[Pass], course: Course, start: Points) -> float:
    """Travel of the lifted head from the start to the last cut, in millimetres."""
    made = [(cuts[i], way) for i, way in zip(course.order, course.ways, strict=True)]
    ins = np.array([start, *(one.ins[way] for one, way in made)])
    outs = np.array([start, *(one.outs[way] for one, way in made)])
    return float(np.hypot(*(ins[1:] - outs[:-1]).T).sum())


def distances(origins: Points, targets: Points) -> Points:
    """Distance from each origin (row) to each target (column)."""
    across = origins[:, None] - targets
    return np.hypot(across[..., 0], across[..., 1])


def best_ways(cuts: Sequence[Pass], order: Sequence[int], start: Points) -> Course:
    """The shortest course that makes the cuts in this order, by dynamic programming.

    For each way of each cut, it finds the least travel to reach it, and the
    way of the previous cut that gives that travel.
    """
    reached, at = np.zeros(1), start[None]
    came_from = []
    for index in order:
        through = reached[:, None] + distances(at, cuts[index].ins)
        came_from.append(through.argmin(axis=0))
        reached, at = through.min(axis=0), cuts[index].outs
    way = int(reached.argmin())
    ways = []
    for origin in reversed(came_from):
        ways.append(way)
        way = int(origin[way])
    return Course(tuple(order), tuple(reversed(ways)))


def respects(order: Sequence[int], before: Pairs) -> bool:
    """Whether an order makes the first cut of every pair before the second."""
    place = {index: at for at, index in enumerate(order)}
    return all(place[first] < place[second] for first, second in before)
