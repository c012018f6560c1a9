"""Reads a lay drawing of DXF release 12 quickly: polylines and texts on the layers of our pens.

Written apart from the writer, for the proof of a file of our own before it
counts; files from elsewhere are read by `nesting.drawings.dxf_reader`.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from nesting.drawings.arcs import as_chords
from nesting.drawings.drawing import Drawing, Path, Pen, Text
from nesting.errors import Fault, OrderError
from nesting.tolerances import ARC_MM, CHORD_MM, READ_MM

_PENS: Final = frozenset(Pen)


@dataclass
class _Sheet:
    """What has been read so far."""

    paths: list[Path] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    bends: list[tuple[float, float, float]] = field(default_factory=list)
    closed: bool = False
    curved: bool = False

    def add(self, kind: str, tags: dict[str, str]) -> None:
        """Take in one entity; the vertices of a polyline come one by one."""
        if kind == "POLYLINE":
            self.bends, self.closed = [], bool(int(tags.get("70", "0")) & 1)
        elif kind == "VERTEX":
            self.bends.append((float(tags["10"]), float(tags["20"]), float(tags.get("42", 0))))
        elif kind == "SEQEND" and tags.get("8") in _PENS:
            self._end(Pen(tags["8"]))
        elif kind == "TEXT" and tags.get("8") in _PENS:
            at = float(tags["11"]), float(tags["21"])
            height, angle = float(tags["40"]), float(tags.get("50", 0))
            self.texts.append(Text(Pen(tags["8"]), at, height, tags["1"], angle))

    def _end(self, pen: Pen) -> None:
        if any(bulge for *_, bulge in self.bends):
            self.curved = True
            points = as_chords(self.bends, closed=self.closed)
        else:
            points = [(x, y) for x, y, _ in self.bends]
        self.paths.append(Path(pen, tuple(points), self.closed))


def read(data: bytes) -> Drawing:
    """The drawing in a file of ours; other layers are passed over.

    Raises
    ------
    OrderError
        When the data are no such file.
    """
    sheet = _Sheet()
    try:
        for section, kind, tags in _entities(data):
            if section == "ENTITIES":
                sheet.add(kind, tags)
    except (KeyError, ValueError) as error:
        raise OrderError([Fault("drawing", "must be a DXF of release 12", str(error))]) from error
    within = CHORD_MM + ARC_MM + READ_MM if sheet.curved else 0.0
    return Drawing("", 0.0, 0.0, tuple(sheet.paths), tuple(sheet.texts), within)


def _entities(data: bytes) -> Iterator[tuple[str, str, dict[str, str]]]:
    """Section, kind and tags of every entity; of a code that comes twice, the last."""
    lines = data.decode("ascii").split("\n")
    codes, values = (part[: len(lines) // 2] for part in (lines[::2], lines[1::2]))
    section, kind, tags = "", "", dict[str, str]()
    for code, value in zip(map(str.strip, codes), map(str.strip, values), strict=True):
        if code == "0":
            section = tags.get("2", "") if kind == "SECTION" else section
            yield section, kind, tags
            kind, tags = value, {}
        else:
            tags[code] = value
    yield section, kind, tags
