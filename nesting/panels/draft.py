"""A draft: finished shapes with named edges, and which edge is sewn to which.

Everything else (cut lines, notches, the comparison of seams) follows from
this one declaration. Lengths are millimetres. A *finished* shape is bounded
by stitch lines; its edges run round it anticlockwise, seen from the face of
the cloth, each from where the one before it ends. Grain runs along x.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import chain

from nesting.geometry.curves import Curve, Point, line
from nesting.panels.panel import GrainRule
from nesting.units import format_length, to_grid

#: Millimetres between marks on a long seam: every 200 to 300 (common practice).
_MARKS_APART = 300.0

#: Millimetres that the end of an edge and the start of the next may lie apart.
_JOINED = 1e-6


@dataclass(frozen=True)
class FinishedPanel:
    """One panel as it will be between its seams; ``edges`` by name, in their order."""

    name: str
    per_item: int
    edges: Mapping[str, Curve]
    grain_rule: GrainRule = GrainRule.AS_DRAWN

    def __post_init__(self) -> None:
        curves = list(self.edges.values())
        for one, other in zip(curves, [*curves[1:], curves[0]], strict=True):
            if math.dist(one.points[-1], other.points[0]) > _JOINED:
                msg = f"the edges of {self.name!r} must join: {one.points[-1]}, {other.points[0]}"
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

    def turned(self, turn: int) -> "FinishedPanel":
        """The panel drawn in another direction, anticlockwise by quarter turns."""
        return replace(self, edges={name: edge.turned(turn) for name, edge in self.edges.items()})


@dataclass(frozen=True, slots=True)
class EdgeUse:
    """An edge of a panel in a seam, ``times`` over when so many are sewn on in a row."""

    panel: str
    edge: str
    times: int = 1

    def __str__(self) -> str:
        times = f"{self.times} × " if self.times > 1 else ""
        return f"{times}{self.panel} {self.edge}"


@dataclass(frozen=True, slots=True)
class Mark:
    """Where both sides of a seam get a notch: a fraction of its length."""

    fraction: float
    double: bool = False


@dataclass(frozen=True)
class Seam:
    """Two runs of edges sewn together.

    The edges of ``first`` are met in the direction in which they are drawn,
    those of ``second`` against it, as two panels lie side by side. ``first``
    is longer than ``second`` on purpose by ``ease_percent``.
    """

    name: str
    first: tuple[EdgeUse, ...]
    second: tuple[EdgeUse, ...]
    marks: tuple[Mark, ...] = ()
    ease_percent: float = 0.0


@dataclass(frozen=True, slots=True)
class Fact:
    """A sentence that a maker should know; each ``{}`` in it stands for a length."""

    sentence: str
    lengths_mm: tuple[float, ...]

    def told(self, unit: str) -> str:
        """The sentence with its lengths in the maker's unit."""
        lengths = (format_length(to_grid(length), unit) for length in self.lengths_mm)
        return self.sentence.format(*lengths)


@dataclass(frozen=True)
class Draft:
    """The finished panels of one item, its seams, and what else a maker must know."""

    panels: tuple[FinishedPanel, ...]
    seams: tuple[Seam, ...]
    facts: tuple[Fact, ...] = ()

    def edge(self, use: EdgeUse) -> Curve:
        """The edge that a seam speaks of.

        Raises
        ------
        KeyError
            When no panel or edge has that name.
        """
        return {panel.name: panel.edges for panel in self.panels}[use.panel][use.edge]


def rectangle(
    name: str, per_item: int, x: float, y: float, edges: tuple[str, str, str, str]
) -> FinishedPanel:
    """A rectangular panel; its edges are named from the lower one anticlockwise."""
    corners: tuple[Point, ...] = ((0.0, 0.0), (x, 0.0), (x, y), (0.0, y))
    sides = zip(corners, (*corners[1:], corners[0]), strict=True)
    curves = (line(start, end) for start, end in sides)
    return FinishedPanel(name, per_item, dict(zip(edges, curves, strict=True)))


def marks_along(length_mm: float, parts: int, doubled: int | None = None) -> tuple[Mark, ...]:
    """Marks that divide a seam into equal parts, and those again where they are long.

    ``doubled`` is the number of the part (from 1) whose end gets a double mark.
    """
    finer = math.ceil(length_mm / parts / _MARKS_APART)
    count = parts * finer
    return tuple(
        Mark(i / count, double=doubled is not None and i == doubled * finer)
        for i in range(1, count)
    )
