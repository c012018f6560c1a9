"""Notches: where the two sides of a seam are matched.

The marks of a seam are declared once and fall on both sides at the same share
of the length, so they always agree. A mark on a corner needs no notch: the
corner is the mark. If a seam ends where the panel continues without a corner,
as where a straight side meets a curve, a notch shows its end. At an inside
corner the allowance is clipped almost to the stitch line; otherwise it could
not be pressed open along both edges.
"""

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain, pairwise, repeat

from nesting.geometry.curves import Curve, Point
from nesting.geometry.outline import Outline
from nesting.panels.drafting.draft import Draft, EdgeUse, Mark, Seam
from nesting.panels.drafting.finished import FinishedPanel
from nesting.panels.panel import Notch
from nesting.units import MM

#: A notch stays 3 mm clear of the stitch line (common practice; a notch deeper
#: than the allowance leaves a hole: Vilumsone-Nemes, Industrial Cutting of
#: Textile Materials, 2nd edition, p. 210). It is never shorter than half of a
#: narrow allowance, because it would fray away (same page), and never longer than
#: the 3/8 in clip published for a 1/2 in allowance (pattern-making.com, box pillow).
_CLEAR = 3 * MM
_DEEPEST = 9.5 * MM

#: Millimetres between the two notches of a double one (common practice: 1/4 in).
_DOUBLE_MM = 6.0

#: A mark within this distance of the end of an edge is the end itself (mm).
_END_MM = 0.5

#: A clip ends 2 mm short of an inside corner, or half an allowance (common practice).
_CLIP_SHORT = 2 * MM

#: Sine of the least turn that counts as a corner: 20 degrees (our own limit; curves
#: turn by less from chord to chord, and inward curves are clipped by eye).
_CORNER = math.sin(math.radians(20))

#: The ends of a seam, marked if the panel continues there without a corner.
_ENDS = (Mark(0.0), Mark(1.0))

#: Marks by (panel name, edge name): millimetres from the edge's start, and whether double.
Marked = dict[tuple[str, str], set[tuple[float, bool]]]


def notch_depth(allowance: int) -> float:
    """How deep a notch is cut into a seam allowance, in grid units."""
    return min(max(allowance - _CLEAR, allowance / 2), _DEEPEST)


def marked_places(draft: Draft) -> Marked:
    """Where each edge is marked: at its seams' marks, and where a seam ends without a corner."""
    found: Marked = defaultdict(set)
    for seam in draft.seams:
        for _, use, place, double in seam_places(draft, seam):
            found[use.panel, use.edge].add((round(place, 3), double))
    return dict(found)


def count_notches(draft: Draft, seam: Seam, allowance_mm: float) -> tuple[int, int]:
    """The number of places along a seam with single and double notches, without its ends.

    A notch on one side is enough: the other side has a corner or a join there.
    Plain seams have an allowance of ``allowance_mm``; no notch is cut without one.
    """
    cut = {
        (mark, double)
        for mark, use, _, double in seam_places(draft, seam)
        if mark in seam.marks and draft.allowance_mm(use, allowance_mm)
    }
    doubles = sum(double for _, double in cut)
    return len({mark for mark, _ in cut}) - doubles, doubles


def seam_places(draft: Draft, seam: Seam) -> Iterator[tuple[Mark, EdgeUse, float, bool]]:
    """The notches of each mark of a seam, and of its ends: on which edge, where, whether double."""
    ways = ((seam.first, seam.from_mm, False), (seam.second, 0.0, True))
    for run, from_mm, against in ways:
        for use, at, mark in _along(draft, run, seam.marks, from_mm):
            edge = draft.edge(use)
            start = edge.length_mm - at if against else at
            for name, place, double in _marked(draft.panel(use.panel), use.edge, start, mark):
                yield mark, replace(use, edge=name), place, double


def _along(
    draft: Draft, run: tuple[EdgeUse, ...], marks: tuple[Mark, ...], from_mm: float
) -> Iterator[tuple[EdgeUse, float, Mark]]:
    """Each edge of a run with its marks and ends, as distances from where the run meets it.

    A run all round, which the seam starts ``from_mm`` after its start, has no ends.
    """
    total = draft.run_mm(run)
    met = 0.0
    for use in chain.from_iterable(repeat(use, use.times) for use in run):
        edge = draft.edge(use)
        for mark in marks if edge.closed or from_mm else (*marks, *_ENDS):
            at = mark.fraction * total - met
            if from_mm:
                at = (mark.fraction * total + from_mm) % total - met
            if -_END_MM <= at <= edge.length_mm + _END_MM:
                yield use, at, mark
        met += edge.length_mm


