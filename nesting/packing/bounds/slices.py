"""Panels as slices: for each line only the length of cloth it cuts matters.

A vertical line cuts a panel in one or more chords. Panels do not overlap, so
the chords on one line together are no longer than the strip is wide. The parts
of a figure are its thin slices, grouped by chord; each part counts with the
least chord anywhere in it. A line cuts a panel only once, so a pattern has no
more slices of a kind than there are panels. For rectangles this is the
relaxation to bars (Martello, Monaci and Vigo 2003, cited from memory), without
the condition that they are contiguous.
"""

from collections.abc import Sequence

import numpy as np

from nesting.packing.bounds.figures import Figure
from nesting.packing.bounds.knapsack import Knapsack
from nesting.packing.bounds.lines import Demand, Floats, Integers, Scale

#: Approximate number of thin slices of one figure.
_SLICES = 600

#: Number of parts of all kinds together, and the least and the greatest of one kind.
_PARTS, _FEWEST, _MOST = 240, 6, 32

#: Levels of a line: multiples of the chords' common divisor if there are no more of them
#: than the first number, else about as many as the second.
_MOST_LEVELS, _LEVELS = 1500, 840


class SlicedPanels:
    """All panels as slices, for lines of about a given width."""

    def __init__(self, figures: Sequence[Figure], copies: Integers, width: int) -> None:
        kind = np.array([figure.kind for figure in figures])
        self.extent = np.array([figure.height + 2 * figure.growth for figure in figures])
        cut = [slices(figure) for figure in figures]
        classes = []
        for i in range(len(copies)):
            chords = np.concatenate(
                [chord for (_, chord), k in zip(cut, kind, strict=True) if k == i]
            )
            classes.append(_classes(chords, len(copies), width))
        self._chord = np.concatenate(classes)
        self._kind = np.repeat(np.arange(len(copies)), [len(c) for c in classes])
        thickness = np.zeros((len(figures), len(self._chord)), dtype=np.int64)
        for row, (thick, chord), k in zip(thickness, cut, kind, strict=True):
            part = np.searchsorted(classes[k], chord, side="right") - 1
            first = int(np.searchsorted(self._kind, k))
            np.add.at(row, first + part[part >= 0], thick[part >= 0])
        self.demand = Demand(thickness, kind, copies)
        self._width, self._grain = width, int(np.gcd.reduce(self._chord))
        self._is_coarse = width // self._grain <= _MOST_LEVELS

    def first_worth(self) -> Floats:
        """The worths that give the area bound."""
        return np.asarray(np.minimum(self._chord / self._width, 1))

    def unit(self) -> int:
        """The length of one level on lines of about the width."""
        return self._grain if self._is_coarse else -(-self._width // _LEVELS)

    def scale(self) -> Scale:
        """The best levels for lines of exactly the width.

        One more than their number has many divisors. So two lengths of just
        over half the width, three of just over a third... still do not fit.
        """
        if self._is_coarse:
            return Scale(1, self._grain, self._width // self._grain)
        return Scale(_LEVELS, self._width + 1, _LEVELS - 1)

    def strip(self, scale: Scale) -> Knapsack:
        """The patterns on a line."""
        return Knapsack(scale(self._chord), self._kind, self.demand.copies, scale.whole)


def slices(figure: Figure) -> tuple[Integers, Integers]:
    """Thickness and least chord, rounded down, of thin vertical slices of a grown figure.

    No vertex lies inside a slice, so the chord is linear there and least at
    one of its ends. A figure that is not convex is grown only upward and
    downward, not in length.
    """
    ring = np.array(figure.body if figure.convex else figure.ring, dtype=np.int64)
    first, last = ring[:, 0].min(), ring[:, 0].max()
    even = np.linspace(first, last, _SLICES, dtype=np.int64)
    cuts = np.unique(np.concatenate([ring[:, 0], even]))
    left, right = cuts[:-1], cuts[1:]
    chord = np.minimum(_chords(ring, left, right, left), _chords(ring, left, right, right))
    return right - left, chord + (0 if figure.convex else 2 * figure.growth)


def _chords(ring: Integers, left: Integers, right: Integers, at: Integers) -> Integers:
    """Total chord at one end of each slice: sum of upper edges less sum of lower edges."""
    start, end = ring, np.roll(ring, -1, axis=0)
    top = (end[:, 0] < start[:, 0])[:, None]
    low, high = np.where(top, end, start), np.where(top, start, end)
    dx, dy = (high - low).T[:, :, None]
    sign = np.where(top, 1, -1)
    y = sign * low[:, 1:] + sign * dy * (at - low[:, :1]) // np.maximum(dx, 1)
    crosses = (low[:, :1] <= left) & (high[:, :1] >= right)
    return np.asarray((y * crosses).sum(axis=0))


def _classes(chords: Integers, kinds: int, width: int) -> Integers:
    """Least chords of the parts of one kind: all distinct ones, or a few that are well spread."""
    distinct = np.unique(np.maximum(chords, 1))
    most = min(_MOST, max(_FEWEST, _PARTS // kinds))
    if len(distinct) <= most:
        return distinct
    shares = np.array([1 / 4, 1 / 3, 1 / 2, 2 / 3, 3 / 4])
    beyond = np.searchsorted(distinct, np.floor(shares * width), side="right")
    spread = np.linspace(0, len(distinct) - 1, most).astype(np.int64)
    chosen = np.unique(np.concatenate([spread, beyond[beyond < len(distinct)]]))
    return np.asarray(distinct[chosen])
