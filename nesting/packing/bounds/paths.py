"""The path of parts with the greatest worth from edge to edge of a strip: dynamic programming."""

from collections.abc import Sequence

import numpy as np

from nesting.packing.bounds.lines import Booleans, Integers, Pattern

#: Worth of an impossible choice, far below any sum of worths.
_NEVER = -(1 << 60)

#: Paths returned at once.
_PATHS = 6


class Paths:
    """Patterns of parts in a row: the first one's lead, the steps between, the last one's trail.

    ``lead`` and ``trail`` (parts,) and ``step`` (parts, parts; row below
    column) are whole levels that sum to no more than ``whole``. Parts are left
    out until no step is shorter than 1, so that no path can go on without rising.
    """

    def __init__(self, lead: Integers, step: Integers, trail: Integers, whole: int) -> None:
        self._lead, self._step, self._trail, self._whole = lead, step, trail, whole
        self.usable = _with_steps(step, lead + trail <= whole)

    def allows(self, pattern: Pattern) -> bool:
        """Tell whether a path, from the lower edge to the upper, fits."""
        parts = np.array(pattern)
        steps = int(self._step[parts[:-1], parts[1:]].sum())
        ends = int(self._lead[parts[0]] + self._trail[parts[-1]])
        return bool(self.usable[parts].all()) and ends + steps <= self._whole

    def dearest(self, worth: Integers) -> tuple[Integers, Sequence[Pattern]]:
        """Greatest worth of a path on each number of levels, and the best paths by last part."""
        parts = np.flatnonzero(self.usable & (worth > 0))
        if not len(parts):
            return np.zeros(self._whole + 1, dtype=np.int64), []
        table = _Table(
            worth[parts], self._lead[parts], self._step[np.ix_(parts, parts)], self._whole
        )
        ending = table.ending(self._trail[parts])
        last = np.argsort(-ending[-1], kind="stable")[:_PATHS]
        paths = [
            table.path(self._whole - self._trail[parts[i]], i) for i in last if ending[-1, i] > 0
        ]
        return ending.max(axis=1).clip(0), [tuple(parts[path].tolist()) for path in paths]


class _Table:
    """Best worth of a path whose last part begins at or below a level.

    ``value[margin + level, part]``; the margin holds impossible values for
    levels below 0.
    """

    def __init__(self, worth: Integers, lead: Integers, step: Integers, whole: int) -> None:
        self._worth, self._lead = worth, lead
        self._margin = whole + 1
        self._step = np.minimum(step, self._margin)
        self._value = np.full((self._margin + whole + 1, len(worth)), _NEVER)
        sources = (self._margin - self._step) * len(worth) + np.arange(len(worth))[:, None]
        flat = self._value.reshape(-1)
        for level in range(whole + 1):
            row = self._margin + level
            on_others = flat.take(sources + level * len(worth)).max(axis=0)
            on_edge = np.where(lead <= level, 0, _NEVER)
            here = np.maximum(on_others, on_edge) + worth
            self._value[row] = np.maximum(here, self._value[row - 1])

    def ending(self, trail: Integers) -> Integers:
        """Best worth of a path that ends with each part on each number of levels."""
        whole, count = self._margin - 1, len(trail)
        rows = self._margin + np.arange(whole + 1)[:, None] - np.minimum(trail, self._margin)
        return self._value[rows, np.arange(count)]

    def path(self, level: int, last: int) -> list[int]:
        """Parts of the best path that ends with a part at or below a level."""
        row, path = self._margin + int(level), [int(last)]
        while True:
            last = path[0]
            while self._value[row - 1, last] == self._value[row, last]:
                row -= 1
            if self._value[row, last] == self._worth[last]:
                return path
            others = self._value[row - self._step[:, last], np.arange(len(self._worth))]
            path.insert(0, int(np.argmax(others)))
            row -= int(self._step[path[0], last])


def _with_steps(step: Integers, fitting: Booleans) -> Booleans:
    """Which of the fitting parts to use so that every step among them is at least 1."""
    usable = fitting.copy()
    short = (step < 1) | (step < 1).T
    while (crowded := short[:, usable].sum(axis=1) * usable).any():
        usable[crowded.argmax()] = False
    return usable
