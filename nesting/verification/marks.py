"""Whether every mark of a panel is drawn in its place, and no other marks.

Marks are notches, drill marks, and lines and cuts inside a panel; a drill mark
is two strokes whose middles are at its place. They are turned and shifted here
and not by the code that drew them. Lines are compared as curves, since a
machine may make them from either end and a format may divide them differently.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from nesting.drawings.drawing import Drawing, Path, Pen
from nesting.panels.panel import Panel
from nesting.tolerances import DEPTH_MM, FLOAT_MM
from nesting.units import GRID_PER_MM
from nesting.verification.claims import Claim, Key, Laid, Ring, at, turned, where
from nesting.verification.findings import Finding, Rule, finding
from nesting.verification.roll_call import LISTED

#: The kinds of marks that are checked, and their names.
_KINDS: Final = {
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

Curves = NDArray[np.object_]
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
        middle: Ring = _middles(self.curves[index : index + 1])[0]
        return middle


def check_marks(
    claim: Claim, drawing: Drawing, outlines: Sequence[Outline], panels: Mapping[Key, Panel]
) -> Iterator[Finding]:
    """Findings about marks that are missing, out of place or not wanted.

    Marks in an outline whose panel is unknown or wrong are skipped: other
    rules report that outline.
    """
    allowed = DEPTH_MM + FLOAT_MM + 2 * claim.within  # outline and mark may both be off
    for pen in _KINDS:
        report = _MarkFindings(claim, outlines, pen)
        own, drawn = _own_lines(pen, outlines, panels), _drawn_lines(pen, drawing, outlines)
        own, drawn = _unpaired(own, drawn, _match(own.curves, drawn.curves, allowed))
        own, drawn = _unpaired(own, drawn, _match_joined(own.curves, drawn.curves, allowed))
        beside = _match(own.curves, drawn.curves, _NEAR_MM)
        lost, new = _unpaired(own, drawn, beside)
        yield from report.limited(report.missing(lost, i) for i in range(len(lost.curves)))
        yield from report.limited(report.displaced(own, drawn, pair) for pair in beside)
        yield from report.limited(report.surplus(new, i) for i in range(len(new.curves)))


def _own_lines(pen: Pen, outlines: Sequence[Outline], panels: Mapping[Key, Panel]) -> _Lines:
    """The lines of one kind that the panels have, where they lie on the cloth."""
    known: dict[tuple[Key, float], list[Ring]] = {}
    runs: list[Ring] = []
    owners: list[int] = []
    for index, one in enumerate(outlines):
        if one.panel is None:
            continue
        kind = one.panel.key, one.panel.turn
        if kind not in known:
            own = _runs(pen, panels[one.panel.key])
            known[kind] = [turned(run, one.panel.turn) for run in own]
        if known[kind]:
            shift = _shift(one.panel, panels[one.panel.key])
            runs += [run + shift for run in known[kind]]
            owners += [index] * len(known[kind])
    return _Lines(_curves(runs), np.array(owners, dtype=np.int64))


def _runs(pen: Pen, panel: Panel) -> list[Ring]:
    """The lines of a panel in its own frame, in millimetres; a drill mark is two points."""
    runs: dict[Pen, Sequence[Sequence[tuple[int, int]]]] = {
        Pen.NOTCH: [(notch.foot, notch.tip) for notch in panel.notches],
        Pen.DRILL: [(drill.at,) for drill in panel.drills for _ in range(2)],
        Pen.INNER_LINE: panel.lines,
        Pen.INNER_CUT: panel.inner_cuts,
    }
    return [np.array(run) / GRID_PER_MM for run in runs[pen]]


def _shift(one: Laid, panel: Panel) -> Ring:
    """The shift from the turned panel to its outline, between their centres of area."""
    own = turned(np.array(panel.cut.points) / GRID_PER_MM, one.turn)
    ends = shapely.centroid([shapely.Polygon(own), one.polygon])
    here, there = shapely.get_coordinates(ends)
    shift: Ring = there - here
    return shift


def _drawn_lines(pen: Pen, drawing: Drawing, outlines: Sequence[Outline]) -> _Lines:
    """The drawn lines of one kind to be checked, each with the outline its middle lies in."""
    curves = _curves([_line(path) for path in drawing.paths if _is_line(path, pen)])
    tree = shapely.STRtree([shapely.Polygon(one.ring) for one in outlines])
    line, outline = tree.query(shapely.points(_middles(curves)), predicate="within")
    owners = np.full(len(curves), _NOWHERE, dtype=np.int64)
    owners[line] = outline
    skipped = [index for index, one in enumerate(outlines) if one.panel is None]
    checked = ~np.isin(owners, skipped)
    return _Lines(curves[checked], owners[checked])


def _is_line(path: Path, pen: Pen) -> bool:
    return path.pen is pen and bool(path.points) and bool(np.isfinite(path.points).all())


def _line(path: Path) -> Ring:
    points = np.array(path.points, dtype=np.float64)
    if path.pen is Pen.DRILL and len(points) == 2:
        points = (points[:1] + points[1:]) / 2
    return np.vstack((points, points[:1])) if path.closed else points


def _curves(runs: Sequence[Ring]) -> Curves:
    """Runs of points as lines; a single point becomes a line of length 0."""
    lines = [run if len(run) > 1 else np.repeat(run, 2, axis=0) for run in runs]
    if not lines:
        return np.empty(0, dtype=object)
    counts = [len(line) for line in lines]
    made: Curves = shapely.linestrings(
        np.concatenate(lines), indices=np.repeat(np.arange(len(lines)), counts)
    )
    return made


def _middles(curves: Curves) -> Ring:
    """The middles of the boxes around lines, an array of shape (lines, 2)."""
    boxes = shapely.bounds(curves).reshape(-1, 4)
    middles: Ring = (boxes[:, :2] + boxes[:, 2:]) / 2
    return middles


#: Index of a panel's line, index of a drawn line, and how far the two differ (mm).
Pair = tuple[int, int, float]


def _match(own: Curves, drawn: Curves, reach: float) -> list[Pair]:
    """Pairs of lines that differ by no more than ``reach``, nearest first, each line in one."""
    tree = shapely.STRtree(shapely.points(_middles(drawn)))
    # middles of boxes differ by at most the square root of two times as much as the lines
    mine, theirs = tree.query(
        shapely.points(_middles(own)), predicate="dwithin", distance=1.5 * reach
    )
    # densify adds the middles of sides, so that a ring does not match one with a side missing
    off = shapely.hausdorff_distance(own[mine], drawn[theirs], densify=0.5)
    pairs: list[Pair] = []
    taken: tuple[set[int], set[int]] = set(), set()
    for index in np.argsort(off, kind="stable"):
        one, other = int(mine[index]), int(theirs[index])
        if off[index] <= reach and one not in taken[0] and other not in taken[1]:
            taken[0].add(one)
            taken[1].add(other)
            pairs.append((one, other, float(off[index])))
    return pairs


def _match_joined(own: Curves, drawn: Curves, allowed: float) -> list[Pair]:
    """Pairs of lines that are drawn as one with others that they meet end to end.

    If two neighbours touch where a plotter feeds its paper, two notches that
    meet there are read as one stroke: the file does not show that they are not
    a line that was split.
    """
    pairs: list[Pair] = []
    tree = shapely.STRtree(own)
    around = shapely.buffer(drawn, allowed)
    for index, line in enumerate(drawn):
        parts = tree.query(around[index], predicate="covers")
        total = shapely.length(own[parts]).sum()
        if len(parts) > 1 and abs(total - line.length) <= 2 * allowed * len(parts):
            pairs += [(int(part), index, 0.0) for part in parts]
    return pairs


def _unpaired(own: _Lines, drawn: _Lines, pairs: Sequence[Pair]) -> tuple[_Lines, _Lines]:
    """The lines that are in no pair."""
    return own.without([i for i, _, _ in pairs]), drawn.without([j for _, j, _ in pairs])


@dataclass(frozen=True)
class _MarkFindings:
    """Makes findings about the marks of one kind."""

    claim: Claim
    outlines: Sequence[Outline]
    pen: Pen

    def missing(self, own: _Lines, index: int) -> Finding:
        """A mark that is not drawn."""
        detail = f"no {_KINDS[self.pen]} {at(own.place(index))}: draw it, {_AGAIN}"
        return finding(Rule.MARK_DRAWN, self._where(own.owners[index]), detail)

    def displaced(self, own: _Lines, drawn: _Lines, pair: Pair) -> Finding:
        """A mark that is drawn beside its place."""
        one, other, off = pair
        detail = f"the {_KINDS[self.pen]} {at(drawn.place(other))} is {off:.2f} mm off"
        detail += f" that of the panel {at(own.place(one))}: move it, {_AGAIN}"
        return finding(Rule.MARK_PLACE, self._where(own.owners[one]), detail)

    def surplus(self, drawn: _Lines, index: int) -> Finding:
        """A mark that no panel has."""
        stray = "" if drawn.owners[index] != _NOWHERE else ", in no outline"
        detail = f"one {_KINDS[self.pen]} too many {at(drawn.place(index))}{stray}: "
        detail += f"remove it, {_AGAIN}"
        return finding(Rule.MARK_WANTED, self._where(drawn.owners[index]), detail)

    def limited(self, found: Iterable[Finding]) -> Iterator[Finding]:
        """Findings against one rule without repeats: the first, and how many more there are."""
        once = list(dict.fromkeys(found))
        yield from once[:LISTED]
        if len(once) > LISTED:
            detail = f"{len(once) - LISTED} more of the kind {self.pen}"
            yield Finding(once[0].number, once[0].rule, self.claim.cloth, detail)

    def _where(self, owner: int) -> str:
        panel = self.outlines[owner].panel if owner != _NOWHERE else None
        return where(self.claim, panel) if panel else self.claim.cloth
