"""A problem made ready for its engines: poses and their contacts.

A *pose* is a shape at an allowed turn, its least corner at the origin; turns
that give the same outline (a disc, a rectangle turned end for end) are one
pose. The gap between pieces enters here, once: contacts are those of
outlines grown by half of it, while the edges of the strip meet the outlines
themselves. An *arrangement* says which pose each piece takes and where.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from nesting.geometry.contact import Contact, Parts, contact
from nesting.geometry.decomposition import convex_parts
from nesting.geometry.offsetting import grown
from nesting.geometry.outline import Outline
from nesting.geometry.transforms import from_least, outline_at
from nesting.layouts.layout import Layout, Placement
from nesting.layouts.problem import Problem
from nesting.packing import kernels
from nesting.packing.half_planes import HalfPlanes

Integers = NDArray[np.int64]


@dataclass(frozen=True)
class Pose:
    """A shape as it may lie: ``turns`` all give this ``outline``.

    ``parts`` are convex and tile the outline grown by half the gap.
    """

    shape: int
    turns: tuple[int, ...]
    outline: Outline
    parts: Parts
    length: int
    height: int

    def ways(self) -> frozenset[int]:
        """Which ways it can be said to point, 0 or 1, for pieces of one bundle."""
        return frozenset(turn // 180 for turn in self.turns)


@dataclass(frozen=True)
class Arrangement:
    """Pose and least corner of every piece, arrays of shape (pieces,)."""

    pose: Integers
    x: Integers
    y: Integers


class Stage:
    """Poses of a problem, those each piece may take, and their contacts.

    Raises
    ------
    ValueError
        When a piece is wider than the strip in every allowed turn.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.width = problem.width
        #: Boxes further apart than this are clear of each other whatever the
        #: shapes: a mitred corner of a grown outline reaches twice the growth.
        self.reach = 2 * problem.gap + 2
        self.poses: tuple[Pose, ...] = tuple(_poses(problem))
        self.length = np.array([p.length for p in self.poses], dtype=np.int64)
        self.height = np.array([p.height for p in self.poses], dtype=np.int64)
        self.area2 = np.array([p.outline.area2 for p in self.poses], dtype=np.int64)
        of_shape = [
            tuple(i for i, pose in enumerate(self.poses) if pose.shape == shape)
            for shape in range(len(problem.shapes))
        ]
        self.choices = tuple(of_shape[piece.shape] for piece in problem.pieces)
        if not all(self.choices):
            msg = "a piece is wider than the strip in every allowed turn"
            raise ValueError(msg)
        self.bundles: dict[int, list[int]] = {}
        for index, piece in enumerate(problem.pieces):
            if piece.bundle is not None:
                self.bundles.setdefault(piece.bundle, []).append(index)
        self._contacts: dict[tuple[int, int], Contact] = {}

    def contact(self, a: int, b: int) -> Contact:
        """Contact of pose ``b`` as seen from pose ``a`` (made once, then kept)."""
        if a > b:
            return self.contact(b, a).reversed
        if (a, b) not in self._contacts:
            self._contacts[a, b] = contact(self.poses[a].parts, self.poses[b].parts)
        return self._contacts[a, b]

    def used_length(self, arrangement: Arrangement) -> int:
        """Greatest end along the strip; arrangements start at 0."""
        return int((arrangement.x + self.length[arrangement.pose]).max())

    @cached_property
    def half_planes(self) -> HalfPlanes:
        """The contacts of all pairs of poses, for the compiled loops."""
        return HalfPlanes(len(self.poses), self.contact)

    @cached_property
    def is_rectangular(self) -> bool:
        """Tell whether every pose is an upright rectangle, whichever way it points."""
        return all(
            pose.outline.area2 == 2 * pose.length * pose.height
            and (not self.bundles or len(pose.ways()) == 2)
            for pose in self.poses
        )

    def near_pairs(self, arrangement: Arrangement, reach: int) -> tuple[Integers, Integers]:
        """Pairs of pieces whose boxes come within ``reach``: the lower index, the higher one."""
        x0, y0 = arrangement.x - reach, arrangement.y - reach
        x1 = arrangement.x + self.length[arrangement.pose]
        y1 = arrangement.y + self.height[arrangement.pose]
        near = (
            (x0[:, None] < x1[None, :])
            & (x0[None, :] < x1[:, None])
            & (y0[:, None] < y1[None, :])
            & (y0[None, :] < y1[:, None])
        )
        first, second = np.array(np.nonzero(np.triu(near, k=1)))
        return first, second

    def is_valid(self, arrangement: Arrangement) -> bool:
        """Tell exactly whether an arrangement keeps every rule of the problem."""
        pose, x, y = arrangement.pose, arrangement.x, arrangement.y
        inside = (x >= 0).all() and (y >= 0).all()
        inside = inside and (y + self.height[pose] <= self.width).all()
        return bool(inside) and self._bundles_agree(pose) and self._apart(arrangement)

    def _apart(self, arrangement: Arrangement) -> bool:
        planes = self.half_planes
        return bool(
            kernels.all_free(
                *self.near_pairs(arrangement, self.reach),
                arrangement.pose,
                arrangement.x,
                arrangement.y,
                planes.groups,
                planes.starts,
                planes.boxes,
                planes.normals,
                planes.offsets,
            )
        )

    def _bundles_agree(self, pose: Integers) -> bool:
        return all(self._way_of(bundle, pose) is not None for bundle in self.bundles)

    def _way_of(self, bundle: int, pose: Integers) -> int | None:
        members = self.bundles[bundle]
        common = frozenset.intersection(*(self.poses[pose[i]].ways() for i in members))
        return min(common, default=None)

    def layout(self, arrangement: Arrangement) -> Layout:
        """The arrangement in the words of the problem."""
        ways = {b: self._way_of(b, arrangement.pose) for b in self.bundles}
        placements = []
        for piece, pose, x, y in zip(
            self.problem.pieces, arrangement.pose, arrangement.x, arrangement.y, strict=True
        ):
            way = None if piece.bundle is None else ways[piece.bundle]
            turns = [t for t in self.poses[pose].turns if way is None or t // 180 == way]
            placements.append(Placement(turns[0], int(x), int(y)))
        return Layout(self.problem, tuple(placements))


def _poses(problem: Problem) -> list[Pose]:
    half = -(-problem.gap // 2)
    poses = []
    for index, shape in enumerate(problem.shapes):
        turns_of: dict[Outline, list[int]] = {}
        for turn in shape.turns:
            turns_of.setdefault(from_least(outline_at(shape.outline, turn)), []).append(turn)
        for outline, turns in turns_of.items():
            if outline.height <= problem.width:
                parts = Parts(convex_parts(grown(outline, half) if half else outline))
                length, height = outline.length, outline.height
                poses.append(Pose(index, tuple(turns), outline, parts, length, height))
    return poses
