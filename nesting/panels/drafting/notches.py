"""Notches: where the two sides of a seam are matched.

A seam's marks are declared once and fall on both of its sides at the same
share of the length, so that they cannot disagree. A mark that falls on a
corner needs no notch: the corner is the mark. Where a seam ends and the panel
runs on without a corner, as where a straight side meets a round, a notch tells
it. Where a panel turns inward at a corner, the allowance is clipped
almost to the stitch line, or it could not be opened along both edges.
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

#: A notch stays 3 mm clear of the stitch line (common practice; deeper than
#: the allowance it would leave a hole: Vilumsone-Nemes, Industrial Cutting of
#: Textile Materials, 2nd edition, p. 210), but is never shorter than half of
#: a narrow allowance, or it frays away (same page), nor longer than the 3/8 in
#: clip published for an allowance of 1/2 in (pattern-making.com, box pillow).
_CLEAR = 3 * MM
_DEEPEST = 9.5 * MM

#: Millimetres between the two notches of a double one (common practice: 1/4 in).
_DOUBLE_MM = 6.0

#: Millimetres from the end of an edge within which the end itself is the mark.
_END_MM = 0.5

#: A clip ends 2 mm short of an inside corner, or half an allowance (common practice).
_CLIP_SHORT = 2 * MM

#: Sine of a turn that makes a corner: 20 degrees (our own limit; curves turn by
#: less from chord to chord, and are clipped by eye where they turn inward).
_CORNER = math.sin(math.radians(20))

#: The ends of a seam: marked where the panel runs on, as no corner shows them there.
_ENDS = (Mark(0.0), Mark(1.0))

#: Marks by (panel name, edge name): millimetres from the edge's start, and whether double.
Marked = dict[tuple[str, str], set[tuple[float, bool]]]


def notch_depth(allowance: int) -> float:
    """How deep a notch is cut into a seam allowance, in grid units."""
    return min(max(allowance - _CLEAR, allowance / 2), _DEEPEST)


def marked_places(draft: Draft) -> Marked:
    """Where each edge is marked: by its seams, and where one of them ends on a smooth line."""
    found: Marked = defaultdict(set)
    for seam in draft.seams:
        for _, use, place, double in seam_places(draft, seam):
            found[use.panel, use.edge].add((round(place, 3), double))
    return dict(found)


def count_notches(draft: Draft, seam: Seam, allowance_mm: float) -> tuple[int, int]:
    """At how many places along a seam single and double notches are cut, its ends left out.

    One side with a notch is enough: the other has a corner or a join there.
    Plain seams have an allowance of ``allowance_mm``; without one nothing is cut.
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
    """Each mark, and each end, on the edges of a run where it falls, from where each is met.

    A run all round that a seam begins ``from_mm`` after its start has no ends.
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
    """The edge that a mark stands on, where, and whether double; nothing where a corner is it.

    Between two edges it is single: the end of a seam.
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
    foot = _met(cut, stitch, out)
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
        foot = _met(cut, at, out)
        short = min(_CLIP_SHORT, allowance / 2)
        tip = (at[0] + short * out[0], at[1] + short * out[1])
        yield Notch((round(foot[0]), round(foot[1])), (round(tip[0]), round(tip[1])), clip=True)


def _way(start: Point, end: Point) -> Point:
    length = math.dist(start, end)
    return (end[0] - start[0]) / length, (end[1] - start[1]) / length


def _met(outline: Outline, start: Point, way: Point) -> Point:
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

    Each comes with the unit vector square to the edge there, outward. At its
    start the edge ``before`` it says as much of that as it does itself.
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
