"""Reads the lines of a DXF file that somebody else made, in millimetres."""

import math
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Final, NoReturn

from ezdxf.document import Drawing as Document
from ezdxf.entities import (
    Circle,
    DXFEntity,
    DXFGraphic,
    Ellipse,
    Insert,
    Line,
    LWPolyline,
    Polyline,
    Spline,
)
from ezdxf.math import Vec3

from nesting.drawings.arcs import as_chords
from nesting.drawings.drawing_units import unit_mm
from nesting.drawings.dxf.reader import parse
from nesting.drawings.strokes import (
    FARTHEST_MM,
    MOST_POINTS,
    MOST_STROKES,
    Point,
    Stroke,
    StrokeDrawing,
    own_coordinates,
    stroke,
)
from nesting.errors import Fault, OrderError
from nesting.tolerances import CHORD_MM

#: Millimetres of one unit by $INSUNITS (DXF reference, header variables); 0 states no unit.
_INSUNITS_MM: Final = {1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0, 10: 914.4, 14: 100.0}

#: Entities that explain a drawing and are not cut.
_NOT_CUT: Final = (
    "TEXT", "MTEXT", "ATTDEF", "ATTRIB", "DIMENSION", "ARC_DIMENSION", "LEADER", "MULTILEADER",
    "TOLERANCE", "POINT", "HATCH", "VIEWPORT", "IMAGE", "WIPEOUT", "XLINE", "RAY",
)  # fmt: skip

#: Entities that can be an outline or a part of one; an Arc is a Circle in the library.
_READ: Final = (Line, LWPolyline, Polyline, Circle, Ellipse, Spline)

#: A layer that drawing programs never plot.
_NEVER_PLOTTED: Final = "defpoints"

#: Greatest depth of blocks within blocks.
_DEEPEST: Final = 8

#: Flags of a polyline whose vertices are control points of a curve.
_FITTED: Final = 2 | 4

#: An arc with a smaller bulge is straight to the last digit of a coordinate.
_STRAIGHT: Final = 1e-9

_TEXT_DXF: Final = "save it again as text DXF, of release 2000 or R12"
_PLAIN: Final = "turn it into polylines or lines in the plane, or remove it"


def open_document(data: bytes) -> Document:
    """The document in a DXF file.

    Raises
    ------
    OrderError
        When the data are not text DXF.
    """
    if b" Binary DXF\r\n" in data[:22]:  # how long the mark of binary files is
        _refuse("the drawing", "must be a text DXF file", "this is a binary one", _TEXT_DXF)
    if b"SECTION" not in data[:100_000]:
        _refuse("the drawing", "must be a DXF or an SVG file", "this is neither", _TEXT_DXF)
    try:
        return parse(data)
    except Exception as error:  # a broken file may make the parser raise anything
        cause = f"{type(error).__name__}: {error}"[:120]
        _refuse("the drawing", "must be a complete text DXF file", cause, _TEXT_DXF)


def scale_of(document: Document, unit: str | None) -> float:
    """Millimetres of one unit of a document.

    Raises
    ------
    OrderError
        When neither the document nor ``unit`` states it, or both do and differ.
    """
    code = document.header.get("$INSUNITS", 0)
    stated = f"header, $INSUNITS {code}"
    if code and code not in _INSUNITS_MM:
        _refuse(stated, "must be a unit that cloth is measured in", "", "save it in mm or inches")
    return unit_mm(_INSUNITS_MM.get(code), stated, unit)


def read(document: Document, unit: str | None) -> StrokeDrawing:
    """All lines in the model space of a document; raises the errors of `scale_of` and `sheet`."""
    scale = scale_of(document, unit)
    drawn = (entity for entity in document.modelspace() if _plotted(document, entity))
    return sheet(drawn, scale)


def sheet(entities: Iterable[DXFGraphic], scale: float) -> StrokeDrawing:
    """The lines among some entities.

    Raises
    ------
    OrderError
        When there are more than ``MOST_STROKES`` lines or ``MOST_POINTS`` points.
    """
    strokes: list[Stroke] = []
    faults: list[Fault] = []
    passed_over: Counter[str] = Counter()
    points = 0
    for count, entity in enumerate(_flat(entities)):
        if entity.dxftype() in _NOT_CUT:
            passed_over[entity.dxftype()] += 1
            continue
        found = _read(entity, scale)
        if isinstance(found, Fault):
            faults.append(found)
        else:
            strokes.append(found)
            points += len(found.points)
        if count >= MOST_STROKES or points > MOST_POINTS:
            rule = f"must not have more than {MOST_STROKES} lines or {MOST_POINTS} points"
            _refuse("the drawing", rule, "", "remove everything but the outlines of the panels")
    words_at = own_coordinates(scale, 1)
    return StrokeDrawing(
        tuple(strokes), words_at, tuple(faults), tuple(sorted(passed_over.items()))
    )


def layer_of(entity: DXFEntity) -> str:
    """The layer of an entity; "0" for entities that have none in the library."""
    return str(entity.dxf.get("layer", "0")) if entity.dxf.is_supported("layer") else "0"


