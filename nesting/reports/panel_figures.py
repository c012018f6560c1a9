"""Draws panels to scale for the machinist, with the names of edges that the seams use.

A drawing is in millimetres of the panel; on paper it is smaller, by one of the
usual scales of drawings.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely
import shapely.affinity
from shapely.ops import nearest_points

from nesting.panels.panel import Panel, PanelEdge
from nesting.reports.shapes import ARM, Shape, shape
from nesting.units import points_to_mm, to_mm

#: Greatest width and height of a drawing (mm of paper): three fit a page, one fits a phone.
_ROOM = (72.0, 90.0)

#: A panel longer than this many times its width does not determine the scale of its item.
_STRIP = 5.0

#: Scales are 1 to one of these (ISO 5455 has 1, 2, 5 and their multiples by ten; 25 is ours).
_SCALES = (1, 2, 5, 10, 20, 25, 50, 100, 200, 500, 1000)

#: Size of letters, size of a number, and distance from a stitch line to its name (mm of paper).
_LETTERS, _NUMBER, _CLEAR = 2.4, 5.0, 2.0

#: Average width of a letter as a share of the font size, with a little reserve.
_BROAD = 0.56

#: Width beside a panel that names take, and least size of a number that can be read (mm of paper).
_MARGIN, _LEAST_NUMBER = 4.0, 1.6

#: Radius of the area that a number covers, as a share of its size.
_NUMBER_GROUND = 0.6

#: Sizes that are tried for a number, as shares of the greatest, and the blank beside a line (mm).
_SMALLER, _LINE = (1.0, 0.8, 0.6), 0.3

#: Places along an edge that are tried for its name, as shares of the length of the edge.
_SHARES = (0.5, 0.35, 0.65, 0.2, 0.8)

#: Blank around a panel as a share of its size, so that its cut line is drawn in full width.
_BLANK = 0.02

Point = tuple[float, float]


@dataclass(frozen=True)
class EdgeName:
    """Place and angle of the name of an edge, in coordinates of the drawing.

    ``outside`` is true if the name is beside the cut line, for lack of room inside.
    """

    name: str
    x: float
    y: float
    angle: float
    outside: bool


@dataclass(frozen=True)
class PanelFigure:
    """A drawing of a panel at the scale 1 to ``scale``; ``width`` is in millimetres of paper.

    ``number_size`` is 0 if there is no room for a number.
    """

    shape: Shape
    box: str
    scale: int
    width: float
    letters: float
    number_size: float
    number_at: Point
    edge_names: tuple[EdgeName, ...]


def panel_figures(panels: Sequence[Panel], prefix: str) -> tuple[PanelFigure, ...]:
    """The drawings of an item's panels, all to one scale except strips that are too long for it."""
    broad = [panel for panel in panels if not _is_strip(panel)]
    shared = max((_scale(panel) for panel in broad or panels[:1]), default=1)
    return tuple(
        _figure(panel, max(shared, _scale(panel)), f"{prefix}-{number}")
        for number, panel in enumerate(panels, start=1)
    )


def _is_strip(panel: Panel) -> bool:
    extents = panel.cut.length, panel.cut.height
    return max(extents) > _STRIP * min(extents)


def _scale(panel: Panel) -> int:
    """The least reduction at which a panel fits."""
    need = max(to_mm(panel.cut.length) / _ROOM[0], to_mm(panel.cut.height) / _ROOM[1])
    return next((scale for scale in _SCALES if scale >= need), math.ceil(need))


def _figure(panel: Panel, scale: int, name: str) -> PanelFigure:
    length, height = to_mm(panel.cut.length), to_mm(panel.cut.height)
    number_at, number_size = _number(panel, min(_NUMBER * scale, 0.6 * min(length, height)), scale)
    names = _names(panel, scale, shapely.Point(number_at).buffer(number_size * _NUMBER_GROUND))
    outside = _MARGIN if any(each.outside for each in names) else 1.0
    blank = max(_BLANK * max(length, height), outside * scale)
    view = (-blank, -height - blank, length + 2 * blank, height + 2 * blank)
    return PanelFigure(
        shape=shape(panel, 0, name),
        box=" ".join(f"{value:.1f}" for value in view),
        scale=scale,
        width=round(view[2] / scale, 2),
        letters=_LETTERS * scale,
        number_size=number_size if number_size > _LEAST_NUMBER * scale else 0.0,
        number_at=(number_at[0], -number_at[1]),
        edge_names=names,
    )


