"""The half-planes of all pairs of poses in flat arrays, as the compiled loops read them."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from nesting.geometry.contact import Contact

Integers = NDArray[np.int64]


class HalfPlanes:
    """Contacts of pose ``b`` around pose ``a`` for every a <= b.

    ``groups[a, b]`` are the first and the last (exclusive) row of ``starts``
    and ``boxes`` for that pair; the other arrays are those of `Contact`, one
    after another.
    """

    def __init__(self, poses: int, contact: Callable[[int, int], Contact]) -> None:
        self.groups: Integers = np.zeros((poses, poses, 2), dtype=np.int64)
        contacts, groups, rows = [], 0, 0
        starts = []
        for a in range(poses):
            for b in range(a, poses):
                each = contact(a, b)
                count = len(each.starts) - 1
                self.groups[a, b] = groups, groups + count
                contacts.append(each)
                starts.append(each.starts[:-1] + rows)
                groups, rows = groups + count, rows + len(each.offsets)
        self.starts: Integers = np.concatenate([*starts, [rows]])
        self.boxes: Integers = np.vstack([each.boxes for each in contacts])
        self.normals: Integers = np.vstack([each.normals for each in contacts])
        self.offsets: Integers = np.concatenate([each.offsets for each in contacts])
        self.lengths: NDArray[np.float64] = np.concatenate([each.lengths for each in contacts])
