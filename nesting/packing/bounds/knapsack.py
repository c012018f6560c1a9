"""The set of parts with the greatest worth whose levels fit a line: dynamic programming.

A pattern takes at most as many parts of a shape as there are panels of it.
Shapes with many panels have no such limit: that weakens the bound little and
saves a pass over the line for every panel.
"""

from collections.abc import Sequence

import numpy as np

from nesting.packing.bounds.lines import Integers, Pattern

#: Shapes with more panels than this are taken without limit.
_PLENTY = 24

#: Worth of an impossible choice, far below any sum of worths.
_NEVER = -(1 << 60)


class Knapsack:
    """Patterns of parts whose levels sum to no more than ``whole``.

    ``level`` and ``shape`` are those of each part, ``copies`` the panels of
    each shape. Parts of level 0, or too high, are never taken.
    """

    def __init__(self, level: Integers, shape: Integers, copies: Integers, whole: int) -> None:
        self._level, self._whole = level, whole
        self.usable = (level > 0) & (level <= whole)
        parts = [np.flatnonzero((shape == s) & self.usable) for s in range(len(copies))]
        self._few = [
            (p, self._sources(p), int(n))
            for p, n in zip(parts, copies, strict=True)
            if n <= _PLENTY and len(p)
        ]
        self._many = np.concatenate(
            [np.zeros(0, np.int64), *(p for p, n in zip(parts, copies, strict=True) if n > _PLENTY)]
        )

    def allows(self, pattern: Pattern) -> bool:
        """Tell whether the levels of a pattern fit."""
        return int(self._level[list(pattern)].sum()) <= self._whole

    def dearest(self, worth: Integers) -> tuple[Integers, Sequence[Pattern]]:
        """Greatest worth of a pattern on each number of levels, and the best pattern on all."""
        value = np.zeros(self._whole + 1, dtype=np.int64)
        choices: list[Integers] = []
        for parts, sources, copies in self._few:
            for _ in range(copies):
                before = value
                value, choice = self._one_more(before, parts, sources, worth)
                if (value == before).all():
                    break
                choices.append(choice)
        value, last = self._any_more(value, worth)
        return value, [self._traced(last, choices)]

    def _sources(self, parts: Integers) -> Integers:
        """The level where each part begins that ends at each level, plus a margin of ``whole``."""
        ends = np.arange(self._whole + 1) + self._whole
        return np.asarray(ends - self._level[parts][:, None])

    def _one_more(
        self, value: Integers, parts: Integers, sources: Integers, worth: Integers
    ) -> tuple[Integers, Integers]:
        """Best values with at most one more part of a shape, and that part (-1: none)."""
        behind = np.concatenate([np.full(self._whole, _NEVER), value])
        options = behind[sources] + worth[parts][:, None]
        best = options.argmax(axis=0)
        most = options[best, np.arange(self._whole + 1)]
        return np.maximum(most, value), np.where(most > value, parts[best], -1)

    def _any_more(self, value: Integers, worth: Integers) -> tuple[Integers, Integers]:
        """Best values with any number of the unlimited parts, and the last part (-1: none)."""
        choice = np.full(self._whole + 1, -1)
        parts = self._many[worth[self._many] > 0]
        if not len(parts):
            return value, choice
        behind = np.concatenate([np.full(self._whole, _NEVER), value])
        sources, gain = self._whole - self._level[parts], worth[parts]
        for end in range(self._whole + 1):
            options = behind[sources + end] + gain
            best = options.argmax()
            if options[best] > behind[self._whole + end]:
                behind[self._whole + end], choice[end] = options[best], parts[best]
        return behind[self._whole :], choice

    def _traced(self, last: Integers, choices: list[Integers]) -> Pattern:
        pattern, end = [], self._whole
        while last[end] >= 0:
            pattern.append(int(last[end]))
            end -= int(self._level[pattern[-1]])
        for choice in reversed(choices):
            if choice[end] >= 0:
                pattern.append(int(choice[end]))
                end -= int(self._level[pattern[-1]])
        return tuple(sorted(pattern))
