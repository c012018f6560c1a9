"""Turns the shapes of SVG into chords.

fontTools parses path data, but its pens have no tolerance: they turn arcs into
cubics that may be off by a third of a thousandth of the radius, a tenth of a
millimetre on a floor cushion. So this module takes arcs as they are given and
turns every curve into chords that are no further than ``within`` from it.
"""

import cmath
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final

from fontTools.svgLib.path.parser import parse_path

from nesting.drawings.svg.transforms import numbers

Point = tuple[float, float]

#: The points of a shape, and whether it is closed.
Run = tuple[list[Point], bool]

#: The shapes that can be cut out.
SHAPES: Final = ("path", "rect", "circle", "ellipse", "polygon", "polyline", "line")

#: Most chords of one curve; a curve that needs more is far too large.
_MOST_CHORDS: Final = 5_000

_PATH_DATA: Final = re.compile(r"[MmZzLlHhVvCcSsQqTtAa0-9eE+\-.,\s]*")
#: Numbers that fontTools reads differently from the standard: 007, 1.e5.
_MISREAD: Final = re.compile(r"(?<![0-9.eE])0[0-9]|\.[eE]")


def runs(kind: str, attributes: Mapping[str, str], within: float) -> list[Run]:
    """The chords of a shape in its own units; a ValueError if its attributes are wrong."""
    if kind == "path":
        return _path(attributes.get("d", ""), within)
    if kind in ("polygon", "polyline"):
        flat = numbers(attributes.get("points", ""))
        if len(flat) % 2:
            msg = f"points must be pairs of numbers, but there are {len(flat)} numbers"
            raise ValueError(msg)
        return [(list(zip(flat[::2], flat[1::2], strict=True)), kind == "polygon")]
    if kind == "line":
        x0, y0, x1, y1 = (_length(attributes, key) for key in ("x1", "y1", "x2", "y2"))
        return [([(x0, y0), (x1, y1)], False)]
    if kind == "rect":
        return _rectangle(attributes, within)
    centre = complex(_length(attributes, "cx"), _length(attributes, "cy"))
    both = ("r", "r") if kind == "circle" else ("rx", "ry")
    rx, ry = (_length(attributes, key) for key in both)
    points = _ellipse(centre, rx, ry, (0.0, math.tau), 1 + 0j, within)
    return [(points[:-1], True)]


def _length(attributes: Mapping[str, str], key: str) -> float:
    text = attributes.get(key, "0").strip().removesuffix("px")
    found = numbers(text)
    if len(found) != 1:
        msg = f"{key} must be one number: {text[:40]!r}"
        raise ValueError(msg)
    return found[0]


def _rectangle(attributes: Mapping[str, str], within: float) -> list[Run]:
    x, y, w, h = (_length(attributes, key) for key in ("x", "y", "width", "height"))
    keys = [key for key in ("rx", "ry") if attributes.get(key, "auto") != "auto"]
    radii = [_length(attributes, key) for key in keys] or [0.0]
    rx, ry = min(radii[0], w / 2), min(radii[-1], h / 2)
    if rx <= 0 or ry <= 0:
        return [([(x, y), (x + w, y), (x + w, y + h), (x, y + h)], True)]
    corners = (
        (x + w - rx, y + ry),
        (x + w - rx, y + h - ry),
        (x + rx, y + h - ry),
        (x + rx, y + ry),
    )
    quarter = math.pi / 2
    points: list[Point] = []
    for turn, corner in zip((-1, 0, 1, 2), corners, strict=True):
        span = (turn * quarter, quarter)
        points += _ellipse(complex(*corner), rx, ry, span, 1 + 0j, within)
    return [(points, True)]


def _path(data: str, within: float) -> list[Run]:
    plain = re.sub(r"\s", " ", data)
    before_arcs = re.sub(r"[Aa][^A-Za-z]*", "A", plain)
    if _PATH_DATA.fullmatch(plain) is None or _MISREAD.search(before_arcs):
        msg = f"path data that cannot be read: {data[:40]!r}"
        raise ValueError(msg)
    pen = _ChordPen(within)
    parse_path(plain, pen)
    return pen.runs


