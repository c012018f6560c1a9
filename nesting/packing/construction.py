"""The first layout: bottom-left fill on columns, exact across the strip.

Pieces are laid one after another, each where its far end is least along the
strip, then as low as possible. Along the strip only columns at a fixed pitch
are tried; across it the free intervals of each column are computed exactly
from the contact half-planes, so the result is valid to the last grid unit
(after Baker, Coffman and Rivest 1980, cited from memory).
"""

from collections.abc import Sequence

import numpy as np

from nesting.geometry.contact import Contact
from nesting.packing.construction_kernels import forbid
from nesting.packing.half_planes import half_planes_of
from nesting.packing.stage import Arrangement, Integers, Stage

#: Columns per strip width: finer columns gain less than compaction does.
COLUMNS_PER_WIDTH = 400

#: Columns looked at together.
_BLOCK = 48

_FAR = np.int64(2**60)


class BottomLeft:
    """Bottom-left fill for one stage; its tables are reused from call to call."""

    def __init__(self, stage: Stage) -> None:
        self.stage = stage
        self.pitch = max(1, stage.width // COLUMNS_PER_WIDTH)
        self._tables: dict[tuple[int, int, int], tuple[int, Integers, Integers]] = {}

    def fill(self, order: Sequence[int]) -> Arrangement:
        """Lay the pieces in the given order (a permutation of all)."""
        filling = _Filling(self, len(order))
        for index in order:
            filling.lay(index)
        return filling.arrangement()

    def table(self, a: int, b: int, beyond: int) -> tuple[int, Integers, Integers]:
        """Open intervals of y that pose a forbids to pose b, by column offset.

        ``beyond`` is how far pose a lies beyond a column: 0 for pieces, which
        lie on columns; anything less than the pitch for bodies. Returns the
        first column offset and two arrays (parts, columns).
        """
        if (a, b, beyond) not in self._tables:
            margin = self.stage.reach + self.pitch
            first = -int(self.stage.length[b] + margin) // self.pitch
            last = int(self.stage.length[a] + margin) // self.pitch + 1
            dx = np.arange(first, last + 1, dtype=np.int64) * self.pitch - beyond
            self._tables[a, b, beyond] = first, *_forbidden(self.stage.contact(a, b), dx)
        return self._tables[a, b, beyond]


class _Filling:
    """A fill in progress: what is laid, and where each pose may still begin.

    A column that is closed to a pose stays closed, since nothing laid is moved
    again: ``opening`` holds the first column worth trying for each pose.
    """

    def __init__(self, rule: BottomLeft, pieces: int) -> None:
        self.rule, self.stage, self.pitch = rule, rule.stage, rule.pitch
        nothing = np.zeros(pieces, dtype=np.int64)
        self.pieces, still = pieces, self.stage.still
        self.pose, self.x, self.y = (np.concatenate([nothing, each]) for each in still)
        self.laid = list(range(pieces, len(self.pose)))
        self.ways = dict(rule.stage.ways)
        self.opening = [0] * len(self.stage.poses)

    def lay(self, index: int) -> None:
        """Lay one piece."""
        bundle = self.stage.problem.pieces[index].bundle
        ways = None if bundle is None else self.ways[bundle]
        _, low, column, pose = min(
            self._lowest(choice)
            for choice in self.stage.choices[index]
            if ways is None or self.stage.poses[choice].ways() & ways
        )
        self.pose[index], self.x[index], self.y[index] = pose, column * self.pitch, low
        self.laid.append(index)
        if bundle is not None and ways is not None:
            self.ways[bundle] = ways & self.stage.poses[pose].ways()

    def arrangement(self) -> Arrangement:
        """The pieces where they are laid."""
        return Arrangement(*(each[: self.pieces] for each in (self.pose, self.x, self.y)))

    def _lowest(self, pose: int) -> tuple[int, int, int, int]:
        """Least (end, y, column, pose) at which a pose is clear of everything laid so far."""
        top = int(self.stage.width - self.stage.height[pose])
        while True:
            first = self.opening[pose]
            height = _lowest_free(*self._blocked(pose, first))
            fits = height <= top
            if fits.any():
                ahead = int(np.argmax(fits))
                column = self.opening[pose] = first + ahead
                end = column * self.pitch + int(self.stage.length[pose])
                return end, int(height[ahead]), column, pose
            self.opening[pose] = first + _BLOCK

    def _blocked(self, pose: int, first: int) -> tuple[Integers, Integers]:
        """Open intervals of y forbidden in a block of columns, shape (intervals, columns)."""
        laid = np.array(self.laid, dtype=np.int64)
        starts = self.x[laid] - self.stage.length[pose] - self.stage.reach
        ends = self.x[laid] + self.stage.length[self.pose[laid]] + self.stage.reach
        near = laid[(starts < (first + _BLOCK) * self.pitch) & (ends > first * self.pitch)]
        beyond = (self.x[near] % self.pitch).tolist()
        others = zip(self.pose[near].tolist(), beyond, strict=True)
        tables = [self.rule.table(other, pose, by) for other, by in others]
        rows = sum(len(lows) for _, lows, _ in tables)
        below, above = np.full((rows, _BLOCK), _FAR), np.full((rows, _BLOCK), -_FAR)
        row = 0
        for (origin, lows, highs), x, y in zip(tables, self.x[near], self.y[near], strict=True):
            start = int(x) // self.pitch + origin - first
            a, b = max(0, start), min(_BLOCK, start + lows.shape[1])
            if a < b:
                here = slice(row, row + len(lows)), slice(a, b)
                there = slice(None), slice(a - start, b - start)
                below[here], above[here] = lows[there] + y, highs[there] + y
            row += len(lows)
        return below, above


def _forbidden(contact: Contact, dx: Integers) -> tuple[Integers, Integers]:
    """Open intervals of dy (groups, columns) that overlap at each dx; (far, -far) for none."""
    lows = np.full((len(contact.boxes), len(dx)), _FAR)
    highs = np.full_like(lows, -_FAR)
    forbid(lows, highs, dx, half_planes_of(contact))
    return lows, highs


def _lowest_free(below: Integers, above: Integers) -> Integers:
    """Least y >= 0 of each column outside all its open intervals."""
    order = np.argsort(below, axis=0, kind="stable")
    below = np.take_along_axis(below, order, axis=0)
    above = np.take_along_axis(above, order, axis=0)
    start = np.zeros((1, below.shape[1]), dtype=np.int64)
    reach = np.maximum.accumulate(np.vstack([start, above]), axis=0)
    wall = np.vstack([below, np.full_like(start, _FAR)])
    free = reach <= wall
    return np.asarray(np.take_along_axis(reach, np.argmax(free, axis=0)[None, :], axis=0)[0])
