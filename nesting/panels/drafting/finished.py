"""Finished panels: shapes bounded by their stitch lines, with named edges.

Lengths are millimetres. Edges run round a panel anticlockwise, seen from the
face of the cloth, and each starts where the previous one ends. Grain runs
along x.
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

#: Largest distance in millimetres between the end of an edge and the start of the next.
_JOINED = 1e-6


class EdgeSort(StrEnum):
    """What is done with an edge; each sort may have an allowance of its own."""

    SEAM = "seam"
    HEM = "hem"
    ZIP = "zip"
    ROLLED = "rolled edge"


@dataclass(frozen=True, slots=True)
class Drill:
    """A place marked inside a panel (a button, a handle), in millimetres; ``name`` may be empty."""

    at: Point
    name: str = ""


@dataclass(frozen=True, slots=True)
class CutLine:
    """A cut line from the maker's own pattern, used instead of one made from allowances.

    ``ring`` is in millimetres; ``allowance_mm`` is its distance outside the
    stitch line, 0 if no stitch line is known.
    """

    ring: tuple[Point, ...]
    allowance_mm: float = 0.0


@dataclass(frozen=True)
class FinishedPanel:
    """One panel at its size between the seams; ``edges`` are by name, in their order.

    Lengths are millimetres; the edges run anticlockwise, the grain along x.
    ``sorts`` names the edges that are not plain seams. ``drills`` are places
    marked inside it, ``lines`` are runs drawn on it (a fold), and
    ``inner_cuts`` are runs that are cut through (a slit, or a cut-out, which
    ends where it starts). ``notched`` are its own notches in addition to those
    of seams, each from its foot inward; the foot lies on the ``given`` cut line
    or, without one, on an edge. If the ``per_item`` panels are equal but an
    order may want one from another cloth, ``parts`` names them: a part that the
    order names is cut as a separate panel. ``may_railroad`` says whether it may
    be turned by 90 degrees with the whole item. A ``folded`` panel is sewn with
    its allowances on top of each other, so they may be wider than the panel. A
    ``lining`` panel belongs to the liner inside the article.

    Raises
    ------
    ValueError
        When an edge does not start where the previous one ends, ``sorts`` names
        an edge that does not exist, or there are more parts than panels.
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
    lining: bool = False
    given: CutLine | None = None
    notched: tuple[tuple[Point, Point], ...] = ()

    def __post_init__(self) -> None:
        curves = list(self.edges.values())
        for one, other in zip(curves, [*curves[1:], curves[0]], strict=True):
            if math.dist(one.points[-1], other.points[0]) > _JOINED:
                msg = f"the edges of {self.name!r} must join: {one.points[-1]}, {other.points[0]}"
                raise ValueError(msg)
        unknown = set(self.sorts) - set(self.edges)
        if unknown or len(self.parts) > self.per_item:
            msg = f"{self.name!r} has no such edge, or more parts than panels: {unknown}"
            raise ValueError(msg)

    @cached_property
    def ring(self) -> tuple[Point, ...]:
        """The outline, without repeating the first point."""
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
        """The panel with everything drawn on it shifted, turned or mirrored.

        Parameters
        ----------
        move
            Takes points to their new places, in the same order and without
            changing lengths. If it mirrors, each edge is reversed and so is
            their order, so that they still run anticlockwise.
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

    def enlarged(self, factor: float) -> "FinishedPanel":
        """The panel with everything drawn on it, and every length, multiplied by a factor."""
        drawn = self.mapped(lambda points: tuple((factor * x, factor * y) for x, y in points))
        edges = {
            name: Curve(edge.points, factor * edge.length_mm) for name, edge in drawn.edges.items()
        }
        return replace(drawn, edges=edges)

    def turned(self, turn: int) -> "FinishedPanel":
        """The panel turned anticlockwise by a multiple of 90 degrees."""
        return self.mapped(lambda points: turned(points, turn))


def mirror_image(panel: FinishedPanel, name: str) -> FinishedPanel:
    """The mirror image of a panel in its grain line, with the same edge names.

    Its edges are in reverse order: a strip that meets a, b, c of one panel
    meets c, b, a of the other. The packer mirrors nothing, so a product that
    needs a pair drafts both.

    Raises
    ------
    ValueError
        When both have the same name.
    """
    if name == panel.name:
        msg = f"a panel and its mirror image need unlike names: {name!r}"
        raise ValueError(msg)
    image = panel.mapped(mirrored_in_x)
    return replace(image, name=name, parts=())


def polygon(
    name: str, per_item: int, corners: Mapping[str, Point], **more: object
) -> FinishedPanel:
    """A panel with straight edges; each name is that of the edge that starts at the corner.

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
    """A rectangular panel; ``edges`` names its edges anticlockwise from the lower one.

    ``x`` along the grain and ``y`` across it are millimetres. Further keywords
    are those of `FinishedPanel`.

    Raises
    ------
    ValueError
        As `FinishedPanel`.
    """
    corners: tuple[Point, ...] = ((0.0, 0.0), (x, 0.0), (x, y), (0.0, y))
    return polygon(name, per_item, dict(zip(edges, corners, strict=True)), **more)
