"""Writes drawings as SVG in real millimetres, with one group for each pen, whose class it is.

In SVG y runs downward from the upper edge, so a point (x, y) of the drawing is
written as (x, height - y). Lines have the same width on the screen at any
magnification, so that a lay of ten metres is still readable. A single point is
a small circle, since many machines pass over a line without length. Comments of the
drawing are its description.
"""

from typing import Final
from xml.etree import ElementTree as ET

from nesting.drawings.drawing import Drawing, Path, Pen, Text, one_line

_NAMESPACE = "http://www.w3.org/2000/svg"

#: Kinds of line differ in width and dashes, not only in colour. They are written as
#: attributes too, for machines that pass over style sheets.
_LOOKS: Final[dict[Pen, dict[str, str]]] = {
    Pen.CUT: {"stroke": "#000", "stroke-width": "1.4"},
    Pen.INNER_CUT: {"stroke": "#000", "stroke-width": "1.4"},
    Pen.STITCH: {"stroke": "#35556e", "stroke-width": "0.8", "stroke-dasharray": "5 3"},
    Pen.GRAIN: {"stroke": "#666", "stroke-width": "0.8"},
    Pen.INNER_LINE: {"stroke": "#666", "stroke-width": "0.8", "stroke-dasharray": "10 2"},
    Pen.NOTCH: {"stroke": "#7a4a12", "stroke-width": "1.4"},
    Pen.DRILL: {"stroke": "#7a4a12", "stroke-width": "1"},
    Pen.LABEL: {},
    Pen.FLAW: {"stroke": "#222", "stroke-width": "1", "stroke-dasharray": "2 3"},
    Pen.SELVEDGE: {"stroke": "#4c6b3c", "stroke-width": "1", "stroke-dasharray": "12 3 2 3"},
}
_LINES: Final = {"fill": "none", "stroke-linejoin": "round"}
_LETTERS: Final = {
    "font-family": 'Arial, "Liberation Sans", Helvetica, sans-serif', "fill": "#222",
    "stroke": "none", "text-anchor": "middle",
}  # fmt: skip

_STYLE: Final = "\n".join(
    (
        "",
        "polygon, polyline, circle { vector-effect: non-scaling-stroke }",
        "text { white-space: pre }",
        *(
            f".{pen} {{ {'; '.join(f'{name}: {value}' for name, value in look.items())} }}"
            for pen, look in _LOOKS.items()
            if look
        ),
        "",
    )
)

#: Cuts come last, and those inside panels before outlines, so that a machine that works
#: through the file marks and slits a panel before it is loose.
_CUTS = (Pen.INNER_CUT, Pen.CUT)
_GROUPS = (*(pen for pen in Pen if pen not in _CUTS), *_CUTS)

#: Height of capitals as a share of the font size, in Arial and typefaces of the same widths.
_CAPITALS = 0.716


#: Radius of the circle that stands for a single point (mm): the hole of a small punch.
_PUNCH_MM = 0.5


def write(drawing: Drawing) -> bytes:
    """The drawing as the bytes of an SVG file; the same drawing gives the same bytes."""
    ET.register_namespace("", _NAMESPACE)
    width, height = _number(drawing.width), _number(drawing.height)
    size = {"width": f"{width}mm", "height": f"{height}mm", "viewBox": f"0 0 {width} {height}"}
    root = ET.Element(
        f"{{{_NAMESPACE}}}svg", {"version": "1.1", "style": "background: white", **size}
    )
    _child(root, "title").text = drawing.title
    if drawing.comments:
        _child(root, "desc").text = one_line(" ".join(drawing.comments))
    _child(root, "style").text = _STYLE
    for pen in _GROUPS:
        group = _child(root, "g", {"class": pen.value, **_LINES, **_LOOKS[pen]})
        for path in drawing.paths:
            if path.pen is pen:
                _add_path(group, path, drawing.height)
        for text in drawing.texts:
            if text.pen is pen:
                _add_text(group, text, drawing.height)
    ET.indent(root, space="")
    data: bytes = ET.tostring(root, encoding="utf-8", xml_declaration=True)
    return data + b"\n"


def _child(parent: ET.Element, name: str, attributes: dict[str, str] | None = None) -> ET.Element:
    return ET.SubElement(parent, f"{{{_NAMESPACE}}}{name}", attributes or {})


def _add_path(group: ET.Element, path: Path, height: float) -> None:
    if len(path.points) == 1:
        ((x, y),) = path.points
        place = {"cx": _number(x), "cy": _number(height - y), "r": _number(_PUNCH_MM)}
        _child(group, "circle", place)
        return
    points = " ".join(f"{_number(x)},{_number(height - y)}" for x, y in path.points)
    _child(group, "polygon" if path.closed else "polyline", {"points": points})


def _add_text(group: ET.Element, text: Text, height: float) -> None:
    """Add a line of text; half the height of capitals down centres it on its point."""
    x, y = _number(text.at[0]), _number(height - text.at[1])
    turn = f" rotate({_number(-text.angle)})" if text.angle else ""
    attributes = {
        **_LETTERS,
        "transform": f"translate({x} {y}){turn}",
        "y": _number(text.height / 2),
        "font-size": _number(text.height / _CAPITALS),
    }
    _child(group, "text", attributes).text = text.content


def _number(value: float) -> str:
    """A number with at most four decimals and no trailing zeros."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
