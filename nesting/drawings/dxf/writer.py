"""Writes drawings as DXF in millimetres, with one layer for each pen.

The release is R2000, or R12 for machines that read nothing later. R12 has no
light polylines and no unit, so its lines are POLYLINE entities, and a square of
100 mm on a layer of its own, or a smaller one, states its size, unless the
drawing is for a knife. Texts in R12 have only plain letters.

The same drawing gives the same bytes: the file has no times and no random
identifiers. The limits of the file ($LIMMIN, $LIMMAX) are the sheet; the
extents ($EXTMIN, $EXTMAX) are those of the paths and texts on it. The title is
in an entry of our own, since there is no header variable for one. A text stands
in the middle of its place; its first point, for readers that ignore how a text
is aligned, is where it then begins. Comments of the drawing stand at the top (group
code 999).
"""

import io
import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from enum import StrEnum

import ezdxf
from ezdxf.document import Drawing as Document
from ezdxf.enums import TextEntityAlignment
from ezdxf.layouts import Modelspace

from nesting.drawings.arcs import Bend, with_arcs
from nesting.drawings.ascii_names import ascii_text
from nesting.drawings.drawing import Drawing, Path, Pen, Text
from nesting.drawings.dxf.scale_square import Square, scale_square
from nesting.drawings.dxf.tags import comments, light_point, light_polyline, point, polyline
from nesting.drawings.dxf.text import encode
from nesting.drawings.tool import Tool

#: DXF colour index (group code 62) and line weight (1/100 mm) of each layer: greys and
#: muted tones, each with its own index, since machines choose tools by it.
_LOOKS = {
    Pen.CUT: (7, 50),
    Pen.STITCH: (144, 25),
    Pen.GRAIN: (8, 25),
    Pen.NOTCH: (34, 35),
    Pen.DRILL: (174, 35),
    Pen.LABEL: (150, 25),  # a blue that shows on dark and on light screens
    Pen.SELVEDGE: (94, 35),
    Pen.FLAW: (14, 35),
    Pen.INNER_LINE: (54, 25),
    Pen.INNER_CUT: (24, 50),
}

#: Dashes of the stitch line: whole length, line, blank (mm).
_DASHES = [9.0, 6.0, -3.0]
_STITCHES = "STITCHES"
_LETTERS = "LETTERS"

#: Width of an average letter over the height of capitals: Liberation Sans 0.60 to 0.68.
_LETTER_WIDE = 0.65

#: Our entry with the title: extended data of the layer for cuts, which both releases have.
OWN = "CLOTHWRIGHT"
TITLED = Pen.CUT.value

#: Most letters of one value of such an entry; a longer title has several.
_LONGEST = 255

#: The square that shows the scale of a file without a unit: its layer, and the height
#: of its letters as a share of its side.
_SCALE = "scale"
_LETTER_SHARE = 0.05

#: Where a file's entities begin.
_ENTITIES = b"  0\nSECTION\n  2\nENTITIES\n"


class Release(StrEnum):
    """A release of the format."""

    R2000 = "R2000"
    R12 = "R12"


def write(
    drawing: Drawing,
    release: Release = Release.R2000,
    *,
    arcs: bool = False,
    tool: Tool = Tool.PEN,
) -> bytes:
    """The drawing as the bytes of a DXF file.

    With ``arcs``, chords of smooth curves become arcs (`nesting.drawings.arcs`).
    A file for a knife has no square that shows its scale.
    """
    if release is Release.R12:
        drawing = _in_plain_letters(drawing)
    with _fixed_meta_data():
        document = _document(drawing, release)
        space = document.modelspace()
        for text in drawing.texts:
            _add_text(space, text)
        if release is Release.R12 and tool is Tool.PEN:
            square = scale_square(drawing)
            _add_scale(space, square)
            corners = ((square[0], square[1]), (square[0] + square[2], square[1] + square[2]))
            _set_extents(space, (*_points(drawing), *corners))
        lines = [tag for path in drawing.paths for tag in _tags(path, space, release, arcs=arcs)]
        head, found, rest = _bytes_of(document).partition(_ENTITIES)
        above = _as_bytes([*comments(drawing.comments)])
        return b"".join((above, head, found, _as_bytes(lines), rest))


def _as_bytes(lines: list[str]) -> bytes:
    return ("\n".join(lines) + "\n").encode("ascii") if lines else b""


