"""Tables of overlap depth between poses, on a grid of cells."""

import numpy as np
from numpy.typing import NDArray

from nesting.packing import kernels
from nesting.packing.stage import Stage

#: Cells across the strip.
CELLS_ACROSS = 200

#: Cells of overlap that count as free: compaction takes them apart.
SLACK = 0.4


class Tables:
    """Depth of every pair of poses at every offset, in the form the kernels read.

    ``pitch`` is the cell in grid units. See `kernels` for the arrays.
    """

    def __init__(self, stage: Stage, pitch: int | None = None) -> None:
        self.stage = stage
        self.pitch = pitch or max(1, stage.width // CELLS_ACROSS)
        n = len(stage.poses)
        self.size = np.zeros((n, n, 2), dtype=np.int64)
        self.origin = np.zeros((n, n, 2), dtype=np.int64)
        flat = [self._table(a, b).ravel() for a in range(n) for b in range(n)]
        self.start = np.cumsum([0, *(len(t) for t in flat[:-1])]).reshape(n, n)
        self.depths: NDArray[np.float32] = np.concatenate(flat)

    @property
    def find(
        self,
    ) -> tuple[NDArray[np.float32], NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]]:
        """The last four arguments of most kernels."""
        return self.depths, self.start, self.size, self.origin

    def _table(self, a: int, b: int) -> NDArray[np.float32]:
        stage, h, s = self.stage, self.pitch, kernels.S
        extent_a = np.array([stage.length[a], stage.height[a]])
        extent_b = np.array([stage.length[b], stage.height[b]])
        origin = -((extent_b + stage.reach) // h + 1)
        size = -(-((extent_a + stage.reach) // h + 2 - origin) // s)
        self.origin[a, b], self.size[a, b] = origin, size
        table = np.zeros((s, s, *size), dtype=np.float32)
        c = stage.contact(a, b)
        kernels.deepen(table, origin, c.normals, c.offsets, c.lengths, c.starts, float(h), SLACK)
        return table

    def cells(self, length: int) -> NDArray[np.int64]:
        """Positions of each pose along and across a strip, shape (poses, 2)."""
        stage = self.stage
        room = np.stack([length - stage.length, stage.width - stage.height], axis=1)
        return np.floor(room / self.pitch + SLACK).astype(np.int64) + 1
