r"""Drawings as DXF, release R2000: one layer for each pen, millimetres.

The same drawing gives the same bytes: no time, no random identifier. The
limits of the file ($LIMMIN, $LIMMAX) are the sheet, the extents ($EXTMIN,
$EXTMAX) what is drawn on it; the title is kept in a dictionary entry of the
file, since R2000 has no header variable for one.

Text in DXF: letters outside code page 1252 are written as ``\U+XXXX``, one
for each UTF-16 unit, and so are the characters that begin a code of the
format itself (``^``, and ``\`` or ``%`` before another that makes a code).
"""

import io
import logging
import math
import re
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import chain

import ezdxf
from ezdxf.document import Drawing as Document
from ezdxf.entities import DXFGraphic, Line, LWPolyline, Polyline
from ezdxf.entities import Text as DxfText
from ezdxf.enums import TextEntityAlignment
from ezdxf.lldxf.encoding import decode_dxf_unicode
from ezdxf.math import Vec3

from nesting.drawings.drawing import Drawing, Path, Pen, Text
from nesting.errors import Fault, OrderError

#: Colour (AutoCAD colour index) and line weight (1/100 mm) of each layer:
#: greys and muted tones, every index different, since machines choose tools by it.
_LOOKS = {
    Pen.CUT: (7, 50),
    Pen.STITCH: (144, 25),
    Pen.GRAIN: (8, 25),
    Pen.NOTCH: (34, 35),
    Pen.DRILL: (214, 30),
    Pen.LABEL: (250, 25),
    Pen.SELVEDGE: (94, 35),
}

#: Dashes of the stitch line: whole length, line, blank (mm).
_DASHES = [9.0, 6.0, -3.0]
_STITCHES = "STITCHES"
_LETTERS = "LETTERS"
_TITLE = "TITLE"

#: Millimetres of one drawing unit, by $INSUNITS; 0 is "no unit", taken as millimetres.
_UNIT_MM = {0: 1.0, 1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0}

# Its warnings about broken files reach the user as our own error instead.
logging.getLogger("ezdxf").addHandler(logging.NullHandler())

_CODES = re.compile(r"\\(?=[UuMm]\+)|%(?=%)|\^")


def write(drawing: Drawing) -> bytes:
    """The drawing as the bytes of a DXF file."""
    with _fixed_meta_data():
        document = _document(drawing)
        space = document.modelspace()
        for path in drawing.paths:
            look = {"layer": path.pen.value}
            space.add_lwpolyline(path.points, close=path.closed, dxfattribs=look)
        for text in drawing.texts:
            look = {"layer": text.pen.value, "style": _LETTERS}
            entity = space.add_text(_coded(text.content), height=text.height, dxfattribs=look)
            entity.dxf.rotation = text.angle
            entity.set_placement(text.at, align=TextEntityAlignment.MIDDLE_CENTER)
        stream = io.StringIO()
        document.write(stream)
        return document.encode(stream.getvalue())


def read(data: bytes) -> Drawing:
    """The drawing in a DXF file: what lies on the layers of our pens.

    Straight polylines, lines and one-line texts are read, in millimetres
    whatever the unit of the file; other layers are passed over.

    Raises
    ------
    OrderError
        When the data are no DXF, or one of our layers holds something else.
    """
    try:
        return _drawing(_parsed(data))
    except OrderError:
        raise
    except Exception as error:  # whatever a broken file makes a parser do
        cause = f"{type(error).__name__}: {error}"
        remedy = "export the drawing again, as text DXF"
        raise OrderError([Fault("drawing", "must be a text DXF file", cause, remedy)]) from error


def _parsed(data: bytes) -> Document:
    scanned = ezdxf.filemanagement.dxf_stream_info(io.StringIO(data.decode("latin-1")))
    return ezdxf.read(io.StringIO(data.decode(scanned.encoding)))


def _drawing(document: Document) -> Drawing:
    scale = _scale(document)
    paths, texts, faults = [], [], []
    for entity in document.modelspace():
        pen = _pen(entity)
        found = pen and _found(entity, pen, scale)
        if isinstance(found, Path):
            paths.append(found)
        elif isinstance(found, Text):
            texts.append(found)
        elif isinstance(found, Fault):
            faults.append(found)
    if faults:
        raise OrderError(faults)
    corner = document.header.get("$LIMMAX", (0.0, 0.0))
    meta = document.ezdxf_metadata()
    title = _decoded(meta[_TITLE]) if _TITLE in meta else ""
    width, height = float(corner[0]) * scale, float(corner[1]) * scale
    return Drawing(title, width, height, tuple(paths), tuple(texts))


