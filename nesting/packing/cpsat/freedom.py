"""What one solve of outlines may change: where each moving piece may go."""

from collections.abc import Mapping
from dataclasses import dataclass

from nesting.packing.stage import Arrangement, Stage

#: Least and greatest value.
Range = tuple[int, int]


@dataclass(frozen=True)
class Freedom:
    """Poses that a piece may take, and the ranges of its least corner."""

    poses: tuple[int, ...]
    x: Range
    y: Range


@dataclass(frozen=True)
class Window:
    """A part of a lay.

    ``free`` pieces may lie anywhere between ``start`` and ``end`` along the
    strip in any pose; ``sliding`` ones keep their pose and move by at most
    ``slide``. All others do not move.
    """

    free: tuple[int, ...]
    sliding: tuple[int, ...]
    start: int
    end: int
    slide: int

    def freedoms(self, stage: Stage, lay: Arrangement) -> Mapping[int, Freedom]:
        """The freedom of each piece in the window; its present place is always allowed."""
        used = stage.used_length(lay)
        freedoms = {i: self._free(stage, lay, used, i) for i in self.free}
        return freedoms | {i: self._sliding(stage, lay, used, i) for i in self.sliding}

    def _free(self, stage: Stage, lay: Arrangement, used: int, i: int) -> Freedom:
        x, poses = int(lay.x[i]), stage.choices[i]
        length, last_x, last_y = _room(stage, used, poses)
        x_range = min(self.start, x), max(x, min(self.end - length, last_x))
        return Freedom(poses, x_range, (0, last_y))

    def _sliding(self, stage: Stage, lay: Arrangement, used: int, i: int) -> Freedom:
        x, y, poses = int(lay.x[i]), int(lay.y[i]), (int(lay.pose[i]),)
        _, last_x, last_y = _room(stage, used, poses)
        x_range = max(0, x - self.slide), min(last_x, x + self.slide)
        return Freedom(poses, x_range, (max(0, y - self.slide), min(last_y, y + self.slide)))


def everywhere(stage: Stage, lay: Arrangement) -> Mapping[int, Freedom]:
    """Freedom for every piece to lie anywhere within the length of a lay, in any pose."""
    used, freedoms = stage.used_length(lay), {}
    for i, poses in enumerate(stage.choices):
        _, last_x, last_y = _room(stage, used, poses)
        freedoms[i] = Freedom(poses, (0, last_x), (0, last_y))
    return freedoms


def _room(stage: Stage, used: int, poses: tuple[int, ...]) -> tuple[int, int, int]:
    """Least length of some poses, and the greatest x and y that any of them can have."""
    length = int(stage.length[list(poses)].min())
    return length, used - length, stage.width - int(stage.height[list(poses)].min())
