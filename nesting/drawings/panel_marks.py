"""The marks inside a panel as strokes: the grain arrow and the cross of a drill mark.

Every drawing of a panel takes them from here, whatever it is drawn with.
Coordinates and sizes are in one unit, that of the drawing.
"""

import math
from typing import Final

Point = tuple[float, float]

#: A run of straight lines.
Stroke = tuple[Point, ...]

#: Length of the head of a grain arrow at full size (mm).
HEAD_MM: Final = 10.0

#: Half the width of a head over its length.
_SPREAD: Final = 0.4


def grain_arrow(tail: Point, head: Point, head_length: float = HEAD_MM) -> tuple[Stroke, Stroke]:
    """The shaft of an arrow from tail to head, then its head: left end, point, right end.

    The head is at most a quarter of the arrow long.
    """
    dx, dy = head[0] - tail[0], head[1] - tail[1]
    length = math.hypot(dx, dy)
    size = min(head_length, length / 4)
    ux, uy = size * dx / length, size * dy / length
    back_x, back_y = head[0] - ux, head[1] - uy
    left = (back_x - _SPREAD * uy, back_y + _SPREAD * ux)
    right = (back_x + _SPREAD * uy, back_y - _SPREAD * ux)
    return (tail, head), (left, head, right)


def drill_cross(at: Point, arm: float) -> tuple[Stroke, Stroke]:
    """The level and the upright stroke through a place, each reaching ``arm`` to either side."""
    x, y = at
    return ((x - arm, y), (x + arm, y)), ((x, y - arm), (x, y + arm))
