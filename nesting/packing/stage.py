"""A problem made ready for the engines: poses and their contacts.

A *pose* is a shape at an allowed turn, its least corner at the origin; turns
that give the same outline (a disc, a rectangle turned end for end) are one
pose. The gap between pieces is applied here and nowhere else: contacts are
those of outlines grown by half the gap, while the outlines themselves must lie
within the edges of the strip. Bodies that lie still are poses too, numbered
after those of the pieces and grown by their own clearance; they too meet the
pieces' outlines themselves. An *arrangement* says which pose each piece takes
and where it lies.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from nesting.geometry.contact import Contact, Parts, contact
from nesting.geometry.decomposition import convex_parts
from nesting.geometry.offsetting import grown
from nesting.geometry.outline import Outline
from nesting.geometry.transforms import from_least, outline_at
from nesting.layouts.layout import Layout, Placement
from nesting.layouts.problem import Problem
from nesting.packing.contact_kernels import all_free
from nesting.packing.half_planes import HalfPlanes, half_planes_of_all

Integers = NDArray[np.int64]

#: Contact of two poses that may lie over each other: no offset is forbidden.
NO_CONTACT = Contact(
    normals=np.zeros((0, 2), dtype=np.int64),
    offsets=np.zeros(0, dtype=np.int64),
    lengths=np.zeros(0),
    starts=np.zeros(1, dtype=np.int64),
    boxes=np.zeros((0, 4), dtype=np.int64),
)


@dataclass(frozen=True)
class Pose:
    """A shape in one of the ways it may lie: all ``turns`` give this ``outline``.

    ``parts`` are convex and tile the outline grown by half the gap.
    """

    shape: int
    turns: tuple[int, ...]
    outline: Outline
    parts: Parts

    def ways(self) -> frozenset[int]:
        """The ways that the pose counts as pointing, 0 or 1, for pieces of one bundle."""
        return frozenset(turn // 180 for turn in self.turns)


@dataclass(frozen=True)
class BodyPose:
    """A body grown by its clearance, its least corner at the origin; ``parts`` are convex."""

    outline: Outline
    open_to: frozenset[int]
    parts: Parts


class Arrangement(NamedTuple):
    """Pose and least corner of every piece, arrays of shape (pieces,)."""

    pose: Integers
    x: Integers
    y: Integers


class Stage:
    """Poses of a problem, those each piece may take, and their contacts.

    ``poses`` are those of pieces, ``bodies`` those of bodies, which are
    numbered after them. ``still`` says where the bodies lie.

    Raises
    ------
    ValueError
        When a piece is wider than the strip in every allowed turn, or pieces
        of a bundle cannot all point the same way.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.width = problem.width
        #: Pieces whose boxes are further apart than this are clear of each other, whatever
        #: their shapes: a mitred corner of a grown outline reaches twice the growth.
        self.reach = 2 * problem.gap + 2
        self.poses: tuple[Pose, ...] = tuple(_poses(problem))
        self.bodies, self.still = _bodies(problem, len(self.poses))
        outlines = [*(p.outline for p in self.poses), *(b.outline for b in self.bodies)]
        extents = [(outline.length, outline.height) for outline in outlines]
        self.length, self.height = np.array(extents, dtype=np.int64).reshape(-1, 2).T.copy()
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
        #: The ways that all pieces of a bundle can point.
        self.ways = {bundle: self._common_ways(bundle) for bundle in self.bundles}
        self.choices = tuple(
            choice if piece.bundle is None else self._pointing(choice, self.ways[piece.bundle])
            for piece, choice in zip(problem.pieces, self.choices, strict=True)
        )
        self._contacts: dict[tuple[int, int], Contact] = {}
        self._bare: dict[int, Parts] = {}  # of poses that are not grown

    def _common_ways(self, bundle: int) -> frozenset[int]:
        ways = frozenset.intersection(
            *(
                frozenset().union(*(self.poses[pose].ways() for pose in self.choices[i]))
                for i in self.bundles[bundle]
            )
        )
        if not ways:
            msg = "the pieces of a bundle have no way that all of them can point"
            raise ValueError(msg)
        return ways

    def _pointing(self, choice: tuple[int, ...], ways: frozenset[int]) -> tuple[int, ...]:
        return tuple(pose for pose in choice if self.poses[pose].ways() & ways)

    def contact(self, a: int, b: int) -> Contact:
        """Contact of pose ``b`` as seen from pose ``a``, computed once and then kept."""
        if a > b:
            return self.contact(b, a).reversed
        if (a, b) not in self._contacts:
            self._contacts[a, b] = self._contact(a, b)
        return self._contacts[a, b]

    def _contact(self, a: int, b: int) -> Contact:
        first = len(self.poses)
        if b < first:
            return contact(self.poses[a].parts, self.poses[b].parts)
        body = self.bodies[b - first]
        if a >= first or self.poses[a].shape in body.open_to:
            return NO_CONTACT
        if a not in self._bare:
            self._bare[a] = Parts(convex_parts(self.poses[a].outline))
        return contact(self._bare[a], body.parts)

    def used_length(self, arrangement: Arrangement) -> int:
        """Greatest x of all pieces; every engine pushes pieces to the start of the strip, x = 0."""
        return int((arrangement.x + self.length[arrangement.pose]).max())

    @cached_property
    def half_planes(self) -> HalfPlanes:
        """The contacts of all pairs of poses, for the compiled loops."""
        return half_planes_of_all(len(self.poses) + len(self.bodies), self.contact)

    def near_pairs(self, arrangement: Arrangement, reach: int) -> tuple[Integers, Integers]:
        """Pairs whose boxes come within ``reach``: the lower indices and the higher ones.

        If the arrangement includes bodies, so do the pairs, but never two bodies.
        """
        x0, y0 = arrangement.x - reach, arrangement.y - reach
        x1 = arrangement.x + self.length[arrangement.pose]
        y1 = arrangement.y + self.height[arrangement.pose]
        near = (
            (x0[:, None] < x1[None, :])
            & (x0[None, :] < x1[:, None])
            & (y0[:, None] < y1[None, :])
            & (y0[None, :] < y1[:, None])
        )
        near[len(self.choices) :] = False  # bodies may overlap each other
        first, second = np.array(np.nonzero(np.triu(near, k=1)))
        return first, second

    def with_bodies(self, arrangement: Arrangement) -> Arrangement:
        """Everything that lies on the strip: the pieces, then the bodies."""
        if not self.bodies:
            return arrangement
        both = zip(arrangement, self.still, strict=True)
        return Arrangement(*(np.concatenate(each) for each in both))

    def is_valid(self, arrangement: Arrangement) -> bool:
        """Tell exactly whether an arrangement keeps every rule of the problem."""
        return self.is_short_enough(arrangement) and self.is_clear(arrangement)

    def is_short_enough(self, arrangement: Arrangement) -> bool:
        """Tell whether an arrangement fits the length of the strip."""
        length = self.problem.length
        return length is None or self.used_length(arrangement) <= length

    def is_clear(self, arrangement: Arrangement) -> bool:
        """Tell exactly whether an arrangement keeps every rule but the length of the strip.

        Engines work on an endless strip: a lay longer than the strip is what
        they begin with and shorten.
        """
        pose, x, y = arrangement.pose, arrangement.x, arrangement.y
        inside = (x >= 0).all() and (y >= 0).all()
        inside = inside and (y + self.height[pose] <= self.width).all()
        return bool(inside) and self._bundles_agree(pose) and self._apart(arrangement)

    def _apart(self, arrangement: Arrangement) -> bool:
        lying = self.with_bodies(arrangement)
        return bool(all_free(*self.near_pairs(lying, self.reach), lying, self.half_planes))

    def _bundles_agree(self, pose: Integers) -> bool:
        return all(self._way_of(bundle, pose) is not None for bundle in self.bundles)

    def _way_of(self, bundle: int, pose: Integers) -> int | None:
        members = self.bundles[bundle]
        common = frozenset.intersection(*(self.poses[pose[i]].ways() for i in members))
        return min(common, default=None)

    def arrangement(self, layout: Layout) -> Arrangement:
        """A layout of the problem as an arrangement."""
        poses = [
            next(pose for pose in choice if place.turn in self.poses[pose].turns)
            for choice, place in zip(self.choices, layout.placements, strict=True)
        ]
        places = [(place.x - layout.start, place.y) for place in layout.placements]
        x, y = np.array(places, dtype=np.int64).T.copy()
        return Arrangement(np.array(poses, dtype=np.int64), x, y)

    def layout(self, arrangement: Arrangement) -> Layout:
        """The arrangement as a layout of the problem."""
        ways = {b: self._way_of(b, arrangement.pose) for b in self.bundles}
        placements = []
        for piece, pose, x, y in zip(
            self.problem.pieces, arrangement.pose, arrangement.x, arrangement.y, strict=True
        ):
            way = None if piece.bundle is None else ways[piece.bundle]
            turns = [t for t in self.poses[pose].turns if way is None or t // 180 == way]
            placements.append(Placement(turns[0], int(x), int(y)))
        return Layout(self.problem, tuple(placements))


def _bodies(problem: Problem, first: int) -> tuple[tuple[BodyPose, ...], Arrangement]:
    """Poses of the bodies without duplicates, and where the bodies lie.

    The poses are numbered from ``first``.
    """
    known: dict[tuple[Outline, frozenset[int]], int] = {}
    places = []
    for body in problem.bodies:
        outline = grown(body.outline, body.clearance)
        x, y = outline.bounds[:2]
        key = from_least(outline_at(outline, 0)), body.open_to
        places.append((first + known.setdefault(key, len(known)), x, y))
    poses = tuple(
        BodyPose(outline, open_to, Parts(convex_parts(outline))) for outline, open_to in known
    )
    still = np.array(places, dtype=np.int64).reshape(-1, 3).T.copy()
    return poses, Arrangement(*still)


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
                poses.append(Pose(index, tuple(turns), outline, parts))
    return poses
