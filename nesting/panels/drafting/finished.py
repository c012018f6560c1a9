"""Finished panels: shapes between their seams, with named edges.

Lengths are millimetres; edges run round a panel anticlockwise, seen from the
face of the cloth, each from where the one before it ends. Grain runs along x.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import cached_property
from itertools import chain

from nesting.geometry.curves import Curve, Point, line
from nesting.geometry.transforms import turned
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
        ring = self.ring
        pairs = zip(ring, (*ring[1:], ring[0]), strict=True)
        return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs) / 2

    def sort(self, edge: str) -> EdgeSort:
        """What is done with an edge."""
        return self.sorts.get(edge, EdgeSort.SEAM)

    def turned(self, turn: int) -> "FinishedPanel":
        """The panel drawn in another direction, anticlockwise by quarter turns."""
        drills = tuple(Drill(turned((d.at,), turn)[0], d.name) for d in self.drills)
        edges = {name: edge.turned(turn) for name, edge in self.edges.items()}
        given = self.given and replace(self.given, ring=turned(self.given.ring, turn))
        return replace(
            self,
            edges=edges,
            drills=drills,
            lines=tuple(turned(run, turn) for run in self.lines),
            inner_cuts=tuple(turned(run, turn) for run in self.inner_cuts),
            given=given,
            notched=tuple((a, b) for a, b in (turned(each, turn) for each in self.notched)),
        )


def mirrored(panel: FinishedPanel, name: str) -> FinishedPanel:
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
    edges = {each: edge.mirrored() for each, edge in reversed(list(panel.edges.items()))}
    drills = tuple(Drill((d.at[0], -d.at[1]), d.name) for d in panel.drills)
    ring = _image(reversed(panel.given.ring)) if panel.given else ()
    given = panel.given and replace(panel.given, ring=ring)
    return replace(
        panel,
        name=name,
        edges=edges,
        drills=drills,
        lines=tuple(map(_image, panel.lines)),
        inner_cuts=tuple(map(_image, panel.inner_cuts)),
        parts=(),
        given=given,
        notched=tuple((a, b) for a, b in map(_image, panel.notched)),
    )


def _image(points: Iterable[Point]) -> tuple[Point, ...]:
    return tuple((x, -y) for x, y in points)


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
