"""Where the grain arrow and the label of a panel stand."""

import shapely

from nesting.geometry.outline import Outline

Point = tuple[int, int]

#: Share of the finished length that the grain arrow takes.
_ARROW = 0.6

#: Lines along the grain that are tried where the middle of a panel is open (an L, a bay).
_LINES = 24


def grain_and_label(
    cut: Outline, stitch: Outline, allowances: set[int]
) -> tuple[tuple[Point, Point], Point]:
    """Tail and head of the grain arrow, and the middle of the label, inside the stitch line.

    The arrow is centred on the panel and the label half-way from it to the
    upper stitch line; where one of them would leave the panel, both stand
    about the longest line along the grain that lies in it.
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
    if inside.covers(shapely.LineString(arrow)) and inside.covers(shapely.Point(middle, label)):
        return arrow, (middle, label)
    return _about_the_longest_line(inside, arrow, (middle, label))


def _arrow(middle: int, y: int, length: int) -> tuple[Point, Point]:
    half = int(length * _ARROW / 2)
    return (middle - half, y), (middle + half, y)


def _about_the_longest_line(
    inside: shapely.Polygon, arrow: tuple[Point, Point], label: Point
) -> tuple[tuple[Point, Point], Point]:
    x0, y0, x1, y1 = inside.bounds
    best = 0.0
    for i in range(1, _LINES):
        y = round(y0 + (y1 - y0) * i / _LINES)
        for left, right in _runs(inside, [(x0, y), (x1, y)]):
            if right - left > best:
                best, middle = right - left, round((left + right) / 2)
                above = _runs(inside, [(middle, y0), (middle, y1)], axis=1)
                top = max((end for start, end in above if start <= y <= end), default=y)
                arrow = _arrow(middle, y, int(best))
                label = (middle, round((y + top) / 2))
    return arrow, label


def _runs(
    inside: shapely.Polygon, line: list[tuple[float, float]], axis: int = 0
) -> list[tuple[float, float]]:
    """Stretches of a straight line within a polygon, by their least and greatest coordinate."""
    met = inside.intersection(shapely.LineString(line))
    parts = [part for part in getattr(met, "geoms", [met]) if part.geom_type == "LineString"]
    return [(part.bounds[axis], part.bounds[axis + 2]) for part in parts if not part.is_empty]
