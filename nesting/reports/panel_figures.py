"""Panels drawn to scale for the sewer: each edge named, as the seams speak of it.

A drawing is measured in millimetres of the panel; on paper it is so many
times smaller, by the scales that drawings usually have.
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

#: Millimetres of paper that a drawing may be wide and high: three to a page, one to a phone.
_ROOM = (72.0, 90.0)

#: A panel longer than so many times its width does not set the scale of its item.
_STRIP = 5.0

#: One in so many (ISO 5455 has these and their tenfold); beyond, steps in between.
_SCALES = (1, 2, 5, 10, 20, 25, 50, 100, 200, 500, 1000)

#: Millimetres of paper: size of letters, of a number, and from a stitch line to its name.
_LETTERS, _NUMBER, _CLEAR = 2.4, 5.0, 2.0

#: Width of a letter over its size, on average and with a little room.
_BROAD = 0.56

#: Millimetres of paper beside a panel that names take, and the least number that can be read.
_MARGIN, _LEAST_NUMBER = 4.0, 1.6

#: Radius of the ground that a number covers, over its size.
_NUMBER_GROUND = 0.6

#: Shares of its greatest size at which a number is tried, and the blank beside a line.
_SMALLER, _LINE = (1.0, 0.8, 0.6), 0.3

#: Where along an edge its name is tried, as shares of its length.
_SHARES = (0.5, 0.35, 0.65, 0.2, 0.8)

#: Share of a panel's size beyond its cut line that stays blank, so that lines are not cut off.
_BLANK = 0.02

Point = tuple[float, float]


@dataclass(frozen=True)
class EdgeName:
    """Where the name of an edge stands, in the drawing's coordinates, and how it is turned.

    ``outside`` is beside the cut line, where there is no room within.
    """

    name: str
    x: float
    y: float
    angle: float
    outside: bool


@dataclass(frozen=True)
class PanelFigure:
    """A drawing of a panel, one in ``scale``; ``width`` is millimetres of paper.

    ``number_size`` is 0 where a number has no room.
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
    """The drawings of an item's panels: to one scale, but for strips that are too long for it."""
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
    """The least scale at which a panel has room."""
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
    """Where a number covers nothing that is drawn inside a panel, and how large it is there.

    The nearest such place to that of the label, with a smaller number where
    there is none for the greatest; where nothing helps, the label's own.
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
    """The names of its edges, clear of each other, of the number and of the grain arrow.

    They stand inside the stitch line; beside the cut line where there is no
    room. A name that has room in neither is left out.
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
    """Where a name may stand at a share of its edge, each with the ground that it covers.

    Inside along the edge, inside square to it, outside along it.
    """
    at, along, length = _met(points_to_mm(edge.points), share)
    inward = (-along[1], along[0])
    width, off, high = (n * scale for n in (_BROAD * _LETTERS * len(edge.name), _CLEAR, _LETTERS))
    far = to_mm(edge.allowance) + off
    if width <= length:
        yield _written(edge.name, _moved(at, inward, off), along, (width, high))
        yield _written(edge.name, _moved(at, inward, -far), along, (width, high), outside=True)
    yield _written(edge.name, _moved(at, inward, off / 2 + width / 2), inward, (width, high))


def _written(
    name: str, middle: Point, way: Point, size: tuple[float, float], *, outside: bool = False
) -> tuple[EdgeName, shapely.Geometry]:
    """A name about a point, upright as far as it may be, and the rectangle that it covers."""
    angle = math.degrees(math.atan2(way[1], way[0]))
    ground = shapely.box(
        middle[0] - size[0] / 2, middle[1] - size[1] / 2,
        middle[0] + size[0] / 2, middle[1] + size[1] / 2,
    )  # fmt: skip
    ground = shapely.affinity.rotate(ground, angle, origin=middle)
    upright = (90 - angle) % 180 - 90
    at = round(middle[0], 1), round(-middle[1], 1)
    return EdgeName(name, *at, round(upright, 1), outside), ground


def _moved(at: Point, way: Point, far: float) -> Point:
    return at[0] + far * way[0], at[1] + far * way[1]


def _met(points: Sequence[Point], share: float) -> tuple[Point, Point, float]:
    """The point at a share of a run of chords, the way it takes there, and how long it is."""
    chords = [(a, b) for a, b in pairwise(points) if a != b]
    length = sum(math.dist(*chord) for chord in chords)
    met = 0.0
    for a, b in chords:
        step = math.dist(a, b)
        if met + step >= share * length:
            way = ((b[0] - a[0]) / step, (b[1] - a[1]) / step)
            return _moved(a, way, share * length - met), way, length
        met += step
    return points[0], (1.0, 0.0), 0.0
