"""Reads a DXF lay drawing of our own quickly: polylines, points and texts on our pens' layers.

It shares no code with the writer, because exported files are checked with it. A
library that makes an object of every vertex takes seconds for a long lay.
`nesting.drawings.dxf.reader` reads files from elsewhere.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from nesting.drawings.arcs import as_chords
from nesting.drawings.drawing import Drawing, Path, Pen, Text
from nesting.drawings.dxf.text import decode
from nesting.errors import Fault, OrderError
from nesting.tolerances import ARC_MM, CHORD_MM, READ_MM

_PENS: Final = frozenset(Pen)

#: What is read, the parts of old polylines, and the layer of the square that shows the scale.
_READ: Final = frozenset(("POLYLINE", "LWPOLYLINE", "SEQEND", "POINT", "TEXT"))
_PARTS: Final = frozenset(("", "SECTION", "ENDSEC", "EOF", "VERTEX", "SEQEND"))
_SCALE: Final = "scale"

#: Group codes and values of one entity, in the order of the file.
Tags = list[tuple[str, str]]


@dataclass
class _Entities:
    """What has been read so far."""

    paths: list[Path] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    unknown: list[str] = field(default_factory=list)
    bends: list[tuple[float, float, float]] = field(default_factory=list)
    squares: int = 0
    closed: bool = False
    curved: bool = False

    def add(self, kind: str, tags: Tags) -> None:
        """Add one entity; the vertices of an old polyline are entities of their own."""
        last = dict(tags)
        if kind in ("POLYLINE", "LWPOLYLINE"):
            self.bends, self.closed = [], bool(int(last.get("70", "0")) & 1)
        if kind == "VERTEX":
            self.bends.append((float(last["10"]), float(last["20"]), float(last.get("42", 0))))
        layer = last.get("8", "")
        if kind not in _PARTS and not self._is_known(kind, layer):
            self.unknown.append(f"an entity {kind} on layer {layer}")
        if layer not in _PENS:
            return
        pen = Pen(layer)
        if kind == "LWPOLYLINE":
            self.bends = list(_bends(tags))
        if kind in ("SEQEND", "LWPOLYLINE"):
            self._end(pen)
        elif kind == "POINT":
            self.paths.append(Path(pen, ((float(last["10"]), float(last["20"])),)))
        elif kind == "TEXT":
            at = float(last["11"]), float(last["21"])
            height, angle = float(last["40"]), float(last.get("50", 0))
            self.texts.append(Text(pen, at, height, decode(last["1"]), angle))

    def _is_known(self, kind: str, layer: str) -> bool:
        """Whether an entity is a line or text of a pen, or of the one square of the scale."""
        if layer != _SCALE:
            return layer in _PENS and kind in _READ
        self.squares += kind == "POLYLINE"
        return kind == "TEXT" or (kind == "POLYLINE" and self.squares == 1)

    def _end(self, pen: Pen) -> None:
        if any(bulge for *_, bulge in self.bends):
            self.curved = True
            points = as_chords(self.bends, closed=self.closed)
        else:
            points = [(x, y) for x, y, _ in self.bends]
        self.paths.append(Path(pen, tuple(points), self.closed))


def read(data: bytes) -> Drawing:
    """The drawing in one of our own files; what it does not know it names as unknown.

    Raises
    ------
    OrderError
        When the data are not such a file.
    """
    sheet = _Entities()
    try:
        for section, kind, tags in _entities(data):
            if section == "ENTITIES":
                sheet.add(kind, tags)
    except (KeyError, ValueError) as error:
        rule = "must be a DXF file that this program wrote"
        raise OrderError([Fault("drawing", rule, str(error))]) from error
    within = CHORD_MM + ARC_MM + READ_MM if sheet.curved else 0.0
    return Drawing(
        "",
        0.0,
        0.0,
        tuple(sheet.paths),
        tuple(sheet.texts),
        within,
        unknown=tuple(sheet.unknown),
    )


def _bends(tags: Tags) -> Iterator[tuple[float, float, float]]:
    """Vertices of a light polyline: each begins with its x and may have a bulge."""
    x = y = bulge = 0.0
    begun = False
    for code, value in tags:
        if code == "10":
            if begun:
                yield x, y, bulge
            x, bulge, begun = float(value), 0.0, True
        elif code == "20":
            y = float(value)
        elif code == "42":
            bulge = float(value)
    if begun:
        yield x, y, bulge


def _entities(data: bytes) -> Iterator[tuple[str, str, Tags]]:
    """Section, kind and tags of every entity."""
    lines = data.decode("cp1252").split("\n")
    section, kind, tags = "", "", Tags()
    for code, value in zip(map(str.strip, lines[::2]), lines[1::2], strict=False):
        if code == "0":
            section = dict(tags).get("2", "") if kind == "SECTION" else section
            yield section, kind, tags
            kind, tags = value, []
        else:
            tags.append((code, value))
    yield section, kind, tags
