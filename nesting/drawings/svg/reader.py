"""Reads an SVG lay drawing back: lines and texts in millimetres, y up.

The file states its size in millimetres (or cm, in), and in its viewBox the
same size in its own unit. A group of class ``cut``, ``stitch`` and so on has
the lines of that pen as polygons, polylines and lines, and drill marks as
small circles; what other groups draw is named as unknown.
"""

import math
import re
from collections.abc import Iterator
from typing import Final, NoReturn
from xml.etree import ElementTree as ET

from nesting.drawings.drawing import Drawing, Path, Pen, Text
from nesting.errors import Fault, OrderError, written

_SVG: Final = "{http://www.w3.org/2000/svg}"
_SIZE: Final = re.compile(r"([0-9.]+)\s*(mm|cm|in)")
_UNITS_MM: Final = {"mm": 1.0, "cm": 10.0, "in": 25.4}
_NUMBER: Final = r"[-+]?[0-9]*\.?[0-9]+(?:[eE][-+]?[0-9]+)?"
_TRANSFORM: Final = re.compile(
    rf"translate\(({_NUMBER})[ ,]+({_NUMBER})\)(?:\s*rotate\(({_NUMBER})\))?"
)

#: Greatest radius of a circle that stands for a point (mm); a larger one is a line to follow.
_PUNCH_MM: Final = 1.0

#: Elements that draw something.
_DRAWN: Final = frozenset(
    ("path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "text", "image", "use")
)

#: Height of capitals as a share of the font size.
_CAPITALS: Final = 0.716


def read(data: bytes) -> Drawing:
    """The drawing in an SVG file.

    Raises
    ------
    OrderError
        When the data are not SVG or do not state their size, or the group of a pen has
        other shapes.
    """
    try:
        root = ET.fromstring(data)
        if root.tag != f"{_SVG}svg":
            _refuse("the outermost element", root.tag)
        scale, width, height = _sheet(root)
        found = [
            _read_shape(shape, pen, scale, height)
            for group in root.iter(f"{_SVG}g")
            if (pen := _pen(group)) is not None
            for shape in group
        ]
    except OrderError:
        raise
    except (ET.ParseError, ValueError, LookupError) as error:
        _refuse("drawing", str(error))
    title = root.findtext(f"{_SVG}title") or ""
    paths = tuple(one for one in found if isinstance(one, Path))
    texts = tuple(one for one in found if isinstance(one, Text))
    return Drawing(
        title, width * scale, height * scale, paths, texts, unknown=tuple(_unknown(root))
    )


def _unknown(element: ET.Element) -> Iterator[str]:
    """What is drawn outside the groups of pens."""
    for child in element:
        kind = child.tag.removeprefix(_SVG)
        if kind in _DRAWN:
            yield f"an element <{kind}> in no group of a pen"
        elif kind != "g" or _pen(child) is None:
            yield from _unknown(child)


def _sheet(root: ET.Element) -> tuple[float, float, float]:
    """Millimetres of one unit of the file, and its width and height in those units."""
    sides = [_SIZE.fullmatch(root.get(name, "")) for name in ("width", "height")]
    box = [float(number) for number in re.findall(_NUMBER, root.get("viewBox", ""))]
    if len(box) != 4 or box[:2] != [0, 0] or None in sides or min(box[2:]) <= 0:
        stated = f"{root.get('width')}, {root.get('height')}, viewBox {root.get('viewBox')}"
        _refuse("width, height and viewBox", stated)
    across, up = (
        float(side[1]) * _UNITS_MM[side[2]] / extent
        for side, extent in zip(sides, box[2:], strict=True)
        if side
    )
    if not math.isclose(across, up, rel_tol=1e-6):
        _refuse("width and height", "the drawing is stretched")
    return across, box[2], box[3]


def _pen(group: ET.Element) -> Pen | None:
    name = group.get("class", "").lower()
    return Pen(name) if name in set(Pen) else None


def _read_shape(shape: ET.Element, pen: Pen, scale: float, height: float) -> Path | Text:
    if shape.tag == f"{_SVG}text":
        return _text(shape, pen, scale, height)
    kind = shape.tag.removeprefix(_SVG)
    if kind == "circle" and pen is Pen.DRILL and not shape.get("transform"):
        return _punched(shape, scale, height)
    if kind not in ("polygon", "polyline", "line") or shape.get("transform"):
        _refuse(f"the group {pen}", kind)
    points = tuple((x * scale, (height - y) * scale) for x, y in _points(shape, kind))
    return Path(pen, points, closed=kind == "polygon")


def _punched(shape: ET.Element, scale: float, height: float) -> Path:
    """The point that a small circle on the layer of drill marks stands for."""
    x, y, radius = (float(shape.attrib[name]) for name in ("cx", "cy", "r"))
    if not math.isfinite(x + y) or not 0 <= radius * scale <= _PUNCH_MM:
        _refuse("a drill mark", f"a circle of radius {radius:g}")
    return Path(Pen.DRILL, ((x * scale, (height - y) * scale),))


def _points(shape: ET.Element, kind: str) -> Iterator[tuple[float, float]]:
    if kind == "line":
        ends = (("x1", "y1"), ("x2", "y2"))
        return ((float(shape.get(x, "0")), float(shape.get(y, "0"))) for x, y in ends)
    numbers = [float(number) for number in re.findall(_NUMBER, shape.get("points", ""))]
    if not all(map(math.isfinite, numbers)):
        _refuse(kind, "coordinates must be finite")
    return zip(numbers[::2], numbers[1::2], strict=True)


def _text(shape: ET.Element, pen: Pen, scale: float, height: float) -> Text:
    placed = _TRANSFORM.fullmatch(shape.get("transform", ""))
    if placed is None:
        _refuse(f"the group {pen}", f"text {shape.text!r} without a place")
    at = (float(placed[1]) * scale, (height - float(placed[2])) * scale)
    letters = float(shape.get("font-size", "0")) * _CAPITALS * scale
    return Text(pen, at, letters, shape.text or "", -float(placed[3] or 0))


def _refuse(place: str, value: str) -> NoReturn:
    rule = "must be an SVG lay drawing: its size in mm, straight lines in groups named by pen"
    remedy = "use the file as this program wrote it, or verify the DXF"
    raise OrderError([Fault(place, rule, written(value), remedy)])
