"""A draft: finished shapes with named edges, and which edge is sewn to which.

Everything else (cut lines, notches, the comparison of seams, thread) follows
from this one declaration. Lengths are millimetres. A *finished* shape is
bounded by stitch lines. Its edges run round it anticlockwise, seen from the
face of the cloth, and each starts where the previous one ends. Grain runs
along x.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from nesting.geometry.curves import Curve
from nesting.panels.drafting.finished import EdgeSort, FinishedPanel
from nesting.panels.drafting.sewing import Notion, Step, Stitch
from nesting.units import format_length, to_grid

#: Millimetres between marks on a long seam: every 200 to 300 (common practice).
_MARKS_APART = 300.0


@dataclass(frozen=True, slots=True)
class EdgeUse:
    """An edge of a panel in a seam; ``times`` is how many of it are sewn on in a row.

    ``part`` names one of several equal panels, if the seam needs a particular one.
    """

    panel: str
    edge: str
    times: int = 1
    part: str = ""

    def __str__(self) -> str:
        times = f"{self.times} × " if self.times > 1 else ""
        return f"{times}{self.panel} {self.edge}"


@dataclass(frozen=True, slots=True)
class Mark:
    """Where both sides of a seam get a notch: a fraction of its length."""

    fraction: float
    double: bool = False


class SeamRole(StrEnum):
    """What a seam does in the article; sewing steps select their seams by role."""

    PLAIN = "plain"  #: two panels along an edge of each
    JOIN = "join"  #: pieces end to end, or alike panels side by side, to one
    RIM = "rim"  #: a strip, a wrap or a row of panels round a plate, a cap or an end
    ZIP = "zip"  #: two halves with a zip between them
    CLOSING = "closing"  #: the last of several alike, part of which is left open
    WELT = "welt"  #: pieces of a welt, the welt round its cord, the welt along a rim
    STRAP = "strap"  #: the long edges of a strap


@dataclass(frozen=True)
class Seam:
    """Two runs of edges sewn together; one item has ``times`` such seams.

    The seam follows the edges of ``first`` in the direction in which they are
    drawn and those of ``second`` against it, as with two panels side by side.
    ``first`` is deliberately longer than ``second`` by ``ease_percent`` (ease,
    or gathers); ``overlap_mm`` of ``first`` lies over its own start, like the
    end of a welt. ``opening_mm`` of the seam is left open for turning, or for a
    zip if it is ``zipped``. If ``first`` runs all round, the seam may start
    ``from_mm`` after the start of its first edge. A seam round a rim names the
    ``rim``: the top plate, the right end.
    """

    name: str
    first: tuple[EdgeUse, ...]
    second: tuple[EdgeUse, ...]
    marks: tuple[Mark, ...] = ()
    ease_percent: float = 0.0
    times: int = 1
    stitch: Stitch = Stitch.LOCKSTITCH
    opening_mm: float = 0.0
    overlap_mm: float = 0.0
    zipped: bool = False
    from_mm: float = 0.0
    role: SeamRole = SeamRole.PLAIN
    rim: str = ""


def seam_names(seams: Iterable[Seam], role: SeamRole, rim: str = "") -> tuple[str, ...]:
    """Names of the seams with a role, in order; only those round ``rim`` if it is given."""
    return tuple(s.name for s in seams if s.role is role and rim in ("", s.rim))


@dataclass(frozen=True, slots=True)
class Fact:
    """A sentence that a maker should know; each ``{}`` in it stands for a length."""

    sentence: str
    lengths_mm: tuple[float, ...]

    def in_unit(self, unit: str) -> str:
        """The sentence with its lengths in the maker's unit."""
        lengths = (format_length(to_grid(length), unit) for length in self.lengths_mm)
        return self.sentence.format(*lengths)


