"""Places drill marks for buttons and tufts on a panel.

A product that can be buttoned adds `BUTTONS` to its measurements and passes
its panels through `buttoned`.
"""

import math
from dataclasses import replace
from itertools import pairwise
from typing import Final

from nesting.errors import Fault
from nesting.geometry.curves import Point
from nesting.panels.drafting.finished import Drill, FinishedPanel
from nesting.panels.measurements import Measurement, MeasurementKind, Values, length, word
from nesting.sentences import Length, Sentence, at_least, less_than, point

_SPACING: Final = 150.0

#: Least distance in millimetres from a button to the stitch line; nearer, it pulls at the
#: seam (common practice).
_CLEAR: Final = 10.0

#: Most buttons of a panel: a mattress with a button to every 6 inches has fewer than 200.
_MOST: Final = 500

#: Tolerance in millimetres.
_SAME: Final = 1e-6

#: The keys by which an order asks for buttons.
BUTTONS: Final = (
    Measurement(
        "buttons",
        MeasurementKind.CHOICE,
        "drill marks for buttons or tufts: none, one in the centre, four, a diamond grid",
        default="none",
        choices=("none", "centre", "four", "diamond"),
        outside=True,
    ),
    Measurement(
        "button_spacing",
        MeasurementKind.LENGTH,
        "four: inset from both edges; diamond: from button to button along a row",
        default=_SPACING,
        least=20.0,
        greatest=2_000.0,
        outside=True,
    ),
)


def buttoned(panel: FinishedPanel, values: Values) -> FinishedPanel:
    """The panel with the drill marks that the order asks for."""
    at = _places(panel, word(values, "buttons"), length(values, "button_spacing"))
    return replace(panel, drills=(*panel.drills, *(Drill(point, "button") for point in at)))


def button_faults(  # noqa: PLR0911 - one return for each fault
    panel: FinishedPanel, values: Values
) -> tuple[Fault, ...]:
    """A centre at an edge, an inset where buttons meet, or no room for a diamond grid."""
    spacing = length(values, "button_spacing")
    asked = word(values, "buttons")
    if asked == "none":
        return ()
    if asked == "diamond" and _thought(panel, spacing) > _MOST:
        return (_too_many(panel, spacing),)
    places = _places(panel, asked, spacing)
    near = not all(_inside(point, panel.ring, _CLEAR) for point in places)
    if asked == "centre":
        words = "the centre of the panel must lie in it, at least {} from any edge"
        rule, where = Sentence(words, (at_least(_CLEAR),)), point(places[0])
        return (Fault("buttons", rule, where, "set other buttons, or none"),) if near else ()
    if 2 * spacing >= panel.narrowest_mm:
        words = "must be less than half of the panel's shorter side ({})"
        rule = Sentence(words, (less_than(panel.narrowest_mm / 2),))
        return (Fault("button_spacing", rule, Length(spacing), "set the buttons closer"),)
    if near:
        words = "must leave every button in the panel, at least {} from any edge"
        rule = Sentence(words, (at_least(_CLEAR),))
        return (Fault("button_spacing", rule, Length(spacing), "inset them further"),)
    if not places:
        words = "leaves no button on the panel"
        return (Fault("button_spacing", words, Length(spacing), "set the buttons closer"),)
    return ()


def _places(panel: FinishedPanel, asked: str, spacing: float) -> list[tuple[float, float]]:
    xs, ys = [x for x, _ in panel.ring], [y for _, y in panel.ring]
    x0, x1, y0, y1 = min(xs), max(xs), min(ys), max(ys)
    middle = (x0 + x1) / 2, (y0 + y1) / 2
    if asked == "centre":
        return [_centre(panel.ring)]
    if asked == "four":
        return [(x, y) for x in (x0 + spacing, x1 - spacing) for y in (y0 + spacing, y1 - spacing)]
    grid = _diamond(middle, x1 - x0, y1 - y0, spacing) if asked == "diamond" else []
    return [point for point in grid if _inside(point, panel.ring, spacing / 2)]


def _too_many(panel: FinishedPanel, spacing: float) -> Fault:
    value = Sentence(f"{{}}, which makes about {_thought(panel, spacing):.0f}", (Length(spacing),))
    rule = f"must leave no more than {_MOST} buttons on a panel"
    return Fault("button_spacing", rule, value, "set the buttons further apart")


def _thought(panel: FinishedPanel, spacing: float) -> float:
    """About how many buttons a diamond grid has: two to each square of the spacing."""
    xs, ys = [x for x, _ in panel.ring], [y for _, y in panel.ring]
    return 2 * (max(xs) - min(xs)) * (max(ys) - min(ys)) / spacing**2


def _centre(ring: tuple[Point, ...]) -> Point:
    """The centroid of the area within a ring, which in an L is not the middle of its extents."""
    (ox, oy), twice, x, y = ring[0], 0.0, 0.0, 0.0
    for (ax, ay), (bx, by) in pairwise((*ring, ring[0])):
        (px, py), (qx, qy) = (ax - ox, ay - oy), (bx - ox, by - oy)
        cross = px * qy - qx * py
        twice, x, y = twice + cross, x + cross * (px + qx), y + cross * (py + qy)
    return ox + x / (3 * twice), oy + y / (3 * twice)


def _inside(point: Point, ring: tuple[Point, ...], clear: float) -> bool:
    """Whether a point lies within a ring, at least a given distance from every edge.

    A ray to greater x leaves the ring an odd number of times.
    """
    x, y = point
    chords = list(pairwise((*ring, ring[0])))
    left = sum(
        (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0)
        for (x0, y0), (x1, y1) in chords
    )
    return bool(left % 2) and min(_distance(point, *chord) for chord in chords) > clear - _SAME


def _distance(point: Point, start: Point, end: Point) -> float:
    """Distance of a point from a chord."""
    (x0, y0), (x1, y1) = start, end
    dx, dy = x1 - x0, y1 - y0
    along = ((point[0] - x0) * dx + (point[1] - y0) * dy) / (dx * dx + dy * dy)
    met = min(max(along, 0.0), 1.0)
    return math.dist(point, (x0 + met * dx, y0 + met * dy))


def _diamond(
    middle: tuple[float, float], along: float, across: float, spacing: float
) -> list[tuple[float, float]]:
    """Rows half a spacing apart, every other one shifted by half; half a spacing from any edge."""
    half = spacing / 2
    rows = math.floor((across - spacing) / 2 / half)
    columns = math.floor((along - spacing) / 2 / half)
    return [
        (middle[0] + i * half, middle[1] + j * half)
        for j in range(-rows, rows + 1)
        for i in range(-columns, columns + 1)
        if (i + j) % 2 == 0
    ]
