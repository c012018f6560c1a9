"""A panel of free grain, drawn a quarter round.

Turning a panel on the cloth would point its face another way; drawing it
anew does not: the grain line is set afresh, along the roll.
"""

from dataclasses import replace

import shapely

from nesting.geometry.outline import Outline
from nesting.geometry.transforms import outline_at, shifted, turned
from nesting.panels.panel import DrillMark, Panel

Point = tuple[int, int]


def turned_quarter(panel: Panel) -> Panel:
    """The panel with its outline and marks turned by 90 degrees and a new grain line."""
    dx = panel.cut.height  # turning by 90 degrees takes y to -x

    def moved(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return shifted(turned(points, 90), dx, 0)

    cut = outline_at(panel.cut, 90)
    label = moved((panel.label,))[0]
    return replace(
        panel,
        cut=cut,
        stitch=Outline(moved(panel.stitch.points)) if panel.stitch else None,
        notches=tuple(
            replace(notch, foot=moved((notch.foot,))[0], tip=moved((notch.tip,))[0])
            for notch in panel.notches
        ),
        edges=tuple(replace(edge, points=moved(edge.points)) for edge in panel.edges),
        drills=tuple(DrillMark(moved((drill.at,))[0], drill.name) for drill in panel.drills),
        lines=tuple(map(moved, panel.lines)),
        inner_cuts=tuple(map(moved, panel.inner_cuts)),
        grain=_along_the_roll(cut, moved(panel.grain)),
        label=label,
    )


def _along_the_roll(cut: Outline, arrow: tuple[Point, ...]) -> tuple[Point, Point]:
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
