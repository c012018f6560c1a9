"""Finished panels: shapes between their seams, with named edges.

Lengths are millimetres; edges run round a panel anticlockwise, seen from the
face of the cloth, each from where the one before it ends. Grain runs along x.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import cached_property
from itertools import chain

from nesting.geometry.curves import Curve, Point, line
from nesting.geometry.outline import twice_area
from nesting.geometry.transforms import mirrored_in_x, turned
from nesting.panels.panel import GrainRule

#: Millimetres that the end of an edge and the start of the next may lie apart.
_JOINED = 1e-6


class EdgeSort(StrEnum):
    """What is done with an edge; each sort may have an allowance of its own."""

    SEAM = "seam"
    HEM = "hem"
    ZIP = "zip"
    ROLLED = "rolled edge"


@dataclass(frozen=True, slots=True)
class Drill:
    """A place marked inside a panel, millimetres: a button, a handle; ``name`` may be nothing."""

    at: Point
    name: str = ""


@dataclass(frozen=True, slots=True)
class CutLine:
    """A cut line that a maker's own pattern gives, so that none is made from allowances.

    ``ring`` is in millimetres; ``allowance_mm`` is how far it lies outside the
    stitch line, 0 where no stitch line is known.
    """

    ring: tuple[Point, ...]
    allowance_mm: float = 0.0


@dataclass(frozen=True)
class FinishedPanel:
    """One panel as it will be between its seams; ``edges`` by name, in their order.

    Lengths are millimetres; the edges run anticlockwise, the grain along x.
    ``sorts`` names the edges that are no plain seams. ``drills`` are places
    marked inside it, ``lines`` runs drawn on it (a fold), ``inner_cuts`` runs
    that are cut through (a slit; a cut-out ends where it began). ``notched``
    are notches of its own, besides those of seams, each from its foot inward;
    the foot lies on the ``given`` cut line, else on an edge. Where
    ``per_item`` panels are alike but an order may want one of them from
    another cloth, ``parts`` names those: they are cut as panels of their own
    once the order names them. ``may_railroad`` says whether it may be drawn a
    quarter round with the whole item. A ``folded`` panel is sewn with its
    allowances on each other, so that they may be wider than it.

    Raises
    ------
    ValueError
        When an edge does not start where the one before it ends, ``sorts``
        names an edge that is not there, or there are more parts than panels.
    """

    name: str
    per_item: int
    edges: Mapping[str, Curve]
    grain_rule: GrainRule = GrainRule.AS_DRAWN
    sorts: Mapping[str, EdgeSort] = field(default_factory=dict)
    drills: tuple[Drill, ...] = ()
    lines: tuple[tuple[Point, ...], ...] = ()
    inner_cuts: tuple[tuple[Point, ...], ...] = ()
    parts: tuple[str, ...] = ()
    may_railroad: bool = True
    folded: bool = False
    given: CutLine | None = None
    notched: tuple[tuple[Point, Point], ...] = ()

    def __post_init__(self) -> None:
        curves = list(self.edges.values())
        for one, other in zip(curves, [*curves[1:], curves[0]], strict=True):
            if math.dist(one.points[-1], other.points[0]) > _JOINED:
                msg = f"the edges of {self.name!r} must join: {one.points[-1]}, {other.points[0]}"
                raise ValueError(msg)
        strange = set(self.sorts) - set(self.edges)
        if strange or len(self.parts) > self.per_item:
            msg = f"{self.name!r} has no such edge, or more parts than panels: {strange}"
            raise ValueError(msg)

    @cached_property
    def ring(self) -> tuple[Point, ...]:
        """Its outline, first point not repeated."""
        return tuple(chain.from_iterable(edge.points[:-1] for edge in self.edges.values()))

    @property
    def narrowest_mm(self) -> float:
        """The lesser of its extents along and across the grain."""
        xs, ys = [x for x, _ in self.ring], [y for _, y in self.ring]
        return min(max(xs) - min(xs), max(ys) - min(ys))

    @property
    def area_mm2(self) -> float:
        """Area within the chords of its edges."""
        return twice_area(self.ring) / 2

    def sort(self, edge: str) -> EdgeSort:
        """What is done with an edge."""
        return self.sorts.get(edge, EdgeSort.SEAM)

    def mapped(self, move: Callable[[tuple[Point, ...]], tuple[Point, ...]]) -> "FinishedPanel":
        """The panel with everything that is drawn of it shifted, turned or mirrored.

        Parameters
        ----------
        move
            From points to where they go, in their order, lengths kept. Where it
            mirrors, the edges run backwards and in reverse order, so that they
            go round anticlockwise as before.
        """
        edges = {name: edge.mapped(move) for name, edge in self.edges.items()}
        given = self.given and replace(self.given, ring=move(self.given.ring))
        if twice_area(move(self.ring)) < 0:
            edges = {name: edge.backwards() for name, edge in reversed(edges.items())}
            given = given and replace(given, ring=given.ring[::-1])
        return replace(
            self,
            edges=edges,
            drills=tuple(replace(drill, at=move((drill.at,))[0]) for drill in self.drills),
            lines=tuple(map(move, self.lines)),
            inner_cuts=tuple(map(move, self.inner_cuts)),
            given=given,
            notched=tuple((foot, tip) for foot, tip in map(move, self.notched)),
        )

    def turned(self, turn: int) -> "FinishedPanel":
        """The panel drawn in another direction, anticlockwise by quarter turns."""
        return self.mapped(lambda points: turned(points, turn))


def mirror_image(panel: FinishedPanel, name: str) -> FinishedPanel:
    """The mirror image of a panel in its grain line, with the same names of edges.

    Its edges run the other way, so that they stand in it in reverse order: a
    strip that is met by a, b, c of one panel is met by c, b, a of the other.
    The packer mirrors nothing; whoever needs a pair drafts both.

    Raises
    ------
    ValueError
        When both would have the same name.
    """
    if name == panel.name:
        msg = f"a panel and its mirror image need unlike names: {name!r}"
        raise ValueError(msg)
    image = panel.mapped(mirrored_in_x)
    return replace(image, name=name, parts=())


def polygon(
    name: str, per_item: int, corners: Mapping[str, Point], **more: object
) -> FinishedPanel:
    """A panel with straight edges; each name belongs to the edge that starts at its corner.

    Corners are millimetres, anticlockwise, the grain along x. Further keywords
    are those of `FinishedPanel`.

    Raises
    ------
    ValueError
        As `FinishedPanel`.
    """
    points = list(corners.values())
    sides = zip(corners, points, [*points[1:], points[0]], strict=True)
    edges = {edge: line(start, end) for edge, start, end in sides}
    return FinishedPanel(name, per_item, edges, **more)  # type: ignore[arg-type]


def rectangle(
    name: str, per_item: int, x: float, y: float, edges: tuple[str, str, str, str], **more: object
) -> FinishedPanel:
    """A rectangular panel; its edges are named from the lower one anticlockwise.

    ``x`` along the grain and ``y`` across it are millimetres. Further keywords
    are those of `FinishedPanel`.

    Raises
    ------
    ValueError
        As `FinishedPanel`.
    """
    corners: tuple[Point, ...] = ((0.0, 0.0), (x, 0.0), (x, y), (0.0, y))
    return polygon(name, per_item, dict(zip(edges, corners, strict=True)), **more)
