"""Places the grain arrow and the label of a panel."""

import shapely

from nesting.geometry.outline import Outline
from nesting.panels.panel import Point

#: Length of the grain arrow as a share of the finished length, or of the line it lies on.
_ARROW = 0.6

#: Clearance of arrow and label from the stitch line, as a share of the panel's lesser extent.
_CLEAR = 1 / 16

#: Distance of arrow and label from the middle of the widest place, as a share of its radius.
_APART = 1 / 3

#: The centroid is preferred if it has at least this share of the greatest width.
_AS_WIDE = 0.9

#: Tolerance of the search for the widest place, as a share of the panel's lesser extent.
_NEAR = 1 / 200


def grain_and_label(
    cut: Outline, stitch: Outline, allowances: set[int]
) -> tuple[tuple[Point, Point], Point]:
    """Tail and head of the grain arrow, and the middle of the label, inside the stitch line.

    The arrow is centred on the panel and the label half-way from it to the
    upper stitch line; where one of them would come near the stitch line (an L,
    a wedge), both stand in the widest place of the panel, about the middle of
    the largest circle in it.
    """
    x0, y0, x1, y1 = stitch.bounds
    if len(allowances) == 1:  # centred on the cut line, to the last grid unit
        inset = max(allowances)
        x0, y0, x1, y1 = (
            cut.bounds[0] + inset, cut.bounds[1] + inset,
            cut.bounds[2] - inset, cut.bounds[3] - inset,
        )  # fmt: skip
    y = y0 + (y1 - y0) // 2
    middle, label = x0 + (x1 - x0) // 2, y + (y1 - y0) // 4
    arrow = _arrow(middle, y, x1 - x0)
    inside = shapely.Polygon(stitch.points)
    clear = _CLEAR * min(x1 - x0, y1 - y0)
    both = shapely.union(shapely.LineString(arrow), shapely.Point(middle, label))
    if inside.covers(both.buffer(clear)):
        return arrow, (middle, label)
    return _in_the_widest_place(inside)


def _arrow(middle: int, y: int, length: int) -> tuple[Point, Point]:
    half = int(length * _ARROW / 2)
    return (middle - half, y), (middle + half, y)


def _in_the_widest_place(inside: shapely.Polygon) -> tuple[tuple[Point, Point], Point]:
    """The label above, and the arrow below, the middle of the largest circle within.

    In a strip of constant width that is the middle of the strip.
    """
    x0, y0, x1, y1 = inside.bounds
    radius = shapely.maximum_inscribed_circle(inside, _NEAR * min(x1 - x0, y1 - y0))
    middle = inside.centroid
    as_wide = middle.within(inside) and inside.exterior.distance(middle) > _AS_WIDE * radius.length
    x, y = middle.coords[0] if as_wide else radius.coords[0]
    away = _APART * radius.length
    label, level = (round(x), round(y + away)), round(y - away)
    line = shapely.LineString([(x0, level), (x1, level)])
    run = min(
        shapely.get_parts(shapely.intersection(inside, line)),
        key=lambda part: part.distance(shapely.Point(x, level)),
    )
    left, right = run.bounds[0], run.bounds[2]
    return _arrow(round((left + right) / 2), level, int(right - left)), label
