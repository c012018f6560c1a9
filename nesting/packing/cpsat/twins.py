"""Identical pieces; models keep them in order, since exchanging them changes nothing."""

from itertools import pairwise

import numpy as np

from nesting.packing.stage import Arrangement, Stage


def identical(stage: Stage) -> list[list[int]]:
    """Groups of pieces that may be exchanged: of the same shape and in the same bundle."""
    classes: dict[tuple[int, int | None], list[int]] = {}
    for i, piece in enumerate(stage.problem.pieces):
        classes.setdefault((piece.shape, piece.bundle), []).append(i)
    return list(classes.values())


def identical_in_order(stage: Stage, arrangement: Arrangement) -> Arrangement:
    """The same arrangement with identical pieces numbered along the strip."""
    pose, x, y = arrangement.pose.copy(), arrangement.x.copy(), arrangement.y.copy()
    for pieces in identical(stage):
        order = [pieces[k] for k in np.argsort(x[pieces], kind="stable")]
        pose[pieces], x[pieces], y[pieces] = pose[order], x[order], y[order]
    return Arrangement(pose, x, y)


def identical_neighbours(stage: Stage) -> list[tuple[int, int]]:
    """Consecutive pairs of identical pieces."""
    return [pair for pieces in identical(stage) for pair in pairwise(pieces)]
