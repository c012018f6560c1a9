"""Redraws a panel of any grain turned by 90 degrees.

Turning a panel on the cloth would turn its direction on the face as well.
Redrawing it does not, because the grain line is set again along the roll.
"""

from dataclasses import replace

import shapely

from nesting.geometry.outline import Outline
from nesting.geometry.transforms import shifted, turned
from nesting.panels.panel import Panel, Point


def turned_quarter(panel: Panel) -> Panel:
    """The panel with its outline and marks turned by 90 degrees and a new grain line."""
    dx = panel.cut.height  # turning by 90 degrees takes y to -x

    redrawn = panel.mapped(lambda points: shifted(turned(points, 90), dx, 0))
    return replace(redrawn, grain=_along_the_roll(redrawn.cut, redrawn.grain))


def _along_the_roll(cut: Outline, arrow: tuple[Point, Point]) -> tuple[Point, Point]:
    """An arrow along x through the middle of the old one, kept inside the outline."""
    (x0, y0), (x1, y1) = arrow
    x, y = (x0 + x1) // 2, (y0 + y1) // 2
    half = max(abs(x1 - x0), abs(y1 - y0)) // 2
    line = shapely.LineString([(cut.bounds[0], y), (cut.bounds[2], y)])
    inside = line.intersection(shapely.Polygon(cut.points))
    runs = [
        run for run in getattr(inside, "geoms", [inside]) if run.distance(shapely.Point(x, y)) < 1
    ]
    least, _, greatest, _ = shapely.unary_union(runs).bounds
    half = min(half, int(0.8 * min(x - least, greatest - x)))
    return (x - half, y), (x + half, y)
