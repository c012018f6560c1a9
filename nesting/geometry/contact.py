"""One fact about two outlines: at which offsets they overlap.

For convex parts P of A and Q of B the offset v = position of B - position of
A overlaps if and only if n·v < c for every half-plane (n, c), where n runs
over the outward edge normals of P and the reversed ones of Q, and c is the
greatest n·p over P less the least n·q over Q (the Minkowski sum of P and -Q
as half-planes; separating axis theorem). A and B overlap when some pair of
parts does. n·v = c is touching, and touching is allowed.

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
    """Convex rings of one outline, ready to be brought in contact.

    ``vertices`` and ``normals`` (outward, of the edge that starts at the
    vertex, divided by their common divisor) are (n, 2); ``starts`` says where
    each part begins; ``supports`` is normal·vertex, the farthest the part
    reaches along that normal.
    """

    def __init__(self, rings: Sequence[Ring]) -> None:
        self.count = len(rings)
        self.vertices: Integers = np.vstack([np.array(ring, dtype=np.int64) for ring in rings])
        self.starts: Integers = np.cumsum([0, *(len(ring) for ring in rings)])
        self.normals: Integers = np.vstack([_normals(np.array(ring)) for ring in rings])
        self.supports: Integers = (self.normals * self.vertices).sum(axis=1)

    def least(self, normals: Integers) -> Integers:
        """Least normal·vertex over each part, shape (normals, parts)."""
        return np.minimum.reduceat(normals @ self.vertices.T, self.starts[:-1], axis=1)


@dataclass(frozen=True)
class Contact:
    """Half-planes of two outlines, grouped by pair of convex parts.

    Group g is rows ``starts[g]`` to ``starts[g + 1]`` of ``normals`` (k, 2)
    and ``offsets`` (k,); an offset v is free when every group has a row with
    normal·v >= offset. ``lengths`` are the normals' Euclidean lengths.
    """

    normals: Integers
    offsets: Integers
    lengths: NDArray[np.float64]
    starts: Integers

    @cached_property
    def reversed(self) -> "Contact":
        """The same contact as seen from the other outline."""
        return Contact(-self.normals, self.offsets, self.lengths, self.starts)

    def groups(self) -> list[slice]:
        """Rows of each pair of parts."""
        return [slice(a, b) for a, b in zip(self.starts[:-1], self.starts[1:], strict=True)]

    def free(self, dx: int, dy: int) -> bool:
        """Tell exactly whether the offset (dx, dy) keeps the outlines apart."""
        slack = self.normals[:, 0] * dx + self.normals[:, 1] * dy - self.offsets
        return bool((np.maximum.reduceat(slack, self.starts[:-1]) >= 0).all())

    def clearance(self, dx: float, dy: float) -> NDArray[np.float64]:
        """Signed distance of the offset from each half-plane's edge, shape (k,)."""
        slack = self.normals[:, 0] * dx + self.normals[:, 1] * dy - self.offsets
        return np.asarray(slack / self.lengths)


def contact(a: Parts, b: Parts) -> Contact:
    """Half-planes of outline B around outline A, one group for every pair of parts."""
    of_a = a.supports[:, None] - b.least(a.normals)
    of_b = b.supports[:, None] - a.least(b.normals)
    normals, offsets, sizes = [], [], []
    for p in range(a.count):
        mine = slice(a.starts[p], a.starts[p + 1])
        for q in range(b.count):
            theirs = slice(b.starts[q], b.starts[q + 1])
            normals += [a.normals[mine], -b.normals[theirs]]
            offsets += [of_a[mine, q], of_b[theirs, p]]
            sizes.append(len(offsets[-2]) + len(offsets[-1]))
    rows = np.vstack(normals)
    lengths = np.hypot(rows[:, 0], rows[:, 1])
    return Contact(rows, np.concatenate(offsets), lengths, np.cumsum([0, *sizes]))


def _normals(ring: Integers) -> Integers:
    """Outward normals of an anticlockwise ring's edges, in lowest terms, shape (n, 2)."""
    edges = np.roll(ring, -1, axis=0) - ring
    divisor = np.gcd(edges[:, 0], edges[:, 1])
    return np.asarray(np.column_stack([edges[:, 1], -edges[:, 0]]) // divisor[:, None])
