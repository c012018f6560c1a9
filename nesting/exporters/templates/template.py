"""The template of one panel, at full size: all of it, or half to be cut on the fold.

The frame of a template: millimetres, the least corner of its cut line is
the origin, and grain runs along x. On a half the fold is its lower side
(fold along the grain) or its left side (fold across it).
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

import shapely

from nesting.drawings.lettering import LEAST_HEIGHT_MM, fitted_height
from nesting.drawings.panel_marks import drill_cross, grain_arrow
from nesting.drawings.print.page import Figure, Look, Mark, Point, Side, Stroke, Words, line
from nesting.exporters.templates.folding import TWINS_APART, beyond_fold, foldable, open_half
from nesting.geometry.symmetry import Axis
from nesting.panels import allowances
from nesting.panels.panel import GrainRule, Panel
from nesting.units import points_to_mm, to_mm

CUT = Look(0.5)
STITCH = Look(0.25, 0.35, (4, 2))
NOTCH = Look(0.4)
LINE = Look(0.2, 0.35)
GRAIN = Look(0.3, 0.35)
FOLD = Look(0.5, 0.0, (10, 2, 2, 2))

#: Greatest height of a label's capitals, and the blank between its lines as a share of them.
_LABEL_MM = 6.0
_LEADING = 1.7

#: Half the arms of the cross at a place to drill or to sew a button.
_ARM = 3.0

#: Half a line's width may lie outside the cut line.
_EDGE_MM = 1.0

#: Width of the strip beside a fold that holds the words about it.
_FOLD_WORDS = "fold: lay this edge on the fold of the cloth, do not cut it"
_FOLD_STRIP = 7.5

#: Length of the grain arrow of a half, as a share of the chord it lies on.
_ARROW = 0.6


@dataclass(frozen=True)
class Template:
    """What is printed of a panel: ``ring`` bounds it, ``fold`` says where a half is folded."""

    panel: Panel
    fold: Axis | None
    ring: tuple[Point, ...]
    figure: Figure

    @property
    def length(self) -> float:
        """Extent along the grain, in millimetres."""
        return max(x for x, _ in self.ring)

    @property
    def height(self) -> float:
        """Extent across the grain, in millimetres."""
        return max(y for _, y in self.ring)

    @property
    def name(self) -> str:
        """The names of the item and the panel."""
        return f"{self.panel.item} / {self.panel.name}"


def whole(panel: Panel, units: str) -> Template:
    """The template of a whole panel."""
    ring = points_to_mm(panel.cut.points)
    tail, head = points_to_mm(panel.grain)
    marks = [Stroke(ring, CUT, closed=True)]
    if panel.stitch:
        marks.append(Stroke(points_to_mm(panel.stitch.points), STITCH, closed=True))
    for run, look in _inner(panel):
        marks.append(Stroke(run, look))
    marks += [Stroke(points_to_mm((n.foot, n.tip)), NOTCH) for n in panel.notches]
    for at in points_to_mm(drill.at for drill in panel.drills):
        marks += _drill(at)
    room = points_to_mm(panel.stitch.points) if panel.stitch else ring
    return _made(panel, units, None, ring, marks, (tail, head), room)


def halves(panel: Panel, units: str) -> tuple[Template, ...]:
    """Every half by which the panel can be cut on the fold, along the grain first.

    The cut line must be its own mirror image exactly, and so must the stitch
    line; notches may be off by less than anybody can snip.
    """
    found = (_half(panel, units, axis) for axis in Axis if foldable(panel, axis))
    return tuple(half for half in found if half is not None)


def label_lines(panel: Panel, units: str, fold: Axis | None = None) -> tuple[str, ...]:
    """The text on a panel's template, line by line."""
    copies = f"cut {panel.copies} from {panel.cloth}" + (" on the fold" if fold else "")
    allowance = allowances.allowance_text(panel, units)
    grain = "grain any way" if panel.grain_rule is GrainRule.ANY else "grain along the arrow"
    return (
        f"{panel.item} / {panel.name}",
        copies,
        f"allowance included: {allowance}" if allowance else "cut size, no seam allowance",
        grain,
    )


def _half(panel: Panel, units: str, axis: Axis) -> Template | None:
    """One half, folded at its lower or its left side; None where the fold is in several runs."""
    side = 1 if axis is Axis.ALONG else 0
    shift = [0.0, 0.0]
    shift[side] = -to_mm(panel.cut.bounds[side] + panel.cut.bounds[side + 2]) / 2
    cut = open_half(_shifted(points_to_mm(panel.cut.points), shift), side)
    sewn = panel.stitch and _shifted(points_to_mm(panel.stitch.points), shift)
    stitch = sewn and open_half(sewn, side)
    if cut is None or (sewn and stitch is None):
        return None
    marks = [Stroke(cut, CUT), line(cut[-1], cut[0], FOLD)]
    if stitch:
        marks.append(Stroke(stitch, STITCH))
    least = -to_mm(TWINS_APART)
    for notch in panel.notches:
        ends = _shifted(points_to_mm((notch.foot, notch.tip)), shift)
        marks += [Stroke(ends, NOTCH)] if ends[0][side] > least else []
    for at in _shifted(points_to_mm(drill.at for drill in panel.drills), shift):
        marks += _drill(at) if at[side] > least else ()
    for run, look in _inner(panel):
        marks += [Stroke(part, look) for part in beyond_fold(_shifted(run, shift), side)]
    return _made(panel, units, axis, cut, marks, _arrow(cut, axis), stitch or cut)


