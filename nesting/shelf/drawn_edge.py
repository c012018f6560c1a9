"""The edge of a piece of cloth and the holes in it, from a DXF or SVG drawing."""

from collections.abc import Iterator, Sequence
from pathlib import Path

import shapely

from nesting.drawings import makers_file
from nesting.drawings.strokes import Stroke, StrokeDrawing, closed_rings
from nesting.errors import Fault, OrderError
from nesting.geometry.outline import Outline, rounded_outward
from nesting.geometry.rings import clean
from nesting.geometry.transforms import shifted
from nesting.panels.drawn.rings import ring_faults
from nesting.units import to_grid

_LINES = "draw the edge of the piece, and each hole in it, as one closed line"


def read_edge(path: Path, unit: str | None) -> tuple[Outline, tuple[Outline, ...]]:
    """The edge of a piece, its least corner at (0, 0), and its holes.

    The largest closed line is the edge; the others are holes. The edge is
    rounded to the nearest grid point, holes outward. ``unit`` (mm, cm, m, in) is
    that of a drawing that does not state its own.

    Raises
    ------
    OrderError
        With what is wrong with the drawing; places are within it.
    """
    drawing = makers_file.read(path, unit)
    if not isinstance(drawing, StrokeDrawing):
        rule = "must draw a piece of cloth, not pattern pieces"
        raise OrderError([Fault("the drawing", rule, "", _LINES)])
    rings, faults = closed_rings(drawing.strokes, drawing.words_at)
    faults = [*drawing.faults, *faults]
    for ring in rings:
        faults += ring_faults(clean(ring.points), ring.place, drawing.words_at)
    if not rings and not faults:
        faults.append(Fault("the drawing", "must have a closed line", "it has none", _LINES))
    if not faults:
        faults += _hole_faults(rings)
    if faults:
        raise OrderError(faults)
    edge, *holes = sorted((clean(ring.points) for ring in rings), key=_area, reverse=True)
    outline = Outline(tuple((to_grid(x), to_grid(y)) for x, y in edge))
    dx, dy, *_ = outline.bounds
    return _moved(outline, -dx, -dy), tuple(
        _moved(Outline(rounded_outward(hole)), -dx, -dy) for hole in holes
    )


def _hole_faults(rings: Sequence[Stroke]) -> Iterator[Fault]:
    """Holes that are not wholly inside the edge, or not apart from each other."""
    edge, *holes = sorted(rings, key=lambda ring: _area(ring.points), reverse=True)
    inside = shapely.Polygon(edge.points)
    for n, hole in enumerate(holes):
        figure = shapely.Polygon(hole.points)
        if not inside.contains_properly(figure):
            remedy = "the largest line is the edge; take out what is no hole in it"
            rule = "must lie wholly inside the edge of the piece"
            yield Fault(hole.place, rule, f"the edge is {edge.place}", remedy)
        elif any(figure.intersects(shapely.Polygon(other.points)) for other in holes[:n]):
            yield Fault(hole.place, "must not touch another hole", "", "draw them as one hole")


def _area(ring: Sequence[tuple[float, float]]) -> float:
    return float(shapely.Polygon(ring).area)


def _moved(outline: Outline, dx: int, dy: int) -> Outline:
    return Outline(shifted(outline.points, dx, dy))
