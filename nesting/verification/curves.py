"""Compares lines as curves: whichever end they begin at, and however they are divided."""

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from nesting.drawings.drawing import Path
from nesting.tolerances import DEPTH_MM
from nesting.verification.claims import Ring

Curves = NDArray[np.object_]

#: Index of a wanted line, index of a drawn line, and how far the two differ (mm).
Pair = tuple[int, int, float]


def run_of(path: Path) -> Ring:
    """The points of a path, the first one again at the end if it is closed."""
    points = np.array(path.points, dtype=np.float64)
    return np.vstack((points, points[:1])) if path.closed else points


def as_curves(runs: Sequence[Ring]) -> Curves:
    """Runs of points as lines; a single point becomes a line of length 0."""
    lines = [run if len(run) > 1 else np.repeat(run, 2, axis=0) for run in runs]
    if not lines:
        return np.empty(0, dtype=object)
    counts = [len(line) for line in lines]
    made: Curves = shapely.linestrings(
        np.concatenate(lines), indices=np.repeat(np.arange(len(lines)), counts)
    )
    return made


def middles(curves: Curves) -> Ring:
    """The middles of the boxes around lines, an array of shape (lines, 2)."""
    boxes = shapely.bounds(curves).reshape(-1, 4)
    found: Ring = (boxes[:, :2] + boxes[:, 2:]) / 2
    return found


def match(own: Curves, drawn: Curves, reach: float) -> list[Pair]:
    """Pairs of lines that differ by no more than ``reach``, nearest first, each line in one."""
    tree = shapely.STRtree(shapely.points(middles(drawn)))
    # middles of boxes differ by at most the square root of two times as much as the lines
    mine, theirs = tree.query(
        shapely.points(middles(own)), predicate="dwithin", distance=1.5 * reach
    )
    off = _distances(own[mine], drawn[theirs])
    pairs: list[Pair] = []
    taken: tuple[set[int], set[int]] = set(), set()
    for index in np.argsort(off, kind="stable"):
        one, other = int(mine[index]), int(theirs[index])
        if off[index] <= reach and one not in taken[0] and other not in taken[1]:
            taken[0].add(one)
            taken[1].add(other)
            pairs.append((one, other, float(off[index])))
    return pairs


def _distances(lines: Curves, others: Curves) -> NDArray[np.float64]:
    """How far each line differs from another, by their vertices where that is next to nothing."""
    off = _vertex_distances(lines, others)
    far = off > DEPTH_MM
    # densify adds the middles of sides, so that a ring does not match one with a side missing
    off[far] = shapely.hausdorff_distance(lines[far], others[far], densify=0.5)
    return off


def _vertex_distances(lines: Curves, others: Curves) -> NDArray[np.float64]:
    """Greatest distance between vertices one by one; infinite if one line has more of them.

    Lines are never farther apart than that, and it is found much faster.
    """
    counts = shapely.get_num_coordinates(lines)
    off = np.full(len(lines), np.inf)
    alike = counts == shapely.get_num_coordinates(others)
    if alike.any():
        apart = shapely.get_coordinates(lines[alike]) - shapely.get_coordinates(others[alike])
        firsts = np.cumsum(counts[alike]) - counts[alike]
        off[alike] = np.maximum.reduceat(np.hypot(*apart.T), firsts)
    return off


def match_joined(own: Curves, drawn: Curves, allowed: float) -> list[Pair]:
    """Pairs of lines that are drawn as one with others that they meet end to end.

    If two neighbours touch where a plotter feeds its paper, two notches that
    meet there are read as one stroke: the file does not show that they are not
    a line that was split.
    """
    pairs: list[Pair] = []
    tree = shapely.STRtree(own)
    around = shapely.buffer(drawn, allowed)
    for index, line in enumerate(drawn):
        parts = tree.query(around[index], predicate="covers")
        total = shapely.length(own[parts]).sum()
        if len(parts) > 1 and abs(total - line.length) <= 2 * allowed * len(parts):
            pairs += [(int(part), index, 0.0) for part in parts]
    return pairs
