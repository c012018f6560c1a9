"""Tables of overlap depth between poses, on a grid of cells."""

from itertools import combinations_with_replacement

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt

from nesting.packing.guided import kernels
from nesting.packing.half_planes import half_planes_of
from nesting.packing.stage import Integers, Stage

#: Cells across the strip.
CELLS_ACROSS = 128

#: Depth of overlap, in cells, that counts as free: compaction removes it.
SLACK = 0.05

#: How much nearer the edge of an overlap may be than the nearest free cell, in cells.
_TO_FREE_CELL = 0.75

#: Depth in the tables where no parts are near each other.
_APART = -2.0

Floats = NDArray[np.float32]


class Tables:
    """Depth of every pair of poses at every offset, in the form the kernels read.

    Within one pair of convex parts, depth is the distance to the edge of the
    nearest half-plane. Where several pairs overlap, this edge may lie inside
    the overlap of another pair; there the distance to the nearest free cell
    counts if it is greater. A pair of bodies has no table. ``pitch`` is the
    size of a cell in grid units. See `kernels` for the arrays.
    """

    def __init__(self, stage: Stage, pitch: int | None = None) -> None:
        self.stage = stage
        self.pitch = pitch or max(1, stage.width // CELLS_ACROSS)
        pieces, n = len(stage.poses), len(stage.poses) + len(stage.bodies)
        size = np.zeros((n, n, 2), dtype=np.int64)
        origin = np.zeros((n, n, 2), dtype=np.int64)
        start = np.zeros((n, n), dtype=np.int64)
        flat: list[Floats] = []
        filled = 0
        for a, b in combinations_with_replacement(range(n), 2):
            if b >= pieces and not len(stage.contact(a, b).boxes):
                continue  # two bodies, or a body that is open to the piece
            first, table = self._table(a, b)
            # Seen from b, each offset is negated.
            origin[b, a], origin[a, b] = 1 - first - table.shape, first
            seen = [(a, b, table)] if b < pieces else []  # bodies never move
            seen += [(b, a, table[::-1, ::-1])] if a != b else []
            for one, other, each in seen:
                size[one, other] = np.array(table.shape) // kernels.S
                start[one, other] = filled
                flat.append(each)
                filled += table.size
        self.depths = kernels.Depths(
            plain=np.concatenate([table.ravel() for table in flat]),
            phased=np.concatenate([_by_phase(table) for table in flat]),
            start=start,
            size=size,
            origin=origin,
        )

    def priced(self, power: float) -> kernels.Depths:
        """The tables with every depth raised to a power; depths of poses apart stay negative."""
        plain, phased = (
            np.sign(each) * np.abs(each) ** np.float32(power)
            for each in (self.depths.plain, self.depths.phased)
        )
        return self.depths._replace(plain=plain, phased=phased)

    def _table(self, a: int, b: int) -> tuple[Integers, Floats]:
        """First cell of a table, and depths (u, v) of pose ``b`` in pose ``a`` from there on."""
        stage, h, s = self.stage, self.pitch, kernels.S
        extent_a = np.array([stage.length[a], stage.height[a]])
        extent_b = np.array([stage.length[b], stage.height[b]])
        origin = -((extent_b + stage.reach) // h + 2)
        size = -(-((extent_a + stage.reach) // h + 3 - origin) // s)
        table = np.full(size * s, _APART, dtype=np.float32)
        kernels.deepen(table, origin, half_planes_of(stage.contact(a, b)), float(h))
        within = distance_transform_edt(table > 0) - _TO_FREE_CELL
        deepest = np.where(table > 0, np.maximum(table, within), table)
        return origin, (deepest - SLACK).astype(np.float32)

    def positions(self, length: int) -> Integers:
        """Greatest position of each pose along and across a strip, in 1/Q of a cell, (poses, 2)."""
        stage = self.stage
        extents = (each[: len(stage.poses)] for each in (stage.length, stage.height))
        room = np.stack([length - next(extents), stage.width - next(extents)], axis=1)
        return np.floor((room / self.pitch + SLACK) * kernels.Q).astype(np.int64)


def _by_phase(table: Floats) -> Floats:
    """A plain table (u, v) in the form the coarse map reads: flat, by phase, none negative."""
    s = kernels.S
    u, v = table.shape
    phased = table.reshape(u // s, s, v // s, s).transpose(1, 3, 0, 2).ravel()
    return np.maximum(phased, np.float32(0))