@contextmanager
def _fixed_meta_data() -> Iterator[None]:
    """Keep clock and random identifiers out of what is written meanwhile."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def _document(drawing: Drawing) -> Document:
    """An empty document with units, sheet, layers and the lettering style."""
    document = ezdxf.new("R2000", units=ezdxf.units.MM)
    document.linetypes.add(_STITCHES, pattern=_DASHES, description="stitch line")
    document.styles.add(_LETTERS, font="arial.ttf")
    for pen, (colour, weight) in _LOOKS.items():
        layer = document.layers.add(pen.value, color=colour, lineweight=weight)
        if pen is Pen.STITCH:
            layer.dxf.linetype = _STITCHES
    document.ezdxf_metadata()[_TITLE] = _coded(drawing.title)
    space = document.modelspace()
    space.reset_limits((0, 0), (drawing.width, drawing.height))
    points = [p for path in drawing.paths for p in path.points] + [t.at for t in drawing.texts]
    if points:
        xs, ys = zip(*points, strict=True)
        space.reset_extents((min(xs), min(ys), 0), (max(xs), max(ys), 0))
    return document


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


def _found(entity: DXFGraphic, pen: Pen, scale: float) -> Path | Text | Fault:
    """What an entity on one of our layers is, or what is wrong with it."""
    if isinstance(entity, DxfText):
        text = _text(entity, pen, scale)
        return text if _finite(*text.at, text.height, text.angle) else _not_finite(entity)
    path = _path(entity, pen, scale)
    if path is None:
        return _fault(entity, "may hold straight polylines, lines and texts only")
    return path if _finite(*chain(*path.points)) else _not_finite(entity)


def _finite(*values: float) -> bool:
    return all(map(math.isfinite, values))


def _not_finite(entity: DXFGraphic) -> Fault:
    return _fault(entity, "must have finite coordinates")


def _path(entity: DXFGraphic, pen: Pen, scale: float) -> Path | None:
    """The entity as a path; None where it is no run of straight lines."""
    if isinstance(entity, Line):
        return _made(pen, [entity.dxf.start, entity.dxf.end], scale, closed=False)
    if isinstance(entity, LWPolyline) and not entity.has_arc:
        return _made(pen, list(entity.vertices_in_wcs()), scale, closed=entity.closed)
    if isinstance(entity, Polyline) and entity.is_2d_polyline and not entity.has_arc:
        return _made(pen, list(entity.points_in_wcs()), scale, closed=entity.is_closed)
    return None


def _made(pen: Pen, points: list[Vec3], scale: float, *, closed: bool) -> Path:
    """A path; one that ends where it began counts as closed."""
    if len(points) > 3 and points[0].isclose(points[-1]):
        points, closed = points[:-1], True
    return Path(pen, tuple((p.x * scale, p.y * scale) for p in points), closed)


def _text(entity: DxfText, pen: Pen, scale: float) -> Text:
    at = entity.ocs().to_wcs(entity.get_placement()[1])
    return Text(
        pen,
        (at.x * scale, at.y * scale),
        entity.dxf.height * scale,
        _decoded(entity.dxf.text),
        entity.dxf.rotation,
    )


def _fault(entity: DXFGraphic, rule: str) -> Fault:
    place = f'layer "{entity.dxf.layer}", entity {entity.dxf.handle}'
    remedy = "flatten curves to straight lines, or move it to a layer of another name"
    return Fault(place, rule, entity.dxftype(), remedy)


def _coded(text: str) -> str:
    """Text as DXF holds it; see the head of this module."""
    text = _CODES.sub(lambda match: f"\\U+{ord(match[0]):04X}", text)
    return "".join(c if _plain(c) else _units(c) for c in text)


def _plain(character: str) -> bool:
    try:
        character.encode("cp1252")
    except UnicodeEncodeError:
        return False
    return True


def _units(character: str) -> str:
    units = character.encode("utf-16-be")
    return "".join(f"\\U+{high:02X}{low:02X}" for high, low in zip(*[iter(units)] * 2, strict=True))


def _decoded(text: str) -> str:
    """Text as people read it; halves of one character join again."""
    return decode_dxf_unicode(text).encode("utf-16", "surrogatepass").decode("utf-16", "replace")