def _in_plain_letters(drawing: Drawing) -> Drawing:
    texts = (replace(text, content=ascii_text(text.content)) for text in drawing.texts)
    return replace(drawing, title=ascii_text(drawing.title), texts=tuple(texts))


def _bytes_of(document: Document) -> bytes:
    stream = io.StringIO()
    document.write(stream)
    return document.encode(stream.getvalue())


def _tags(path: Path, space: Modelspace, release: Release, *, arcs: bool) -> Iterator[str]:
    """A path as an entity; it uses up a handle of the document where it needs one."""
    if len(path.points) == 1:
        return _point_tags(path, space, release)
    bends: list[Bend] = with_arcs(path) if arcs else [(x, y, 0.0) for x, y in path.points]
    if release is Release.R12:
        return polyline(path.pen.value, bends, closed=path.closed)
    handle = space.doc.entitydb.next_handle()
    return light_polyline(path.pen.value, bends, handle, space.layout_key, closed=path.closed)


def _point_tags(path: Path, space: Modelspace, release: Release) -> Iterator[str]:
    (place,) = path.points
    if release is Release.R12:
        return point(path.pen.value, place)
    handle = space.doc.entitydb.next_handle()
    return light_point(path.pen.value, place, handle, space.layout_key)


def _add_text(space: Modelspace, text: Text, layer: str | None = None) -> None:
    look = {"layer": layer or text.pen.value, "style": _LETTERS}
    entity = space.add_text(encode(text.content), height=text.height, dxfattribs=look)
    entity.dxf.rotation = text.angle
    entity.set_placement(text.at, align=TextEntityAlignment.MIDDLE_CENTER)
    turn = math.radians(text.angle)
    back, down = _LETTER_WIDE * len(text.content) * text.height / 2, text.height / 2
    x = text.at[0] - back * math.cos(turn) + down * math.sin(turn)
    y = text.at[1] - back * math.sin(turn) - down * math.cos(turn)
    entity.dxf.insert = (x, y)


def _add_scale(space: Modelspace, square: Square) -> None:
    """The square that shows the scale, with its size in words."""
    x, y, side = square
    corners = [(x, y), (x + side, y), (x + side, y + side), (x, y + side)]
    space.add_polyline2d(corners, close=True, dxfattribs={"layer": _SCALE})
    size = f"{side:g} X {side:g} MM"
    for row, words in enumerate(("UNIT: MILLIMETRE", "THIS SQUARE", "MEASURES", size)):
        at = (x + side / 2, y + side * (0.8 - 0.2 * row))
        _add_text(space, Text(Pen.LABEL, at, side * _LETTER_SHARE, words), _SCALE)


@contextmanager
def _fixed_meta_data() -> Iterator[None]:
    """Keep the time and random identifiers out of files written in this context."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def _document(drawing: Drawing, release: Release) -> Document:
    """An empty document with units, sheet, layers and the lettering style."""
    document = ezdxf.new(release, units=ezdxf.units.MM if release is Release.R2000 else 0)
    document.linetypes.add(_STITCHES, pattern=_DASHES, description="stitch line")
    document.styles.add(_LETTERS, font="arial.ttf")
    for pen, (colour, weight) in _LOOKS.items():
        layer = document.layers.add(pen.value, color=colour, lineweight=weight)
        if pen is Pen.STITCH:
            layer.dxf.linetype = _STITCHES
    if release is Release.R12:
        document.layers.add(_SCALE, color=8)
        document.header["$HANDLING"] = 0  # no entity has a handle
    document.appids.add(OWN)
    title = encode(drawing.title)
    parts = [title[at : at + _LONGEST] for at in range(0, len(title), _LONGEST)]
    document.layers.get(TITLED).set_xdata(OWN, [(1000, part) for part in parts])
    space = document.modelspace()
    space.reset_limits((0, 0), (drawing.width, drawing.height))
    _set_extents(space, _points(drawing))
    return document


def _points(drawing: Drawing) -> tuple[tuple[float, float], ...]:
    """Every point of the paths, and the places of the texts."""
    of_paths = (p for path in drawing.paths for p in path.points)
    return (*of_paths, *(text.at for text in drawing.texts))


def _set_extents(space: Modelspace, points: Sequence[tuple[float, float]]) -> None:
    if points:
        xs, ys = zip(*points, strict=True)
        space.reset_extents((min(xs), min(ys), 0), (max(xs), max(ys), 0))
