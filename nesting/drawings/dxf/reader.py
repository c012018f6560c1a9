"""Reads lay drawings from DXF files, ours or saved again by another program."""

import io
import math
from itertools import chain

import ezdxf
from ezdxf.document import Drawing as Document
from ezdxf.entities import DXFGraphic, Line, LWPolyline, Point, Polyline
from ezdxf.entities import Text as DxfText
from ezdxf.math import Vec3

from nesting.drawings.arcs import as_chords
from nesting.drawings.drawing import Drawing, Path, Pen, Text
from nesting.drawings.dxf.text import decode
from nesting.drawings.dxf.writer import OWN, TITLED
from nesting.errors import Fault, OrderError
from nesting.tolerances import ARC_MM, CHORD_MM, READ_MM

#: Millimetres of one drawing unit, by $INSUNITS; 0 is "no unit" and counts as millimetres.
_UNIT_MM = {0: 1.0, 1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0}


def read(data: bytes) -> Drawing:
    """The drawing in a DXF file: the lines and texts on the layers of our pens.

    Polylines, lines, points and one-line texts are read, in millimetres whatever the
    unit of the file, and arcs become chords; other layers are passed over.
    ``within`` of a drawing with arcs is how far the writer's arcs may be from
    the chords they replace.

    Raises
    ------
    OrderError
        When the data are not DXF, or one of our layers has another kind of entity.
    """
    try:
        return _drawing(parse(data))
    except OrderError:
        raise
    except Exception as error:  # a broken file may make the parser raise anything
        cause = f"{type(error).__name__}: {error}"
        remedy = "export the drawing again, as text DXF"
        raise OrderError([Fault("drawing", "must be a text DXF file", cause, remedy)]) from error


def parse(data: bytes) -> Document:
    """The document in a DXF file; a broken one raises any exception of the library."""
    data = data.replace(b"\r\n", b"\n")  # the library reads no other line ends
    scanned = ezdxf.filemanagement.dxf_stream_info(io.StringIO(data.decode("latin-1")))
    return ezdxf.read(io.StringIO(data.decode(scanned.encoding)))


def _drawing(document: Document) -> Drawing:
    scale = _scale(document)
    paths, texts, faults = [], [], []
    for entity in document.modelspace():
        pen = _pen(entity)
        found = pen and _read_entity(entity, pen, scale)
        if isinstance(found, Path):
            paths.append(found)
        elif isinstance(found, Text):
            texts.append(found)
        elif isinstance(found, Fault):
            faults.append(found)
    if faults:
        raise OrderError(faults)
    corner = document.header.get("$LIMMAX", (0.0, 0.0))
    title = _title(document)
    width, height = float(corner[0]) * scale, float(corner[1]) * scale
    curved = any(_has_arcs(e) for e in document.modelspace() if _pen(e))
    within = CHORD_MM + ARC_MM + READ_MM if curved else 0.0
    return Drawing(title, width, height, tuple(paths), tuple(texts), within)


def _title(document: Document) -> str:
    """The title in the entry of our own; empty in a file from elsewhere."""
    if TITLED not in document.layers:
        return ""
    layer = document.layers.get(TITLED)
    entries = layer.get_xdata(OWN) if layer.has_xdata(OWN) else []
    return next((decode(tag.value) for tag in entries if tag.code == 1000), "")


def _scale(document: Document) -> float:
    unit = document.header.get("$INSUNITS", 0)
    if unit not in _UNIT_MM:
        known = ", ".join(str(u) for u in _UNIT_MM)
        raise OrderError(
            [Fault("drawing, $INSUNITS", f"must be one of {known}", str(unit), "save it in mm")]
        )
    return _UNIT_MM[unit]


def _pen(entity: DXFGraphic) -> Pen | None:
    layer = entity.dxf.layer.lower()
    return Pen(layer) if layer in set(Pen) else None


def _read_entity(entity: DXFGraphic, pen: Pen, scale: float) -> Path | Text | Fault:
    """An entity on one of our layers as a path or text, or what is wrong with it."""
    if isinstance(entity, DxfText):
        text = _text(entity, pen, scale)
        return text if _finite(*text.at, text.height, text.angle) else _not_finite(entity)
    path = _path(entity, pen, scale)
    if path is None:
        return _fault(entity, "may have only polylines, lines, points and texts")
    return path if _finite(*chain(*path.points)) else _not_finite(entity)


def _finite(*values: float) -> bool:
    return all(map(math.isfinite, values))


def _not_finite(entity: DXFGraphic) -> Fault:
    return _fault(entity, "must have finite coordinates")


def _path(entity: DXFGraphic, pen: Pen, scale: float) -> Path | None:
    """The entity as a path, with arcs as chords; None if it is of another kind."""
    if isinstance(entity, Point):
        return _path_of_points(pen, [entity.dxf.location], scale, closed=False)
    if isinstance(entity, Line):
        return _path_of_points(pen, [entity.dxf.start, entity.dxf.end], scale, closed=False)
    if isinstance(entity, LWPolyline):
        points, bulges = (
            entity.vertices_in_wcs(),
            (_orientation(entity) * bulge for *_, bulge in entity),
        )
        return _path_of_polyline(pen, list(points), list(bulges), scale, closed=entity.closed)
    if isinstance(entity, Polyline) and entity.is_2d_polyline:
        points, bulges = (
            entity.points_in_wcs(),
            (_orientation(entity) * v.dxf.bulge for v in entity.vertices),
        )
        return _path_of_polyline(pen, list(points), list(bulges), scale, closed=entity.is_closed)
    return None


def _path_of_polyline(
    pen: Pen, points: list[Vec3], bulges: list[float], scale: float, *, closed: bool
) -> Path:
    """A polyline as a path, with its arcs as chords."""
    if not any(bulges):
        return _path_of_points(pen, points, scale, closed=closed)
    bends = [(p.x * scale, p.y * scale, bulge) for p, bulge in zip(points, bulges, strict=True)]
    if not closed and points[0].isclose(points[-1]):
        bends, closed = bends[:-1], True
    return Path(pen, tuple(as_chords(bends, closed=closed)), closed)


def _orientation(entity: DXFGraphic) -> float:
    """-1 for an entity that is seen from behind, whose arcs bend the other way; else 1."""
    return math.copysign(1.0, entity.dxf.extrusion.z)


def _has_arcs(entity: DXFGraphic) -> bool:
    """Whether an entity is a polyline with arcs."""
    if isinstance(entity, Polyline) and not entity.is_2d_polyline:
        return False
    return isinstance(entity, LWPolyline | Polyline) and entity.has_arc


def _path_of_points(pen: Pen, points: list[Vec3], scale: float, *, closed: bool) -> Path:
    """A path; it counts as closed if it ends where it begins."""
    if len(points) > 3 and points[0].isclose(points[-1]):
        points, closed = points[:-1], True
    return Path(pen, tuple((p.x * scale, p.y * scale) for p in points), closed)


def _text(entity: DxfText, pen: Pen, scale: float) -> Text:
    at = entity.ocs().to_wcs(entity.get_placement()[1])
    return Text(
        pen,
        (at.x * scale, at.y * scale),
        entity.dxf.height * scale,
        decode(entity.dxf.text),
        entity.dxf.rotation,
    )


def _fault(entity: DXFGraphic, rule: str) -> Fault:
    place = f'layer "{entity.dxf.layer}", entity {entity.dxf.handle}'
    remedy = "flatten curves to straight lines, or move it to a layer of another name"
    return Fault(place, rule, entity.dxftype(), remedy)
