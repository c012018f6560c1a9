"""Nearest first: the head always goes to the nearest place where a cut may be entered.

A machine without a plan cuts in this order; ours is compared with it.
"""

from collections.abc import Sequence

import numpy as np

from nesting.cut_order.course import Course
from nesting.cut_order.passes import Pairs, Pass, Points

#: How far to look around at first (mm); doubled until an entry is found.
_AROUND = 100.0


class _Entries:
    """Every place where a cut may be entered, sorted along the roll."""

    def __init__(self, cuts: Sequence[Pass]) -> None:
        counts = [len(cut.ins) for cut in cuts]
        ins = np.concatenate([cut.ins for cut in cuts])
        sorting = np.argsort(ins[:, 0], kind="stable")
        self.ins = ins[sorting]
        self.outs = np.concatenate([cut.outs for cut in cuts])[sorting]
        self.cut = np.repeat(np.arange(len(cuts)), counts)[sorting]
        self.way = np.concatenate([np.arange(count) for count in counts])[sorting]
        self.open = np.zeros(len(ins), dtype=bool)
        by_cut = np.argsort(self.cut, kind="stable")
        self.of_cut = np.split(by_cut, np.cumsum(counts)[:-1])

    def nearest(self, at: Points) -> int:
        """The open entry nearest to a place; the first along the roll of equally near ones."""
        around = _AROUND
        while True:
            low, high = np.searchsorted(self.ins[:, 0], [at[0] - around, at[0] + around])
            found = low + np.flatnonzero(self.open[low:high])
            if len(found):
                far = np.hypot(*(self.ins[found] - at).T)
                if far.min() <= around or high - low == len(self.ins):
                    return int(found[far.argmin()])
            around *= 2


def nearest_first(cuts: Sequence[Pass], before: Pairs, start: Points) -> Course:
    """Order cuts by always going on to the nearest one that waits for no other."""
    waits = [0] * len(cuts)
    followers: list[list[int]] = [[] for _ in cuts]
    for first, second in before:
        waits[second] += 1
        followers[first].append(second)
    entries = _Entries(cuts)
    for index, count in enumerate(waits):
        entries.open[entries.of_cut[index]] = not count
    made, at = [], start
    for _ in cuts:
        entry = entries.nearest(at)
        index, at = int(entries.cut[entry]), entries.outs[entry]
        made.append((index, int(entries.way[entry])))
        entries.open[entries.of_cut[index]] = False
        for follower in followers[index]:
            waits[follower] -= 1
            entries.open[entries.of_cut[follower]] = not waits[follower]
    order, ways = zip(*made, strict=True)
    return Course(order, ways)
