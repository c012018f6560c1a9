"""Edges as they are drawn: lines, arcs and smooth curves as chords, in millimetres.

The ends of every chord lie on the true curve, and no chord lies further than
``CHORD_MM`` from it. A curve also keeps its true length, because seams are
compared by true lengths.
"""

import math
from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from nesting.geometry.transforms import turned
from nesting.tolerances import CHORD_MM

Point = tuple[float, float]

#: Points of an edge that are closer than this (mm) count as one.
_APART_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Curve:
    """An edge: the ends of its chords in order, and its true length, in millimetres."""

    points: tuple[Point, ...]
    length_mm: float

    @property
    def closed(self) -> bool:
        """Whether it ends where it began."""
        return self.points[0] == self.points[-1]

    def at(self, fraction: float) -> Point:
        """The point at a fraction (0 to 1) of the length of the chords."""
        reached = list(
            accumulate((math.dist(*chord) for chord in pairwise(self.points)), initial=0)
        )
        goal = fraction * reached[-1]
        index = min(max(bisect_left(reached, goal), 1), len(self.points) - 1)
        (x0, y0), (x1, y1) = self.points[index - 1 : index + 1]
        part = (goal - reached[index - 1]) / (reached[index] - reached[index - 1])
        return x0 + part * (x1 - x0), y0 + part * (y1 - y0)

    def mapped(self, move: Callable[[tuple[Point, ...]], tuple[Point, ...]]) -> "Curve":
        """The curve moved by a function of points that keeps their order and all lengths."""
        return Curve(move(self.points), self.length_mm)

    def backwards(self) -> "Curve":
        """The curve run from its end to its start."""
        return Curve(self.points[::-1], self.length_mm)

    def part(self, start: float, end: float) -> "Curve":
        """The part of the curve between two fractions (start < end) of its length."""
        length = sum(math.dist(*chord) for chord in pairwise(self.points))
        reached = accumulate((math.dist(*chord) for chord in pairwise(self.points)), initial=0)
        inner = (
            point
            for point, at in zip(self.points, reached, strict=True)
            if start * length + _APART_MM < at < end * length - _APART_MM
        )
        points = (self.at(start), *inner, self.at(end))
        return Curve(points, (end - start) * self.length_mm)


def joined(*curves: Curve) -> Curve:
    """One edge from curves that follow each other, end to start.

    Raises
    ------
    ValueError
        When a curve does not begin where the previous one ends.
    """
    for one, other in pairwise(curves):
        if math.dist(one.points[-1], other.points[0]) > _APART_MM:
            msg = f"curves must follow each other: {one.points[-1]}, {other.points[0]}"
            raise ValueError(msg)
    points = curves[0].points + tuple(p for curve in curves[1:] for p in curve.points[1:])
    return Curve(points, sum(curve.length_mm for curve in curves))


def line(start: Point, end: Point) -> Curve:
    """The straight edge between two points."""
    return Curve((start, end), math.dist(start, end))


def arc(centre: Point, radius_mm: float, start_deg: float, sweep_deg: float) -> Curve:
    """A circular arc, anticlockwise for a positive sweep, in equal chords.

    The sagitta of a chord over the angle t is r(1 - cos(t/2)).
    """
    sweep = math.radians(sweep_deg)
    flattest = min(CHORD_MM / radius_mm, 1)
    chords = math.ceil(abs(sweep) / (2 * math.acos(1 - flattest)))
    angles = (math.radians(start_deg) + sweep * i / chords for i in range(chords + 1))
    points = tuple(
        (centre[0] + radius_mm * math.cos(a), centre[1] + radius_mm * math.sin(a)) for a in angles
    )
    return Curve(points, radius_mm * abs(sweep))


def circle(radius_mm: float) -> Curve:
    """A circle about the origin, from (r, 0) anticlockwise.

    Four equal quarters, so that its chords are exactly as wide and as high as
    the circle itself.
    """
    quarter = arc((0.0, 0.0), radius_mm, 0, 90).points[1:-1]
    points = tuple(
        point for turn in (0, 90, 180, 270) for point in turned(((radius_mm, 0.0), *quarter), turn)
    )
    return Curve((*points, points[0]), math.tau * radius_mm)


def smooth(dense: Sequence[Point]) -> Curve:
    """Chords of a smooth curve that is given by many points (hundreds or more).

    The points are so close together that their distances add up to the length
    of the curve. A short chord over an arc that turns by t over a length l has
    the sagitta t·l/8, so vertices at equal steps of the sum of √(t·l) give
    chords of equal sagitta, and the fewest of them.

    Raises
    ------
    ValueError
        When there are fewer than three points.
    """
    if len(dense) < 3:
        msg = f"a smooth curve needs at least three points: {len(dense)}"
        raise ValueError(msg)
    reached = _chord_measure(dense)
    chords = max(1, math.ceil(reached[-1] / math.sqrt(8 * CHORD_MM)))
    kept = _evenly(reached, chords)
    while _greatest_sagitta(dense, kept) > CHORD_MM:
        chords += 1
        kept = _evenly(reached, chords)
    return Curve(tuple(dense[i] for i in kept), sum(math.dist(*step) for step in pairwise(dense)))


def _chord_measure(dense: Sequence[Point]) -> list[float]:
    """Sum of √(turn × length) from the first point to each point."""
    steps = list(pairwise(dense))
    headings = [math.atan2(y1 - y0, x1 - x0) for (x0, y0), (x1, y1) in steps]
    turns = [abs(math.remainder(after - before, math.tau)) for before, after in pairwise(headings)]
    at_ends = pairwise((turns[0], *turns, turns[-1]))
    return list(
        accumulate(
            (
                math.sqrt((one + other) / 2 * math.dist(*step))
                for (one, other), step in zip(at_ends, steps, strict=True)
            ),
            initial=0.0,
        )
    )


def _evenly(reached: Sequence[float], chords: int) -> list[int]:
    """Indices of the points that divide the measure into equal steps."""
    last = len(reached) - 1
    inner = (bisect_left(reached, reached[-1] * i / chords) for i in range(1, chords))
    return sorted({0, *(min(i, last) for i in inner), last})


def _greatest_sagitta(dense: Sequence[Point], kept: Sequence[int]) -> float:
    """Greatest distance of a point from the chord that replaces it."""
    return max(
        _from_line(dense[i], dense[first], dense[last])
        for first, last in pairwise(kept)
        for i in range(first, last + 1)
    )


def _from_line(point: Point, start: Point, end: Point) -> float:
    dx, dy = end[0] - start[0], end[1] - start[1]
    across = dx * (point[1] - start[1]) - dy * (point[0] - start[0])
    return abs(across) / math.hypot(dx, dy)