def _marked(
    panel: FinishedPanel, edge: str, start: float, mark: Mark
) -> Iterator[tuple[str, float, bool]]:
    """The edge, the place and whether it is double, for a mark that no corner shows.

    Between two edges a mark is single, because it is the end of a seam.
    """
    length = panel.edges[edge].length_mm
    if _END_MM < start < length - _END_MM:
        yield edge, start, mark.double
    elif panel.edges[edge].closed:
        yield edge, 0.0, mark.double
    else:
        names = list(panel.edges)
        beginning = names.index(edge) + (start > length / 2)
        name = names[beginning % len(names)]
        if _runs_on(panel.edges[names[beginning - 1]], panel.edges[name]):
            yield name, 0.0, False


def _runs_on(one: Curve, other: Curve) -> bool:
    """Whether an edge follows another without a corner."""
    (ux, uy), (wx, wy) = _way(*one.points[-2:]), _way(*other.points[:2])
    return abs(ux * wy - uy * wx) < _CORNER and ux * wx + uy * wy > 0


def notch_facing(cut: Outline, stitch: Point, out: Point, allowance: int) -> Notch:
    """The notch on the cut line that faces a point of the stitch line (grid units).

    ``out`` is the unit vector square to the stitch line there, outward.
    """
    foot = _first_hit(cut, stitch, out)
    share = notch_depth(allowance) / math.dist(foot, stitch)
    tip = (foot[0] + share * (stitch[0] - foot[0]), foot[1] + share * (stitch[1] - foot[1]))
    return Notch((round(foot[0]), round(foot[1])), (round(tip[0]), round(tip[1])))


def corner_clips(cut: Outline, around: Sequence[tuple[Point, int]]) -> Iterator[Notch]:
    """A clip from the cut line to each inside corner of a stitch line (grid units).

    ``around`` holds its points anticlockwise, each with the allowance of the
    edge that begins there.
    """
    for (before, one), (at, other), (after, _) in zip(
        (around[-1], *around[:-1]), around, (*around[1:], around[0]), strict=True
    ):
        (ux, uy), (wx, wy) = _way(before, at), _way(at, after)
        allowance = min(one, other)
        if ux * wy - uy * wx > -_CORNER or not allowance:
            continue
        out = _way((0.0, 0.0), (uy + wy, -ux - wx))
        foot = _first_hit(cut, at, out)
        short = min(_CLIP_SHORT, allowance / 2)
        tip = (at[0] + short * out[0], at[1] + short * out[1])
        yield Notch((round(foot[0]), round(foot[1])), (round(tip[0]), round(tip[1])), clip=True)


def _way(start: Point, end: Point) -> Point:
    length = math.dist(start, end)
    return (end[0] - start[0]) / length, (end[1] - start[1]) / length


def _first_hit(outline: Outline, start: Point, way: Point) -> Point:
    """Where a ray from within first meets an outline."""
    ring, best = outline.points, math.inf
    for (x0, y0), (x1, y1) in pairwise((*ring, ring[0])):
        across = way[0] * (y1 - y0) - way[1] * (x1 - x0)
        if not across:
            continue
        dx, dy = x0 - start[0], y0 - start[1]
        far = (dx * (y1 - y0) - dy * (x1 - x0)) / across
        share = (dx * way[1] - dy * way[0]) / across
        if far > 0 and 0 <= share <= 1:
            best = min(best, far)
    return start[0] + best * way[0], start[1] + best * way[1]


def notch_points(
    before: Curve, edge: Curve, at_mm: float, *, double: bool
) -> tuple[tuple[Point, Point], ...]:
    """Points of an edge where the notch, or both notches, of one mark stand.

    Each comes with the outward unit vector square to the edge there. At the
    start of the edge its direction is averaged with that of the edge ``before``.
    """
    sides = (-_DOUBLE_MM / 2, _DOUBLE_MM / 2) if double else (0.0,)
    fractions = ((at_mm + side) / edge.length_mm for side in sides)
    return tuple((_point(edge, f), _outward(before, edge, f)) for f in fractions)


def _point(edge: Curve, fraction: float) -> Point:
    return edge.at(fraction % 1 if edge.closed else min(max(fraction, 0), 1))


def _outward(before: Curve, edge: Curve, fraction: float) -> Point:
    """To the right of the edge as it is drawn."""
    near = _END_MM / 2 / edge.length_mm
    fraction = fraction if edge.closed else min(max(fraction, 0), 1)
    behind = _point(edge, fraction - near)
    if not edge.closed and fraction == 0:
        behind = before.at(1 - _END_MM / 2 / before.length_mm)
    (x, y) = _way(behind, _point(edge, fraction + near))
    return y, -x
