"""Cuts with the ways to make them, and which cuts must wait for others."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from nesting.drawings.drawing import Path

#: Points, one per row: x and y in millimetres.
Points = NDArray[np.float64]

#: Pairs of indices of cuts: the first of each pair is made before the second.
Pairs = list[tuple[int, int]]


@dataclass(frozen=True, slots=True)
class Pass:
    """One cut and every way to make it: way i enters at ``ins[i]`` and leaves at ``outs[i]``.

    A closed cut is entered and left at one of its vertices; an open one is
    made forward (way 0) or backward (way 1).
    """

    ins: Points
    outs: Points


def pass_along(path: Path) -> Pass:
    """The ways to cut along a path."""
    points = np.array(path.points, dtype=np.float64)
    if path.closed:
        return Pass(points, points)
    ends = points[[0, -1]]
    return Pass(ends, ends[::-1])


def along(path: Path, way: int) -> Path:
    """The path in the order in which it is cut when made in one of its ways."""
    points = path.points
    if path.closed:
        return Path(path.pen, points[way:] + points[:way], closed=True)
    return Path(path.pen, points[::-1] if way else points)


def precedence(paths: Sequence[Path]) -> Pairs:
    """Pairs of each cut inside a closed cut, and that closed cut, which is made after it.

    Once a closed cut is made, the cloth inside it is loose. So a cut-out is
    made before the outline around it, and so are notches and drill marks. An
    open cut is inside if its middle is: a notch begins on the outline itself.
    """
    closed = [i for i, path in enumerate(paths) if path.closed]
    opened = [i for i, path in enumerate(paths) if not path.closed]
    rings = np.array([shapely.Polygon(paths[i].points) for i in closed], dtype=object)
    tree = shapely.STRtree(rings)
    areas = shapely.area(rings)
    nested = (
        (closed[inner], closed[outer])
        for inner, outer in tree.query(rings, predicate="within").T
        if areas[inner] < areas[outer]
    )
    middles = shapely.points(np.reshape([_middle(paths[i]) for i in opened], (-1, 2)))
    marked = ((opened[i], closed[j]) for i, j in tree.query(middles, predicate="within").T)
    return sorted((*nested, *marked))


def _middle(path: Path) -> Points:
    points = np.array(path.points, dtype=np.float64)
    middle: Points = (points[(len(points) - 1) // 2] + points[len(points) // 2]) / 2
    return middle