def _place(entity: DXFEntity) -> str:
    """Where an entity is in the file, in words."""
    handle = f", entity {entity.dxf.handle}" if entity.dxf.handle else ""
    return f'layer "{layer_of(entity)[:40]}", {entity.dxftype()[:40]}{handle}'


def _plotted(document: Document, entity: DXFGraphic) -> bool:
    name = layer_of(entity)
    layer = document.layers.get(name) if document.layers.has_entry(name) else None
    shown = layer is None or not (layer.is_off() or layer.is_frozen())
    return shown and not _hidden(entity) and name.lower() != _NEVER_PLOTTED


def _hidden(entity: DXFGraphic) -> bool:
    return entity.dxf.is_supported("invisible") and bool(entity.dxf.get("invisible", 0))


def _flat(entities: Iterable[DXFGraphic], depth: int = 0) -> Iterator[DXFGraphic]:
    """The entities, with blocks taken apart."""
    for entity in entities:
        if isinstance(entity, Insert) and depth < _DEEPEST and entity.mcount == 1:
            yield from _flat(entity.virtual_entities(), depth + 1)
        else:
            yield entity


def _read(entity: DXFGraphic, scale: float) -> Stroke | Fault:
    """An entity as a stroke, or what is wrong with it."""
    place = _place(entity)
    try:
        found = _points(entity, scale)
    except Exception as error:  # a broken entity may make the library raise anything
        return Fault(place, "must be a line that can be read", f"{error}"[:80], _PLAIN)
    if found is None:
        rule = "must be a line, arc, circle, ellipse, spline or polyline in the plane"
        return Fault(place, rule, entity.dxftype(), _PLAIN)
    points, closed = found
    if not points or not all(abs(n) <= FARTHEST_MM for point in points for n in point):
        rule = "must lie within 1 km of the origin"
        return Fault(place, rule, "", "check the unit and the coordinates")
    return stroke(points, place, closed=closed)


def _points(entity: DXFGraphic, scale: float) -> tuple[list[Point], bool] | None:
    """Points of an entity in millimetres, and whether it is closed; None for other kinds."""
    if not isinstance(entity, _READ) or abs(abs(_orientation(entity)) - 1) > 1e-6:
        return None
    if isinstance(entity, LWPolyline):
        bulges = [bulge for *_, bulge in entity]
        points = list(entity.vertices_in_wcs())
        return _with_arcs(entity, points, bulges, scale, closed=entity.closed)
    if isinstance(entity, Polyline):
        return None if entity.dxf.flags & _FITTED else _polyline(entity, scale)
    if isinstance(entity, Line):
        return _scaled([entity.dxf.start, entity.dxf.end], scale), False
    near = _reach(entity) * scale <= FARTHEST_MM
    return _scaled(entity.flattening(CHORD_MM / scale) if near else (), scale), False


def _orientation(entity: DXFGraphic) -> float:
    """1 for an entity in the plane, -1 for one that is seen from behind, between for others."""
    return float(Vec3(entity.dxf.get("extrusion", (0, 0, 1))).normalize().z)


def _polyline(entity: Polyline, scale: float) -> tuple[list[Point], bool] | None:
    """A polyline in the plane; None for one in space, and for meshes."""
    if entity.is_2d_polyline:
        bulges = [vertex.dxf.get("bulge", 0.0) for vertex in entity.vertices]
        points = list(entity.points_in_wcs())
        return _with_arcs(entity, points, bulges, scale, closed=entity.is_closed)
    points = list(entity.points()) if entity.is_3d_polyline else []
    level = all(math.isclose(p.z, points[0].z, abs_tol=1e-6) for p in points)
    return (_scaled(points, scale), entity.is_closed) if points and level else None


def _reach(entity: Circle | Ellipse | Spline) -> float:
    """A measure of the size of a curve, in its own units; nan for a curve that is not finite."""
    if isinstance(entity, Circle):
        return float(entity.dxf.radius)
    if isinstance(entity, Ellipse):
        return float(entity.dxf.major_axis.magnitude)
    controls = [*entity.control_points, *entity.fit_points]
    return float(max(abs(n) for point in controls for n in tuple(point)[:2]))


def _scaled(points: Iterable[Vec3], scale: float) -> list[Point]:
    return [(point.x * scale, point.y * scale) for point in points]


def _with_arcs(
    entity: DXFGraphic, points: list[Vec3], bulges: list[float], scale: float, *, closed: bool
) -> tuple[list[Point], bool]:
    """A polyline with its arcs as chords; those of one seen from behind bend the other way."""
    bends = [
        (x, y, _orientation(entity) * bulge if abs(bulge) > _STRAIGHT else 0.0)
        for (x, y), bulge in zip(_scaled(points, scale), bulges, strict=True)
    ]
    if not closed:
        bends[-1] = (*bends[-1][:2], 0.0)
    if any(abs(n) > FARTHEST_MM for x, y, _ in bends for n in (x, y)):
        return [], closed
    return as_chords(bends, closed=closed, within=CHORD_MM), closed


def _refuse(place: str, rule: str, value: str, remedy: str) -> NoReturn:
    raise OrderError([Fault(place, rule, value, remedy)])
