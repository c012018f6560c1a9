"""How large a line of text can be inside an outline.

A text must fit with some space around it, so that letters never touch a line:
one letter at either end, and half a letter above and below.
"""

from collections.abc import Sequence

import shapely

#: Advance of an average letter over the height of capitals. Measured on
#: Liberation Sans, a free typeface with common widths: labels of mixed text 0.60
#: to 0.68, digits 0.81; the rest is a reserve for other typefaces.
ADVANCE = 0.85

#: Least height of a label in millimetres: smaller text cannot be read.
LEAST_HEIGHT_MM = 1.0

_HALVINGS = 12


def fitted_height(
    content: str,
    at: tuple[float, float],
    ring: Sequence[tuple[float, float]],
    greatest: float,
    *,
    lines: float = 1.0,
) -> tuple[float, float]:
    """Height of capitals and angle (0 or 90 degrees) of the largest text that fits.

    The text is ``lines`` heights tall and centred on ``at`` within ``ring``. Its
    height is at most ``greatest`` and at least ``LEAST_HEIGHT_MM``, even where
    that does not fit. All lengths are in millimetres. In a tie it runs along x.
    """
    inside = shapely.Polygon(ring)
    shapely.prepare(inside)
    wide, tall = ADVANCE * (len(content) + 2), lines + 1
    along = _largest(inside, at, wide, tall, greatest)
    upright = _largest(inside, at, tall, wide, greatest)
    height, angle = (along, 0.0) if along >= upright else (upright, 90.0)
    return max(height, LEAST_HEIGHT_MM), angle


def _largest(
    inside: shapely.Polygon, at: tuple[float, float], wide: float, tall: float, greatest: float
) -> float:
    """Largest factor, up to ``greatest``, at which a box of wide x tall around ``at`` fits.

    A smaller box around the same middle lies within a larger one, so bisection
    finds the factor.
    """

    def fits(factor: float) -> bool:
        dx, dy = factor * wide / 2, factor * tall / 2
        return bool(inside.contains(shapely.box(at[0] - dx, at[1] - dy, at[0] + dx, at[1] + dy)))

    if fits(greatest):
        return greatest
    low, high = 0.0, greatest
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low
