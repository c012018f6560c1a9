"""What one solve of outlines may change: the freedom of each piece that moves."""

from collections.abc import Mapping
from dataclasses import dataclass

from nesting.packing.stage import Arrangement, Stage

#: Least and greatest.
Range = tuple[int, int]


@dataclass(frozen=True)
class Freedom:
    """Poses that a piece may take, and ranges of its least corner."""

    poses: tuple[int, ...]
    x: Range
    y: Range


@dataclass(frozen=True)
class Window:
    """A part of a lay.

    ``free`` pieces lie anywhere between ``start`` and ``end`` along the strip
    in any pose; ``sliding`` ones keep their pose and move by at most
    ``slide``. All others stand still.
    """

    free: tuple[int, ...]
    sliding: tuple[int, ...]
    start: int
    end: int
    slide: int

    def freedoms(self, stage: Stage, lay: Arrangement) -> Mapping[int, Freedom]:
        """What each piece of the window may do in a lay; its present place is always allowed."""
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
    """Every piece anywhere on the strip as far as a lay reaches, in any pose."""
    used, freedoms = stage.used_length(lay), {}
    for i, poses in enumerate(stage.choices):
        _, last_x, last_y = _room(stage, used, poses)
        freedoms[i] = Freedom(poses, (0, last_x), (0, last_y))
    return freedoms


def _room(stage: Stage, used: int, poses: tuple[int, ...]) -> tuple[int, int, int]:
    """Least length of some poses, and the greatest x and y of any of them."""
    length = int(stage.length[list(poses)].min())
    return length, used - length, stage.width - int(stage.height[list(poses)].min())
