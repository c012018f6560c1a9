"""A cut panel: everything that a cutting room draws on it.

All coordinates are grid units in the panel's own frame: the lower left corner
of the cut outline's bounds is (0, 0) and the grain runs towards greater x.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum

from nesting.geometry.outline import Outline, twice_area

Point = tuple[int, int]


class GrainRule(StrEnum):
    """How a panel may lie to the grain of the cloth."""

    AS_DRAWN = "as drawn"
    ANY = "any"


@dataclass(frozen=True, slots=True)
class Notch:
    """A short cut inward from the cut line, where two edges are matched.

    ``foot`` lies on the cut line, ``tip`` inside the seam allowance. A double
    notch is two marks side by side, listed as two notches. A ``clip`` is cut
    towards an inside corner, nearly to the stitch line, so that it opens.
    Both points are grid units in the frame of the panel.
    """

    foot: Point
    tip: Point
    clip: bool = False


@dataclass(frozen=True, slots=True)
class DrillMark:
    """A place marked inside a panel, in grid units; ``name`` may be empty."""

    at: Point
    name: str = ""


@dataclass(frozen=True, slots=True)
class PanelEdge:
    """One edge of the stitch line, with its ``points`` from start to end and its allowance.

    ``sort`` is a word: seam, hem, zip, rolled edge. Lengths are grid units.
    """

    name: str
    sort: str
    allowance: int
    points: tuple[Point, ...]


@dataclass(frozen=True)
class Panel:
    """One cut panel of an item, before it is laid; lengths are grid units.

    ``per_item`` is how many copies one item needs; ``grain`` is an arrow from
    tail to head; ``label`` is the middle of the text, inside the outline.
    ``allowance`` is that of plain seams; each of its ``edges`` has its own.
    ``lines`` are drawn inside it and ``inner_cuts`` are cut through. Each is a
    run of points; an inner cut is a slit, or a cut-out if it ends where it
    starts. Seams of the draft call the panel ``drafted_as``. If others drafted
    under that name are cut from another cloth, or are hidden, ``parts`` names the ones that
    this panel stands for, and seams use those names. A ``railroaded`` panel is
    drawn turned by 90 degrees, together with its whole item. A ``hidden`` panel
    may have minor flaws. With ``one_shade`` the panels of one copy of its item
    are cut from one shade of their cloth.
    """

    name: str
    item: str
    cloth: str
    per_item: int
    quantity: int
    cut: Outline
    stitch: Outline | None
    notches: tuple[Notch, ...]
    grain: tuple[Point, Point]
    label: Point
    grain_rule: GrainRule = GrainRule.AS_DRAWN
    allowance: int = 0
    edges: tuple[PanelEdge, ...] = ()
    drills: tuple[DrillMark, ...] = ()
    lines: tuple[tuple[Point, ...], ...] = ()
    inner_cuts: tuple[tuple[Point, ...], ...] = ()
    drafted_as: str = ""
    parts: tuple[str, ...] = ()
    railroaded: bool = False
    hidden: bool = False
    one_shade: bool = True

    @property
    def copies(self) -> int:
        """How many copies the whole order needs."""
        return self.per_item * self.quantity

    def mapped(self, move: Callable[[tuple[Point, ...]], tuple[Point, ...]]) -> "Panel":
        """The panel with everything drawn on it shifted, turned or mirrored.

        A new field of a panel that has points is moved here and nowhere else.

        Parameters
        ----------
        move
            Takes points to their new places, in the same order. If it mirrors,
            each edge is reversed and so is their order, so that they still run
            anticlockwise.
        """

        def at(point: Point) -> Point:
            return move((point,))[0]

        cut = move(self.cut.points)
        order = 1 if twice_area(cut) > 0 else -1
        return replace(
            self,
            cut=Outline(cut),
            stitch=Outline(move(self.stitch.points)) if self.stitch else None,
            notches=tuple(replace(n, foot=at(n.foot), tip=at(n.tip)) for n in self.notches),
            grain=(at(self.grain[0]), at(self.grain[1])),
            label=at(self.label),
            edges=tuple(replace(e, points=move(e.points)[::order]) for e in self.edges[::order]),
            drills=tuple(replace(drill, at=at(drill.at)) for drill in self.drills),
            lines=tuple(map(move, self.lines)),
            inner_cuts=tuple(map(move, self.inner_cuts)),
        )
