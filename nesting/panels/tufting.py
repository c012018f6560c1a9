"""Drill marks for buttons and tufts: where they are set on a panel.

A product that can be buttoned adds `BUTTONS` to its measurements and passes
its panels through `buttoned`.
"""

import math
from dataclasses import replace
from itertools import pairwise
from typing import Final

from nesting.errors import Fault
from nesting.geometry.curves import Point
from nesting.panels.finished import Drill, FinishedPanel
from nesting.panels.product import Measurement, MeasurementKind, Values, length, word

_SPACING: Final = 150.0

#: The keys by which an order asks for buttons.
BUTTONS: Final = (
    Measurement(
        "buttons",
        MeasurementKind.CHOICE,
        "drill marks for buttons or tufts: none, one in the centre, four, a diamond grid",
        default="none",
        choices=("none", "centre", "four", "diamond"),
    ),
    Measurement(
        "button_spacing",
        MeasurementKind.LENGTH,
        "four: inset from both edges; diamond: from button to button along a row",
        default=_SPACING,
        least=20.0,
        greatest=2_000.0,
    ),
)


def buttoned(panel: FinishedPanel, values: Values) -> FinishedPanel:
    """The panel with the drill marks that are asked for."""
    at = _places(panel, word(values, "buttons"), length(values, "button_spacing"))
    return replace(panel, drills=(*panel.drills, *(Drill(point, "button") for point in at)))


def button_faults(panel: FinishedPanel, values: Values) -> tuple[Fault, ...]:
    """An inset that leaves no four buttons apart; no room for a diamond."""
    spacing = length(values, "button_spacing")
    asked = word(values, "buttons")
    if asked in ("none", "centre"):
        return ()
    if 2 * spacing >= panel.narrowest_mm:
        most = panel.narrowest_mm / 2
        rule = f"must be less than half of the panel's lesser side ({most:.1f} mm)"
        return (Fault("button_spacing", rule, f"{spacing:g} mm", "set the buttons closer"),)
    if not all(_inside(point, panel.ring) for point in _places(panel, asked, spacing)):
        rule = "leaves buttons outside the round of the panel"
        return (Fault("button_spacing", rule, f"{spacing:g} mm", "inset them further"),)
    return ()


def _places(panel: FinishedPanel, asked: str, spacing: float) -> list[tuple[float, float]]:
    xs, ys = [x for x, _ in panel.ring], [y for _, y in panel.ring]
    x0, x1, y0, y1 = min(xs), max(xs), min(ys), max(ys)
    middle = (x0 + x1) / 2, (y0 + y1) / 2
    if asked == "centre":
        return [middle]
    if asked == "four":
        return [(x, y) for x in (x0 + spacing, x1 - spacing) for y in (y0 + spacing, y1 - spacing)]
    grid = _diamond(middle, x1 - x0, y1 - y0, spacing) if asked == "diamond" else []
    return [point for point in grid if _inside(point, panel.ring)]


def _inside(point: Point, ring: tuple[Point, ...]) -> bool:
    """Whether a ray from a point to greater x leaves a ring an odd number of times."""
    x, y = point
    return bool(
        sum(
            (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0)
            for (x0, y0), (x1, y1) in pairwise((*ring, ring[0]))
        )
        % 2
    )


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
