"""Whether every mark of a panel is drawn in its place, and no other marks.

Marks are stitch lines, notches, drill marks, and lines and cuts inside a panel; a
drill mark is two strokes whose middles are at its place. They are turned and shifted here
and not by the code that drew them. Lines are compared as curves, since a
machine may make them from either end and a format may divide them differently.
Kinds that share a pen are compared together.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from nesting.drawings.drawing import Drawing, Path, Pen
from nesting.drawings.tool import FOLLOWED, Tool
from nesting.panels.panel import Panel
from nesting.tolerances import DEPTH_MM, FLOAT_MM
from nesting.units import GRID_PER_MM
from nesting.verification.claims import Claim, Key, Laid, Ring, at, turned, where
from nesting.verification.curves import (
    Curves,
    Pair,
    as_curves,
    match,
    match_joined,
    middles,
    run_of,
)
from nesting.verification.findings import Finding, Rule, finding
from nesting.verification.roll_call import LISTED

#: The kinds of marks that are checked.
_CHECKED: Final = (Pen.STITCH, Pen.NOTCH, Pen.DRILL, Pen.INNER_LINE, Pen.INNER_CUT)

#: The names of the kinds that can be compared.
_NAMES: Final = {
    Pen.STITCH: "stitch line",
    Pen.NOTCH: "notch",
    Pen.DRILL: "drill mark",
    Pen.INNER_LINE: "inner line",
    Pen.INNER_CUT: "inner cut",
}

#: A mark no farther than this from its place (mm) is reported as displaced; one
#: farther away as one mark missing and one too many.
_NEAR_MM: Final = 20.0

_AGAIN: Final = "or export the drawing again"

#: Stands for no outline where the index of one is expected.
_NOWHERE: Final = -1

Indices = NDArray[np.int64]


@dataclass(frozen=True)
class Outline:
    """A closed cut line, and its panel if its marks can be checked."""

    ring: Ring
    panel: Laid | None


@dataclass(frozen=True)
class _Lines:
    """Lines of one kind, and for each the index of the outline it belongs to, or `_NOWHERE`."""

    curves: Curves
    owners: Indices

    def without(self, gone: Sequence[int]) -> "_Lines":
        """All lines except those with these indices."""
        return _Lines(np.delete(self.curves, gone), np.delete(self.owners, gone))

    def place(self, index: int) -> Ring:
        """The middle of a line, as `at` prints it."""
        middle: Ring = middles(self.curves[index : index + 1])[0]
        return middle


def check_marks(
    claim: Claim,
    drawing: Drawing,
    outlines: Sequence[Outline],
    panels: Mapping[Key, Panel],
    tool: Tool = Tool.PEN,
) -> Iterator[Finding]:
    """Findings about marks that are missing, out of place or not wanted.

    A drawing for a knife has no inner lines, and its drill marks are points.
    Marks in an outline whose panel is unknown or wrong are skipped: other rules
    report that outline.
    """
    allowed = DEPTH_MM + FLOAT_MM + 2 * claim.within  # outline and mark may both be off
    for kinds in _kinds(drawing, tool):
        if drawing.left_out.issuperset(kinds):
            continue
        report = _MarkFindings(claim, outlines, kinds)
        own = _own_lines(kinds, outlines, panels, tool)
        drawn = _drawn_lines(kinds, drawing, outlines, tool)
        own, drawn = _unpaired(own, drawn, match(own.curves, drawn.curves, allowed))
        own, drawn = _unpaired(own, drawn, match_joined(own.curves, drawn.curves, allowed))
        beside = match(own.curves, drawn.curves, _NEAR_MM)
        lost, new = _unpaired(own, drawn, beside)
        yield from report.limited(report.missing(lost, i) for i in range(len(lost.curves)))
        yield from report.limited(report.displaced(own, drawn, pair) for pair in beside)
        yield from report.limited(report.surplus(new, i) for i in range(len(new.curves)))


def marks_out_of_place(claim: Claim, drawing: Drawing, one: Laid, panel: Panel) -> int:
    """How many marks are missing or too many in an outline for a knife, if it is that panel."""
    allowed = DEPTH_MM + FLOAT_MM + 2 * claim.within
    outline, wrong = [Outline(one.ring, one)], 0
    for kinds in _kinds(drawing, Tool.KNIFE):
        if not drawing.left_out.issuperset(kinds):
            own = _own_lines(kinds, outline, {one.key: panel}, Tool.KNIFE).curves
            drawn = _drawn_lines(kinds, drawing, outline, Tool.KNIFE)
            inside = drawn.curves[drawn.owners != _NOWHERE]
            wrong += len(own) + len(inside) - 2 * len(match(own, inside, allowed))
    return wrong


def _kinds(drawing: Drawing, tool: Tool) -> Iterator[tuple[Pen, ...]]:
    """The kinds to be compared, together where a file does not tell them apart."""
    checked = [pen for pen in _CHECKED if tool is Tool.PEN or pen in FOLLOWED]
    return iter(dict.fromkeys(drawing.told_as(pen) for pen in checked))


def _own_lines(
    kinds: Sequence[Pen], outlines: Sequence[Outline], panels: Mapping[Key, Panel], tool: Tool
) -> _Lines:
    """The lines of some kinds that the panels have, where they lie on the cloth."""
    known: dict[tuple[Key, float], list[Ring]] = {}
    runs: list[Ring] = []
    owners: list[int] = []
    for index, one in enumerate(outlines):
        if one.panel is None:
            continue
        posed = one.panel.key, one.panel.turn
        if posed not in known:
            own = (run for pen in kinds for run in _runs(pen, panels[one.panel.key], tool))
            known[posed] = [turned(run, one.panel.turn) for run in own]
        if known[posed]:
            shift = _shift(one.panel, panels[one.panel.key])
            runs += [run + shift for run in known[posed]]
            owners += [index] * len(known[posed])
    return _Lines(as_curves(runs), np.array(owners, dtype=np.int64))


def _runs(pen: Pen, panel: Panel, tool: Tool) -> list[Ring]:
    """The lines of a panel in its own frame, in millimetres; a drill mark is its middle.

    A pen crosses there, so that the middle is that of two lines.
    """
    lines = 2 if tool is Tool.PEN else 1
    stitch = panel.stitch.points if panel.stitch else ()
    runs: dict[Pen, Sequence[Sequence[tuple[int, int]]]] = {
        Pen.STITCH: [(*stitch, *stitch[:1])] if stitch else [],
        Pen.NOTCH: [(notch.foot, notch.tip) for notch in panel.notches],
        Pen.DRILL: [(drill.at,) for drill in panel.drills for _ in range(lines)],
        Pen.INNER_LINE: panel.lines,
        Pen.INNER_CUT: panel.inner_cuts,
    }
    return [np.array(run) / GRID_PER_MM for run in runs.get(pen, ())]


def _shift(one: Laid, panel: Panel) -> Ring:
    """The shift from the turned panel to its outline, between their centres of area."""
    own = turned(np.array(panel.cut.points) / GRID_PER_MM, one.turn)
    ends = shapely.centroid([shapely.Polygon(own), one.polygon])
    here, there = shapely.get_coordinates(ends)
    shift: Ring = there - here
    return shift


def _drawn_lines(
    kinds: Sequence[Pen], drawing: Drawing, outlines: Sequence[Outline], tool: Tool
) -> _Lines:
    """The drawn lines of some kinds to be checked, each with the outline its middle lies in."""
    curves = as_curves([_line(path, tool) for path in drawing.paths if _is_line(path, kinds)])
    tree = shapely.STRtree([shapely.Polygon(one.ring) for one in outlines])
    line, outline = tree.query(_insides(curves), predicate="within")
    owners = np.full(len(curves), _NOWHERE, dtype=np.int64)
    owners[line] = outline
    skipped = [index for index, one in enumerate(outlines) if one.panel is None]
    checked = ~np.isin(owners, skipped)
    return _Lines(curves[checked], owners[checked])


def _insides(curves: Curves) -> Curves:
    """A place for each line that is in its outline: the middle, or one within a ring.

    The middle of the box around a stitch line may be outside a panel that bends.
    """
    places: Curves = shapely.points(middles(curves))
    rings = shapely.is_ring(curves) & (shapely.get_num_coordinates(curves) > 3)
    points, of_ring = shapely.get_coordinates(curves[rings], return_index=True)
    areas = shapely.polygons(shapely.linearrings(points, indices=of_ring))
    places[rings] = shapely.point_on_surface(areas)
    return places


def _is_line(path: Path, kinds: Sequence[Pen]) -> bool:
    return path.pen in kinds and bool(path.points) and bool(np.isfinite(path.points).all())


def _line(path: Path, tool: Tool) -> Ring:
    points = run_of(path)
    if tool is Tool.PEN and path.pen is Pen.DRILL and len(points) == 2:
        points = (points[:1] + points[1:]) / 2
    return points


def _unpaired(own: _Lines, drawn: _Lines, pairs: Sequence[Pair]) -> tuple[_Lines, _Lines]:
    """The lines that are in no pair."""
    return own.without([i for i, _, _ in pairs]), drawn.without([j for _, j, _ in pairs])


@dataclass(frozen=True)
class _MarkFindings:
    """Makes findings about the marks of some kinds, which one pen draws."""

    claim: Claim
    outlines: Sequence[Outline]
    kinds: Sequence[Pen]

    def missing(self, own: _Lines, index: int) -> Finding:
        """A mark that is not drawn."""
        detail = f"no {self._name} {at(own.place(index))}: draw it, {_AGAIN}"
        return finding(Rule.MARK_DRAWN, self._where(own.owners[index]), detail)

    def displaced(self, own: _Lines, drawn: _Lines, pair: Pair) -> Finding:
        """A mark that is drawn beside its place."""
        one, other, off = pair
        detail = f"the {self._name} {at(drawn.place(other))} is {off:.2f} mm off"
        detail += f" that of the panel {at(own.place(one))}: move it, {_AGAIN}"
        return finding(Rule.MARK_PLACE, self._where(own.owners[one]), detail)

    def surplus(self, drawn: _Lines, index: int) -> Finding:
        """A mark that no panel has."""
        stray = "" if drawn.owners[index] != _NOWHERE else ", in no outline"
        detail = f"one {self._name} too many {at(drawn.place(index))}{stray}: "
        detail += f"remove it, {_AGAIN}"
        return finding(Rule.MARK_WANTED, self._where(drawn.owners[index]), detail)

    def limited(self, found: Iterable[Finding]) -> Iterator[Finding]:
        """Findings against one rule without repeats: the first, and how many more there are."""
        once = list(dict.fromkeys(found))
        yield from once[:LISTED]
        if len(once) > LISTED:
            detail = f"{len(once) - LISTED} more of the kind {' or '.join(self.kinds)}"
            yield Finding(once[0].number, once[0].rule, self.claim.cloth, detail)

    @property
    def _name(self) -> str:
        return " or ".join(_NAMES[kind] for kind in self.kinds if kind in _NAMES)

    def _where(self, owner: int) -> str:
        panel = self.outlines[owner].panel if owner != _NOWHERE else None
        return where(self.claim, panel) if panel else self.claim.cloth
