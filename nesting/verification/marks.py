"""Whether every mark of a panel is drawn where its outline lies, and no other.

Marks are notches, drill marks, and lines and cuts inside a panel; a drill mark
is two strokes that have their middles at its place. They are turned and
shifted here and not by the code that drew them. Lines are held against each
other as curves, since a machine may make them from either end and a format
may divide them otherwise.
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

#: What is judged, and what people call it.
_KINDS: Final = {
    Pen.NOTCH: "notch",
    Pen.DRILL: "drill mark",
    Pen.INNER_LINE: "inner line",
    Pen.INNER_CUT: "inner cut",
}

#: A mark so far off its place (mm) is told as displaced; one that is further off
#: as one missing and another too many.
_NEAR_MM: Final = 20.0

_AGAIN: Final = "or export the drawing again"

#: In place of an outline's index.
_NOWHERE: Final = -1

Curves = NDArray[np.object_]
Indices = NDArray[np.int64]


@dataclass(frozen=True)
class Outline:
    """A closed cut line, and the panel that it is where its marks can be judged."""

    ring: Ring
    panel: Laid | None


@dataclass(frozen=True)
class _Lines:
    """Lines of one kind, and for each the outline that it belongs to, by index, or `_NOWHERE`."""

    curves: Curves
    owners: Indices

    def without(self, gone: Sequence[int]) -> "_Lines":
        """All lines but those with some indices."""
        return _Lines(np.delete(self.curves, gone), np.delete(self.owners, gone))

    def place(self, index: int) -> Ring:
        """The middle of a line, as `at` prints it."""
        middle: Ring = _middles(self.curves[index : index + 1])[0]
        return middle


def marks(
    claim: Claim, drawing: Drawing, outlines: Sequence[Outline], panels: Mapping[Key, Panel]
) -> Iterator[Finding]:
    """Findings about marks that are missing, out of place or too many.

    What lies in an outline whose panel is not known, or is not as it should
    be, is passed over: other rules have found that.
    """
    allowed = DEPTH_MM + FLOAT_MM + 2 * claim.within  # outline and mark may both be off
    for pen in _KINDS:
        told = _Told(claim, outlines, pen)
        own, drawn = _own(pen, outlines, panels), _drawn(pen, drawing, outlines)
        own, drawn = _rest(own, drawn, _matched(own.curves, drawn.curves, allowed))
        own, drawn = _rest(own, drawn, _joined(own.curves, drawn.curves, allowed))
        beside = _matched(own.curves, drawn.curves, _NEAR_MM)
        lost, new = _rest(own, drawn, beside)
        yield from told.listed(told.missing(lost, i) for i in range(len(lost.curves)))
        yield from told.listed(told.displaced(own, drawn, pair) for pair in beside)
        yield from told.listed(told.surplus(new, i) for i in range(len(new.curves)))


def _own(pen: Pen, outlines: Sequence[Outline], panels: Mapping[Key, Panel]) -> _Lines:
    """The lines that the panels have, where they lie."""
    known: dict[tuple[Key, float], list[Ring]] = {}
    runs: list[Ring] = []
    owners: list[int] = []
    for index, one in enumerate(outlines):
        if one.panel is None:
            continue
        alike = one.panel.key, one.panel.turn
        if alike not in known:
            own = _runs(pen, panels[one.panel.key])
            known[alike] = [turned(run, one.panel.turn) for run in own]
        if known[alike]:
            shift = _shift(one.panel, panels[one.panel.key])
            runs += [run + shift for run in known[alike]]
            owners += [index] * len(known[alike])
    return _Lines(_curves(runs), np.array(owners, dtype=np.int64))


def _runs(pen: Pen, panel: Panel) -> list[Ring]:
    """The lines of a panel in its own frame, millimetres; a drill mark's strokes as points."""
    runs: dict[Pen, Sequence[Sequence[tuple[int, int]]]] = {
        Pen.NOTCH: [(notch.foot, notch.tip) for notch in panel.notches],
        Pen.DRILL: [(drill.at,) for drill in panel.drills for _ in range(2)],
        Pen.INNER_LINE: panel.lines,
        Pen.INNER_CUT: panel.inner_cuts,
    }
    return [np.array(run) / GRID_PER_MM for run in runs[pen]]


def _shift(one: Laid, panel: Panel) -> Ring:
    """What takes the turned panel to its outline: the way between their centres of area."""
    own = turned(np.array(panel.cut.points) / GRID_PER_MM, one.turn)
    ends = shapely.centroid([shapely.Polygon(own), one.polygon])
    here, there = shapely.get_coordinates(ends)
    way: Ring = there - here
    return way