@dataclass
class _ChordPen:
    """Draws path data as chords; its methods have the names of fontTools' pens."""

    within: float
    runs: list[Run] = field(default_factory=list)

    def moveTo(self, to: Point) -> None:
        self.runs.append(([to], False))

    def lineTo(self, to: Point) -> None:
        self._points.append(to)

    def curveTo(self, *controls: Point) -> None:
        self._points.extend(_bezier([self._points[-1], *controls], self.within))

    def qCurveTo(self, *controls: Point) -> None:
        self._points.extend(_bezier([self._points[-1], *controls], self.within))

    def arcTo(
        self, rx: float, ry: float, rotation: float, large: bool, sweep: bool, to: Point
    ) -> None:
        radii = abs(rx), abs(ry)
        arc = _arc(complex(*self._points[-1]), complex(*to), radii, rotation, large, sweep)
        self._points.extend([*_ellipse(*arc, self.within)[1:-1], to] if arc else [to])

    def closePath(self) -> None:
        points = self._points
        self.runs[-1] = (
            points[:-1] if len(points) > 1 and points[0] == points[-1] else points,
            True,
        )

    def endPath(self) -> None:
        """Do nothing: the path stays open."""

    @property
    def _points(self) -> list[Point]:
        return self.runs[-1][0]


def _bezier(controls: list[Point], within: float) -> list[Point]:
    """Points of a Bézier curve of degree 2 or 3 at equal steps, without the first.

    A chord over the step h is at most h²/8 times the greatest second derivative
    away from its curve (error of linear interpolation). The second derivative of
    a curve of degree n is at most n(n-1) times the greatest second difference of
    its control points.
    """
    plane = [complex(*each) for each in controls]
    degree = len(plane) - 1
    second = max(abs(a - 2 * b + c) for a, b, c in zip(plane, plane[1:], plane[2:], strict=False))
    count = _chords(math.sqrt(degree * (degree - 1) * second / (8 * within)))
    points = []
    for i in range(1, count + 1):
        level, t = plane, i / count
        while len(level) > 1:  # de Casteljau
            level = [a + t * (b - a) for a, b in pairwise(level)]
        points.append((level[0].real, level[0].imag))
    return [*points[:-1], controls[-1]]


def _chords(needed: float) -> int:
    if not needed <= _MOST_CHORDS:
        msg = "a curve is far too large"
        raise ValueError(msg)
    return max(1, math.ceil(needed))


def _arc(
    start: complex, end: complex, radii: Point, rotation: float, large: bool, sweep: bool
) -> tuple[complex, float, float, tuple[float, float], complex] | None:
    """Centre, half axes, first angle and sweep, and direction of the first axis of an arc.

    None where the standard draws a straight line instead (SVG 1.1, appendix F.6).
    """
    rx, ry = radii
    if start == end or not rx or not ry:
        return None
    turn = cmath.exp(1j * math.radians(rotation))

    def on_unit_circle(point: complex) -> complex:
        flat = point / turn
        return complex(flat.real / rx, flat.imag / ry)

    a, b = on_unit_circle(start), on_unit_circle(end)
    half = abs(b - a) / 2
    grow = max(1.0, half)  # radii too small are scaled up until the arc reaches
    a, b, half = a / grow, b / grow, half / grow
    aside = 1j * (b - a) / abs(b - a) * math.sqrt(max(0.0, 1 - half * half))
    centre = (a + b) / 2 + (aside if large != sweep else -aside)
    first = cmath.phase(a - centre)
    angle = (cmath.phase(b - centre) - first) % math.tau
    angle = angle if sweep else angle - math.tau
    middle = complex(centre.real * rx * grow, centre.imag * ry * grow) * turn
    return middle, rx * grow, ry * grow, (first, angle), turn


def _ellipse(
    centre: complex, rx: float, ry: float, span: tuple[float, float], turn: complex, within: float
) -> list[Point]:
    """Points of an arc of an ellipse, both ends included; the number of steps divides by four.

    A chord over the angle t is at most r(1 - cos(t/2)) away from the arc, where r is
    the greater half axis.
    """
    if rx <= 0 or ry <= 0:
        msg = f"radii must be greater than 0: {rx:g}, {ry:g}"
        raise ValueError(msg)
    first, angle = span
    step = 2 * math.acos(1 - min(within / max(rx, ry), 1))
    count = 4 * _chords(abs(angle) / max(step, 1e-12) / 4)
    points = []
    for i in range(count + 1):
        at = first + angle * i / count
        point = centre + complex(rx * math.cos(at), ry * math.sin(at)) * turn
        points.append((point.real, point.imag))
    return points
