"""The exact least travel for a few cuts.

Dynamic programming over sets of cuts that are made (Held and Karp, Journal of
the Society for Industrial and Applied Mathematics 10, 1962), with a choice of
ways for each cut and with precedence.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from nesting.cut_order.course import Course, distances
from nesting.cut_order.passes import Pairs, Pass, Points

#: Work more than doubles with every cut: eight circles take a tenth of a second.
MOST = 8

#: A set of cuts as bits, and the one that was made last.
_State = tuple[int, int]


def shortest_course(cuts: Sequence[Pass], before: Pairs, start: Points) -> Course:
    """The course with the least possible travel, for at most `MOST` cuts."""
    needs = [0] * len(cuts)
    for first, second in before:
        needs[second] |= 1 << first
    far = [[distances(one.outs, other.ins) for other in cuts] for one in cuts]
    first_steps = [distances(start[None], cut.ins)[0] for cut in cuts]
    reached: dict[_State, NDArray[np.float64]] = {}
    for made in range(1, 1 << len(cuts)):
        for last in _members(made):
            rest = made ^ 1 << last
            if needs[last] & ~rest:
                continue
            through = [
                (reached[rest, one][:, None] + far[one][last]).min(axis=0)
                for one in _members(rest)
                if (rest, one) in reached
            ]
            if not rest:
                through = [first_steps[last]]
            if through:
                reached[made, last] = np.min(through, axis=0)
    return _trace_back(reached, far, (1 << len(cuts)) - 1)


def _members(made: int) -> list[int]:
    return [index for index in range(made.bit_length()) if made >> index & 1]


def _trace_back(
    reached: dict[_State, NDArray[np.float64]], far: list[list[Points]], made: int
) -> Course:
    """The course that makes all cuts, found from its end back to its start."""
    order: list[int] = []
    ways: list[int] = []
    while made:
        ends = [
            (through.min(), int(through.argmin()), last)
            for last in _members(made)
            if (made, last) in reached
            for through in [reached[made, last] + _onward(far, last, order, ways)]
        ]
        _, way, last = min(ends)
        order.insert(0, last)
        ways.insert(0, way)
        made ^= 1 << last
    return Course(tuple(order), tuple(ways))


def _onward(
    far: list[list[Points]], last: int, order: list[int], ways: list[int]
) -> NDArray[np.float64]:
    """Travel from each way out of a cut to the cut that follows it, if one does."""
    following = far[last][order[0]][:, ways[0]] if order else np.zeros(len(far[last][last]))
    return np.asarray(following, dtype=np.float64)