def _drawn(pen: Pen, drawing: Drawing, outlines: Sequence[Outline]) -> _Lines:
    """The lines of a kind that are drawn and judged, each with the outline its middle lies in."""
    curves = _curves([_line(path) for path in drawing.paths if _is_line(path, pen)])
    tree = shapely.STRtree([shapely.Polygon(one.ring) for one in outlines])
    line, outline = tree.query(shapely.points(_middles(curves)), predicate="within")
    owners = np.full(len(curves), _NOWHERE, dtype=np.int64)
    owners[line] = outline
    unjudged = [index for index, one in enumerate(outlines) if one.panel is None]
    judged = ~np.isin(owners, unjudged)
    return _Lines(curves[judged], owners[judged])


def _is_line(path: Path, pen: Pen) -> bool:
    return path.pen is pen and bool(path.points) and bool(np.isfinite(path.points).all())


def _line(path: Path) -> Ring:
    points = np.array(path.points, dtype=np.float64)
    if path.pen is Pen.DRILL and len(points) == 2:
        points = (points[:1] + points[1:]) / 2
    return np.vstack((points, points[:1])) if path.closed else points


def _curves(runs: Sequence[Ring]) -> Curves:
    """Runs of points as lines; a single point as a line of no length."""
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


#: An own line, a drawn line and how far they differ (mm).
Pair = tuple[int, int, float]


def _matched(own: Curves, drawn: Curves, reach: float) -> list[Pair]:
    """Pairs of lines that differ by no more than a reach, each line in one: the nearest first."""
    tree = shapely.STRtree(shapely.points(_middles(drawn)))
    # middles of boxes differ by at most the square root of two times what the lines do
    mine, theirs = tree.query(
        shapely.points(_middles(own)), predicate="dwithin", distance=1.5 * reach
    )
    # middles of sides are looked at as well, so that a ring is not taken for one with a side open
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


def _joined(own: Curves, drawn: Curves, allowed: float) -> list[Pair]:
    """Lines that are drawn in one with others that they meet end to end.

    Two notches of neighbours that touch are one stroke where a plotter feeds
    its paper on between them: the file cannot tell that from a split line.
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


def _rest(own: _Lines, drawn: _Lines, pairs: Sequence[Pair]) -> tuple[_Lines, _Lines]:
    """What is in no pair."""
    return own.without([i for i, _, _ in pairs]), drawn.without([j for _, j, _ in pairs])


@dataclass(frozen=True)
class _Told:
    """Puts into words what is wrong with the marks of one kind."""

    claim: Claim
    outlines: Sequence[Outline]
    pen: Pen

    def missing(self, own: _Lines, index: int) -> Finding:
        """A mark that is not drawn."""
        told = f"no {_KINDS[self.pen]} {at(own.place(index))}: draw it, {_AGAIN}"
        return finding(Rule.MARK_DRAWN, self._where(own.owners[index]), told)

    def displaced(self, own: _Lines, drawn: _Lines, pair: Pair) -> Finding:
        """A mark beside its place."""
        one, other, off = pair
        told = f"the {_KINDS[self.pen]} {at(drawn.place(other))} is {off:.2f} mm off"
        told += f" that of the panel {at(own.place(one))}: move it, {_AGAIN}"
        return finding(Rule.MARK_PLACE, self._where(own.owners[one]), told)

    def surplus(self, drawn: _Lines, index: int) -> Finding:
        """A mark that no panel has."""
        stray = "" if drawn.owners[index] != _NOWHERE else ", in no outline"
        told = f"one {_KINDS[self.pen]} too many {at(drawn.place(index))}{stray}: "
        told += f"take it out, {_AGAIN}"
        return finding(Rule.MARK_WANTED, self._where(drawn.owners[index]), told)

    def listed(self, found: Iterable[Finding]) -> Iterator[Finding]:
        """Findings against one rule, each once; of many the first, and how many more."""
        once = list(dict.fromkeys(found))
        yield from once[:LISTED]
        if len(once) > LISTED:
            told = f"{len(once) - LISTED} more of the kind {self.pen}"
            yield Finding(once[0].number, once[0].rule, self.claim.cloth, told)

    def _where(self, owner: int) -> str:
        panel = self.outlines[owner].panel if owner != _NOWHERE else None
        return where(self.claim, panel) if panel else self.claim.cloth
