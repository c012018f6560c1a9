"""Half-planes in flat arrays, in the form the compiled loops read."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from nesting.geometry.contact import Contact

Integers = NDArray[np.int64]


class HalfPlanes(NamedTuple):
    """The contacts of all pairs of poses, one after another.

    ``groups[a, b]`` holds the first and the last (exclusive) row of ``starts``
    and ``boxes`` for pose ``b`` around pose ``a``, where a <= b; the other
    arrays are those of `Contact`.
    """

    groups: Integers
    starts: Integers
    boxes: Integers
    normals: Integers
    offsets: Integers
    lengths: NDArray[np.float64]


def half_planes_of(contact: Contact) -> HalfPlanes:
    """The half-planes of one contact, as those of the pair (0, 0)."""
    groups = np.array([[[0, len(contact.boxes)]]], dtype=np.int64)
    arrays = contact.starts, contact.boxes, contact.normals, contact.offsets, contact.lengths
    return HalfPlanes(groups, *arrays)


def half_planes_of_all(poses: int, contact: Callable[[int, int], Contact]) -> HalfPlanes:
    """The half-planes of every pose around every pose a <= b."""
    groups = np.zeros((poses, poses, 2), dtype=np.int64)
    contacts, starts, count, rows = [], [], 0, 0
    for a in range(poses):
        for b in range(a, poses):
            each = contact(a, b)
            groups[a, b] = count, count + len(each.boxes)
            contacts.append(each)
            starts.append(each.starts[:-1] + rows)
            count, rows = count + len(each.boxes), rows + len(each.offsets)
    return HalfPlanes(
        groups,
        starts=np.concatenate([*starts, [rows]]),
        boxes=np.vstack([each.boxes for each in contacts]),
        normals=np.vstack([each.normals for each in contacts]),
        offsets=np.concatenate([each.offsets for each in contacts]),
        lengths=np.concatenate([each.lengths for each in contacts]),
    )