def _inner(panel: Panel) -> Iterator[tuple[tuple[Point, ...], Look]]:
    """Lines inside a panel, each with its look: those that are cut look like its cut line."""
    yield from ((points_to_mm(run), LINE) for run in panel.lines)
    yield from ((points_to_mm(run), CUT) for run in panel.inner_cuts)


def _drill(at: Point) -> Iterator[Stroke]:
    yield from (Stroke(stroke, NOTCH) for stroke in drill_cross(at, _ARM))


def _arrow(ring: tuple[Point, ...], axis: Axis) -> tuple[Point, Point]:
    """A grain arrow on a half: nearer to a fold along the grain than to the cut line."""
    top = max(y for _, y in ring)
    low = min(y for _, y in ring)
    y = low + (top - low) * (0.25 if axis is Axis.ALONG else 0.5)
    x0, x1 = _chord(shapely.Polygon(ring), y)
    middle, half = (x0 + x1) / 2, (x1 - x0) / 2 * _ARROW
    return (middle - half, y), (middle + half, y)


def _chord(figure: shapely.Polygon, y: float) -> tuple[float, float]:
    """The ends of the longest run of a horizontal line inside a figure."""
    x0, _, x1, _ = figure.bounds
    cut = figure.intersection(shapely.LineString([(x0, y), (x1, y)]))
    longest = max(shapely.get_parts(cut), key=lambda part: part.length)
    return longest.bounds[0], longest.bounds[2]


def _made(
    panel: Panel,
    units: str,
    fold: Axis | None,
    ring: tuple[Point, ...],
    marks: Iterable[Mark],
    arrow: tuple[Point, Point],
    inside: tuple[Point, ...],
) -> Template:
    """A template whose words stand within ``inside``; its marks come in any frame."""
    x0, y0 = min(x for x, _ in ring), min(y for _, y in ring)
    room = _room(inside, arrow[0][1], (x0, y0), fold)
    all_marks = (
        *marks,
        *_grain(arrow),
        *_label(label_lines(panel, units, fold), room),
        *_fold_words(ring, fold),
    )
    at = (-x0, -y0)
    placed = tuple(_moved(mark, at) for mark in all_marks)
    own = _shifted(ring, at)
    far_x, far_y = max(x for x, _ in own), max(y for _, y in own)
    box = (-_EDGE_MM, -_EDGE_MM, far_x + _EDGE_MM, far_y + _EDGE_MM)
    return Template(panel, fold, own, Figure(box, placed))


def _moved(mark: Mark, by: Point) -> Mark:
    if isinstance(mark, Stroke):
        return replace(mark, points=_shifted(mark.points, by))
    return replace(mark, at=_shifted((mark.at,), by)[0])


def _grain(arrow: tuple[Point, Point]) -> Iterator[Mark]:
    yield from (Stroke(stroke, GRAIN) for stroke in grain_arrow(*arrow))


def _room(
    inside: tuple[Point, ...], above: float, corner: Point, fold: Axis | None
) -> shapely.Polygon:
    """Where the label may stand: above the grain arrow and clear of the words at the fold."""
    figure = shapely.Polygon(inside)
    x0, _, x1, y1 = figure.bounds
    if fold is Axis.ACROSS:
        x0 = corner[0] + _FOLD_STRIP
    parts = shapely.get_parts(figure.intersection(shapely.box(x0, above + 1.5, x1, y1)))
    rooms = [part for part in parts if isinstance(part, shapely.Polygon) and part.area]
    return max(rooms, key=lambda part: part.area, default=figure)


def _label(lines: tuple[str, ...], room: shapely.Polygon) -> Iterator[Mark]:
    """The label in several lines, or in one where that is larger."""
    middle = room.centroid if room.contains(room.centroid) else room.representative_point()
    at, inside = (middle.x, middle.y), list(room.exterior.coords)[:-1]
    longest, joined = max(lines, key=len), "  ·  ".join(lines)
    tall = 1 + _LEADING * (len(lines) - 1)
    height, angle = fitted_height(longest, at, inside, _LABEL_MM, lines=tall)
    single, single_angle = fitted_height(joined, at, inside, _LABEL_MM)
    if single > height:
        lines, height, angle = (joined,), single, single_angle
    height = max(height, LEAST_HEIGHT_MM)
    for i, text in enumerate(lines):
        down = (i - (len(lines) - 1) / 2) * _LEADING * height
        turn = math.radians(angle)
        place = (at[0] + down * math.sin(turn), at[1] - down * math.cos(turn))
        yield Words(place, height, text, Side.MIDDLE, angle)


def _fold_words(ring: tuple[Point, ...], fold: Axis | None) -> Iterator[Mark]:
    """The words along the fold that explain it."""
    if fold is None:
        return
    (x0, y0), (x1, y1) = ring[-1], ring[0]
    length = max(abs(x1 - x0), abs(y1 - y0))
    height = min(_FOLD_STRIP / 2.5, length / len(_FOLD_WORDS))
    at = (min(x0, x1) + length / 2, y0 + 1.3 * height)
    if fold is Axis.ACROSS:
        at = (x0 + 1.3 * height, min(y0, y1) + length / 2)
    yield Words(at, height, _FOLD_WORDS, Side.MIDDLE, 90.0 if fold is Axis.ACROSS else 0.0)


def _shifted(points: Iterable[Point], by: Iterable[float]) -> tuple[Point, ...]:
    dx, dy = by
    return tuple((x + dx, y + dy) for x, y in points)
