"""Profiles of round articles: the radius at each height, as many points.

A profile is a list of (height, radius). A *half* profile begins at the widest
place, at height 0, and goes towards one end.
"""

import math
from collections.abc import Sequence
from itertools import pairwise

from nesting.geometry.curves import Point

#: Points taken on a half profile: their distances fall short of its true
#: length by less than a millionth.
_POINTS = 1000

#: Fewest points taken between two given ones.
_FEWEST = 40


def ellipse(across_mm: float, high_mm: float, end_mm: float) -> list[Point]:
    """A quarter of an ellipse from its widest place to where its radius is ``end_mm``.

    At the parameter t it has the radius a·cos t and the height b·sin t, with
    the half axes a = ``across_mm`` and b = ``high_mm``.
    """
    last = math.acos(end_mm / across_mm)
    angles = [last * i / _POINTS for i in range(_POINTS)]
    points = [(high_mm * math.sin(t), across_mm * math.cos(t)) for t in angles]
    return [*points, (high_mm * math.sin(last), end_mm)]


def neck(across_mm: float, high_mm: float, end_mm: float) -> list[Point]:
    """Half a wave of a cosine from the widest place to a neck of radius ``end_mm``.

    r = e + (a - e)·(1 + cos πu)/2 at the height u·h, upright at both ends.
    """
    swing = (across_mm - end_mm) / 2
    waves = ((i / _POINTS, math.cos(math.pi * i / _POINTS)) for i in range(_POINTS + 1))
    return [(high_mm * u, end_mm + swing * (1 + wave)) for u, wave in waves]


def profile_through(given: Sequence[Point]) -> list[Point]:
    """A smooth profile through given points, by monotone piecewise cubics.

    Between two points the radius stays between their two radii. Slopes are
    weighted harmonic means (F. N. Fritsch, J. Butland, A method for
    constructing local monotone piecewise cubic interpolants, SIAM J. Sci.
    Stat. Comput. 5, 1984).
    """
    slopes = _slopes(given)
    count = max(_FEWEST, 2 * _POINTS // (len(given) - 1))
    points = [given[0]]
    for i, (start, end) in enumerate(pairwise(given)):
        steps = (k / count for k in range(1, count))
        points += [_cubic(start, end, slopes[i], slopes[i + 1], u) for u in steps]
        points.append(end)
    return points


def _slopes(given: Sequence[Point]) -> list[float]:
    widths = [h1 - h0 for (h0, _), (h1, _) in pairwise(given)]
    chords = [(r1 - r0) / (h1 - h0) for (h0, r0), (h1, r1) in pairwise(given)]
    inner = [_between(*pair) for pair in zip(pairwise(widths), pairwise(chords), strict=True)]
    first = _at_end(widths[0], widths[1], chords[0], chords[1])
    last = _at_end(widths[-1], widths[-2], chords[-1], chords[-2])
    return [first, *inner, last]


def _between(widths: tuple[float, float], chords: tuple[float, float]) -> float:
    if chords[0] * chords[1] <= 0:
        return 0.0
    one, other = 2 * widths[1] + widths[0], widths[1] + 2 * widths[0]
    return (one + other) / (one / chords[0] + other / chords[1])


def _at_end(width: float, next_width: float, chord: float, next_chord: float) -> float:
    """Slope of the parabola through three points, limited so that the curve stays monotone."""
    slope = ((2 * width + next_width) * chord - width * next_chord) / (width + next_width)
    if slope * chord <= 0:
        return 0.0
    if chord * next_chord <= 0 and abs(slope) > 3 * abs(chord):
        return 3 * chord
    return slope


def _cubic(start: Point, end: Point, slope: float, next_slope: float, u: float) -> Point:
    """The Hermite cubic at a fraction of the way between two points."""
    (h0, r0), (h1, r1) = start, end
    width, v = h1 - h0, 1 - u
    radius = r0 * (1 + 2 * u) * v**2 + r1 * (1 + 2 * v) * u**2
    return h0 + u * width, radius + width * u * v * (slope * v - next_slope * u)


def half_profiles(profile: Sequence[Point]) -> tuple[list[Point], list[Point]]:
    """The half profiles above and below the widest place (the middle, if that is an end)."""
    widest = max(range(len(profile)), key=lambda i: profile[i][1])
    if not 1 < widest < len(profile) - 2:
        widest = len(profile) // 2
    base = profile[widest][0]
    above = [(height - base, radius) for height, radius in profile[widest:]]
    below = [(base - height, radius) for height, radius in reversed(profile[: widest + 1])]
    return above, below


def solid_litres(profile: Sequence[Point]) -> float:
    """Volume of the solid of revolution of a profile, as frustums of cones."""
    return (
        sum(
            math.pi * abs(h1 - h0) * (r0 * r0 + r0 * r1 + r1 * r1) / 3
            for (h0, r0), (h1, r1) in pairwise(profile)
        )
        / 1e6
    )