@dataclass(frozen=True, slots=True)
class Joining:
    """How a long strip is pieced together.

    ``measurement`` is the one that sets ``pieces`` (``strips``), ``sides`` is
    the number of pieces if each side had its own, and ``joins`` describes
    where the joins fall.
    """

    measurement: str
    strip: str
    pieces: int
    sides: int
    joins: tuple[str, ...]

    @property
    def usual(self) -> bool:
        """Whether it needs no mention: there is no join, or each of several sides has one piece."""
        return not self.joins or self.pieces == self.sides > 1

    @property
    def fact(self) -> Fact:
        """Where the joins fall, as a sentence."""
        cut = "one piece" if self.pieces == 1 else f"{self.pieces} pieces"
        where = f", with a join at: {', '.join(self.joins)}" if self.joins else ""
        return Fact(f"{self.strip} in {cut}{where}", ())


@dataclass(frozen=True)
class Draft:
    """The finished panels of one item, its seams, and what else a maker must know.

    ``allowances_mm`` holds the allowance of each sort of edge that has its own;
    the others take the item's seam allowance. Without ``steps`` the seams are
    sewn in their order. ``notions`` do not include thread, which is computed
    from the seams; ``volume_litres`` is the volume of the finished article, if
    it has one.

    Raises
    ------
    ValueError
        When two panels share a name, or a step names a seam that does not exist.
    """

    panels: tuple[FinishedPanel, ...]
    seams: tuple[Seam, ...]
    facts: tuple[Fact, ...] = ()
    allowances_mm: Mapping[EdgeSort, float] = field(default_factory=dict)
    joinings: tuple[Joining, ...] = ()
    steps: tuple[Step, ...] = ()
    notions: tuple[Notion, ...] = ()
    volume_litres: float | None = None

    def __post_init__(self) -> None:
        names = [name for panel in self.panels for name in (panel.name, *panel.parts)]
        seams = {seam.name for seam in self.seams}
        unknown = {each for step in self.steps for each in step.seams} - seams
        if len(set(names)) < len(names) or unknown:
            msg = f"two panels share a name ({names}), or no seam has the name {unknown}"
            raise ValueError(msg)

    def panel(self, name: str) -> FinishedPanel:
        """The panel with a name.

        Raises
        ------
        KeyError
            When no panel has that name.
        """
        return {panel.name: panel for panel in self.panels}[name]

    def edge(self, use: EdgeUse) -> Curve:
        """The edge that a seam uses; a KeyError if no panel or edge has that name."""
        return self.panel(use.panel).edges[use.edge]

    def run_mm(self, run: tuple[EdgeUse, ...]) -> float:
        """Length of one side of a seam."""
        return sum(use.times * self.edge(use).length_mm for use in run)

    def allowance_mm(self, use: EdgeUse, seam_mm: float) -> float:
        """Allowance of an edge; plain seams have ``seam_mm``."""
        return self.allowances_mm.get(self.panel(use.panel).sort(use.edge), seam_mm)

    @property
    def area_mm2(self) -> float:
        """Area of all its finished panels but those of a liner: the surface of the article."""
        return sum(panel.per_item * panel.area_mm2 for panel in self.panels if not panel.lining)

    def railroaded(self) -> "Draft":
        """The draft with every panel turned by 90 degrees, anticlockwise."""
        return replace(self, panels=tuple(panel.turned(90) for panel in self.panels))


def marks_along(length_mm: float, parts: int, doubled: int | None = None) -> tuple[Mark, ...]:
    """Marks that divide a seam into equal parts, and divide long parts again.

    ``doubled`` is the number of the part (from 1) whose end gets a double
    mark: single marks belong to the front, double marks to the back.
    """
    finer = math.ceil(length_mm / parts / _MARKS_APART)
    count = parts * finer
    return tuple(
        Mark(i / count, double=doubled is not None and i == doubled * finer)
        for i in range(1, count)
    )


def marks_over(sides_mm: tuple[float, ...], doubled: int | None = None) -> tuple[Mark, ...]:
    """Marks along a run of several sides: at the corners between them and within each side.

    ``doubled`` is the index of the side whose middle gets a double mark.
    """
    total, met, marks = sum(sides_mm), 0.0, []
    for index, side in enumerate(sides_mm):
        marks += [Mark(met / total)] if index else []
        marks += [
            Mark((met + mark.fraction * side) / total, mark.double)
            for mark in marks_along(side, parts=2, doubled=1 if index == doubled else None)
        ]
        met += side
    return tuple(marks)