def _number(panel: Panel, greatest: float, scale: int) -> tuple[Point, float]:
    """Place and size of the number of a panel, so that it covers nothing drawn inside.

    The place is the nearest to that of the label. If there is none for the
    greatest size, smaller sizes are tried; if none fits, it is the label's place.
    """
    label = to_mm(panel.label[0]), to_mm(panel.label[1])
    strokes = (*panel.lines, *panel.inner_cuts, *((n.foot, n.tip) for n in panel.notches))
    runs = [shapely.LineString(points_to_mm(run)) for run in (*strokes, panel.grain)]
    crosses = [
        shapely.Point(at).buffer(to_mm(ARM)) for at in points_to_mm([d.at for d in panel.drills])
    ]
    drawn = shapely.union_all([*runs, *crosses])
    inside = shapely.Polygon(points_to_mm((panel.stitch or panel.cut).points))
    for share in _SMALLER:
        ground = share * greatest * _NUMBER_GROUND
        free = inside.buffer(-ground).difference(drawn.buffer(ground + _LINE * scale))
        if not free.is_empty:
            nearest, _ = nearest_points(free, shapely.Point(label))
            return (round(nearest.x, 1), round(nearest.y, 1)), share * greatest
    return label, greatest


def _names(panel: Panel, scale: int, number: shapely.Geometry) -> tuple[EdgeName, ...]:
    """The names of a panel's edges, clear of each other, of the number and of the grain arrow.

    A name is inside the stitch line, or beside the cut line if there is no room
    inside. A name that fits in neither place is left out.
    """
    if panel.stitch is None:
        return ()
    arrow = shapely.LineString(points_to_mm(panel.grain)).buffer(_LETTERS * scale / 4)
    inside = shapely.Polygon(points_to_mm(panel.stitch.points)).difference(arrow).difference(number)
    cut = shapely.Polygon(points_to_mm(panel.cut.points))
    beside = cut.buffer(_MARGIN * scale, join_style="mitre").difference(cut)
    names = []
    for edge in panel.edges:
        places = (place for share in _SHARES for place in _places(edge, share, scale))
        rooms = {False: inside, True: beside}
        for name, ground in sorted(places, key=lambda each: each[0].outside):
            if rooms[name.outside].covers(ground):
                names.append(name)
                inside, beside = inside.difference(ground), beside.difference(ground)
                break
    return tuple(names)


def _places(
    edge: PanelEdge, share: float, scale: int
) -> Iterator[tuple[EdgeName, shapely.Geometry]]:
    """Places for a name at a share of its edge, each with the area that it covers.

    They are inside along the edge, outside along it, and inside at right angles to it.
    """
    at, along, length = _point_along(points_to_mm(edge.points), share)
    inward = (-along[1], along[0])
    width, off, high = (n * scale for n in (_BROAD * _LETTERS * len(edge.name), _CLEAR, _LETTERS))
    far = to_mm(edge.allowance) + off
    if width <= length:
        yield _place_name(edge.name, _shift(at, inward, off), along, (width, high))
        yield _place_name(edge.name, _shift(at, inward, -far), along, (width, high), outside=True)
    yield _place_name(edge.name, _shift(at, inward, off / 2 + width / 2), inward, (width, high))


def _place_name(
    name: str, middle: Point, way: Point, size: tuple[float, float], *, outside: bool = False
) -> tuple[EdgeName, shapely.Geometry]:
    """A name centred on a point, turned so that it can be read, and the rectangle it covers."""
    angle = math.degrees(math.atan2(way[1], way[0]))
    ground = shapely.box(
        middle[0] - size[0] / 2, middle[1] - size[1] / 2,
        middle[0] + size[0] / 2, middle[1] + size[1] / 2,
    )  # fmt: skip
    ground = shapely.affinity.rotate(ground, angle, origin=middle)
    upright = (90 - angle) % 180 - 90
    at = round(middle[0], 1), round(-middle[1], 1)
    return EdgeName(name, *at, round(upright, 1), outside), ground


def _shift(at: Point, way: Point, far: float) -> Point:
    return at[0] + far * way[0], at[1] + far * way[1]


def _point_along(points: Sequence[Point], share: float) -> tuple[Point, Point, float]:
    """The point at a share of a run of chords, the direction there, and the length of the run."""
    chords = [(a, b) for a, b in pairwise(points) if a != b]
    length = sum(math.dist(*chord) for chord in chords)
    passed = 0.0
    for a, b in chords:
        step = math.dist(a, b)
        if passed + step >= share * length:
            way = ((b[0] - a[0]) / step, (b[1] - a[1]) / step)
            return _shift(a, way, share * length - passed), way, length
        passed += step
    return points[0], (1.0, 0.0), 0.0
