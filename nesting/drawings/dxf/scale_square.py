"""Where the square lies that shows the scale of a drawing without a unit.

It lies on the sheet, since what is drawn beyond it falls on the table or on the
next cloth, and off the panels where there is room: as large as fits, as near
as possible to the far end.
"""

from typing import Final, NamedTuple

import numpy as np
import shapely

from nesting.drawings.drawing import Drawing, Pen

#: Sides that the square may have (mm), the largest that fits first.
_SIDES_MM: Final = (100.0, 50.0, 20.0)

#: Between the square and the edges of the sheet and the panels (mm).
_CLEAR_MM: Final = 1.0

#: Distance between the places that are tried (mm).
_STEP_MM: Final = 10.0


class Square(NamedTuple):
    """The least corner of a square and its side, in millimetres."""

    x: float
    y: float
    side: float


def scale_square(drawing: Drawing) -> Square:
    """The square for a drawing; a small one at the far end lies on a panel if nothing is free."""
    taken_pens = (Pen.CUT, Pen.FLAW)
    rings = [p.points for p in drawing.paths if p.pen in taken_pens and p.closed]
    tree = shapely.STRtree([shapely.Polygon(ring) for ring in rings])
    for side in _SIDES_MM:
        corners = _corners(drawing, side)
        if len(corners):
            low, high = corners - _CLEAR_MM, corners + side + _CLEAR_MM
            boxes = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
            taken = tree.query(boxes, predicate="intersects")[0]
            free = np.setdiff1d(np.arange(len(corners)), taken)
            if len(free):
                x, y = corners[free[0]]
                return Square(float(x), float(y), side)
    side = min(_SIDES_MM[-1], drawing.width, drawing.height)
    return Square(drawing.width - side, 0.0, side)


def _corners(drawing: Drawing, side: float) -> np.ndarray:
    """Least corners of the squares to be tried, those at the far end first, then the lowest."""
    greatest_x, greatest_y = (
        extent - side - _CLEAR_MM for extent in (drawing.width, drawing.height)
    )
    xs = np.arange(greatest_x, _CLEAR_MM, -_STEP_MM)
    ys = np.arange(_CLEAR_MM, greatest_y, _STEP_MM)
    return np.stack(np.meshgrid(xs, ys, indexing="ij"), axis=-1).reshape(-1, 2)
