"""The offsets at which two outlines overlap.

For convex parts P of A and Q of B, let v = position of B - position of A. The
parts overlap if and only if n·v < c for every half-plane (n, c), where n runs
over the outward edge normals of P and the reversed ones of Q, and c is the
greatest n·p over P minus the least n·q over Q (the Minkowski sum of P and -Q
as half-planes; separating axis theorem). A and B overlap if any pair of their
parts overlaps. Where n·v = c they touch, which is allowed.

Everything is exact on 64-bit integers for coordinates up to 1 km.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from nesting.geometry.decomposition import Ring

Integers = NDArray[np.int64]


class Parts:
    """Convex rings of one outline, prepared for `contact`.

    ``vertices`` and ``normals`` (outward, of the edge that starts at the
    vertex, divided by their common divisor) have shape (n, 2). ``starts`` is
    the index of the first vertex of each part; ``part`` and ``place`` are the
    part that a vertex belongs to and its index within that part. ``supports``
    is normal·vertex, the farthest that the part reaches along that normal.
    ``least_corners`` and ``greatest_corners`` (parts, 2) are the parts' boxes.
    """

    def __init__(self, rings: Sequence[Ring]) -> None:
        self.count = len(rings)
        self.vertices: Integers = np.vstack([np.array(ring, dtype=np.int64) for ring in rings])
        self.starts: Integers = np.cumsum([0, *(len(ring) for ring in rings)])
        self.sizes: Integers = np.diff(self.starts)
        self.part: Integers = np.repeat(np.arange(self.count), self.sizes)
        self.place: Integers = np.arange(len(self.vertices)) - self.starts[self.part]
        self.normals: Integers = np.vstack([_normals(np.array(ring)) for ring in rings])
        self.supports: Integers = (self.normals * self.vertices).sum(axis=1)
        self.least_corners: Integers = np.minimum.reduceat(self.vertices, self.starts[:-1])
        self.greatest_corners: Integers = np.maximum.reduceat(self.vertices, self.starts[:-1])

    def least(self, normals: Integers) -> Integers:
        """Least normal·vertex over each part, shape (normals, parts)."""
        return np.minimum.reduceat(normals @ self.vertices.T, self.starts[:-1], axis=1)


@dataclass(frozen=True)
class Contact:
    """Half-planes of two outlines, grouped by pair of convex parts.

    Group g is rows ``starts[g]`` to ``starts[g + 1]`` of ``normals`` (k, 2)
    and ``offsets`` (k,); an offset v is free if every group has a row with
    normal·v >= offset. ``lengths`` are the normals' Euclidean lengths. Every
    offset outside the open box ``boxes[g]`` (least dx, least dy, greatest dx,
    greatest dy) is free in group g.
    """

    normals: Integers
    offsets: Integers
    lengths: NDArray[np.float64]
    starts: Integers
    boxes: Integers

    @cached_property
    def reversed(self) -> "Contact":
        """The contact of the same outlines in the other order."""
        boxes = np.ascontiguousarray(-self.boxes[:, [2, 3, 0, 1]])
        return Contact(-self.normals, self.offsets, self.lengths, self.starts, boxes)

    def groups(self) -> list[slice]:
        """Rows of each pair of parts."""
        return [slice(a, b) for a, b in zip(self.starts[:-1], self.starts[1:], strict=True)]

    def free(self, dx: int, dy: int) -> bool:
        """Whether the outlines do not overlap at the offset (dx, dy), exactly."""
        slack = self.normals[:, 0] * dx + self.normals[:, 1] * dy - self.offsets
        return bool((np.maximum.reduceat(slack, self.starts[:-1]) >= 0).all())

    def clearance(self, dx: float, dy: float) -> NDArray[np.float64]:
        """Signed distance of the offset from each half-plane's edge, shape (k,)."""
        slack = self.normals[:, 0] * dx + self.normals[:, 1] * dy - self.offsets
        return np.asarray(slack / self.lengths)


def contact(a: Parts, b: Parts) -> Contact:
    """Half-planes of outline B around outline A, one group for each pair of parts."""
    of_a = a.supports[:, None] - b.least(a.normals)
    of_b = b.supports[:, None] - a.least(b.normals)
    sizes = a.sizes[:, None] + b.sizes[None, :]
    starts = np.concatenate([[0], np.cumsum(sizes)])
    first = starts[:-1].reshape(sizes.shape)
    # rows of each group: the edges of A's part, then those of B's
    rows_a = first[a.part] + a.place[:, None]
    rows_b = (first + a.sizes[:, None]).T[b.part] + b.place[:, None]
    normals, offsets = (
        np.empty((starts[-1], 2), dtype=np.int64),
        np.empty(starts[-1], dtype=np.int64),
    )
    normals[rows_a], offsets[rows_a] = a.normals[:, None, :], of_a
    normals[rows_b], offsets[rows_b] = -b.normals[:, None, :], of_b
    lengths = np.hypot(normals[:, 0], normals[:, 1])
    least = (a.least_corners[:, None] - b.greatest_corners[None, :]).reshape(-1, 2)
    greatest = (a.greatest_corners[:, None] - b.least_corners[None, :]).reshape(-1, 2)
    return Contact(normals, offsets, lengths, starts, np.hstack([least, greatest]))


def _normals(ring: Integers) -> Integers:
    """Outward normals of an anticlockwise ring's edges, in lowest terms, shape (n, 2)."""
    edges = np.roll(ring, -1, axis=0) - ring
    divisor = np.gcd(edges[:, 0], edges[:, 1])
    return np.asarray(np.column_stack([edges[:, 1], -edges[:, 0]]) // divisor[:, None])
