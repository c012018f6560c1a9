"""Writes pattern pieces as DXF by ASTM D6673, withdrawn in 2019, which pattern rooms still use.

Each piece is a BLOCK in millimetres, with these layers: 1 boundary and the
texts that systems read, 2 turn points, 3 curve points, 4 notches, 6 mirror
line, 7 grain, 8 internal lines (drawn, not cut), 11 cuts inside a piece
(cut-outs, which are closed, and slits, which are open), 13 drill holes, 14 sew
lines, 15 annotation for people. Boundaries and lines are POLYLINE or LINE;
places are POINT. What systems read is TEXT of the form ``Key: value``, for each
piece in its block and for the whole style outside. Everything is 7-bit ASCII.

The text of the standard was not available. Published extracts say that it asks
for a block for each piece, internal cut-outs that are cut and internal lines
that are not, sew lines, a sample size, and DXF of release 13 or before. The
numbers of the layers, the keys of the texts and the notch as a POINT on the
boundary are from memory. Slits are on the layer of the cut-outs because they
are cut; no source says that a line there may be open. Here a notch also has its
depth as z and its direction, inward, as angle; a receiving system may read
either differently. Grade rules are not written: every piece has one size.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from nesting.drawings.dxf.tags import at, comments, line, number, point, polyline, text

Point = tuple[float, float]

#: The layers, by their contents.
BOUNDARY: Final = "1"
TURN: Final = "2"
CURVE: Final = "3"
NOTCH: Final = "4"
MIRROR: Final = "6"
GRAIN: Final = "7"
INTERNAL: Final = "8"
CUT_OUT: Final = "11"
DRILL: Final = "13"
SEW: Final = "14"
ANNOTATION: Final = "15"

#: Every piece is made in one size, which is also the sample size.
SIZE: Final = "ONE"

#: A boundary that turns by more than this at a vertex has a corner there; the chords
#: of a curve turn by less.
_CORNER_DEG: Final = 20.0

#: Height of texts, distance between their lines, and distance between pieces (mm).
_LETTERS: Final = 4.0
_LINE: Final = 7.0
_APART: Final = 50.0

_HEADER: Final = ("0", "SECTION", "2", "HEADER", "9", "$ACADVER", "1", "AC1009")


@dataclass(frozen=True)
class Piece:
    """One piece, in millimetres.

    ``boundary`` does not repeat its first point. ``grain`` runs from tail to
    head. A sew line or an inner cut that ends where it begins is closed; an
    open inner cut is a slit. ``mirror`` is the line in which a half is to be
    mirrored. Each of ``notches`` is a point on the boundary and one inside. All
    texts are plain ASCII.
    """

    name: str
    quantity: int
    material: str
    boundary: tuple[Point, ...]
    grain: tuple[Point, Point]
    sew: tuple[tuple[Point, ...], ...] = ()
    notches: tuple[tuple[Point, Point], ...] = ()
    drills: tuple[Point, ...] = ()
    internal: tuple[tuple[Point, ...], ...] = ()
    inner_cuts: tuple[tuple[Point, ...], ...] = ()
    mirror: tuple[Point, Point] | None = None
    category: str = ""
    annotation: tuple[str, ...] = ()


def write(
    style: str,
    pieces: Sequence[Piece],
    created: date,
    author: str,
    remarks: Sequence[str] = (),
) -> bytes:
    """The pieces of a style as the bytes of a DXF file; each needs a name of its own.

    ``remarks`` are sentences for whoever opens the file: comments at its top.

    Raises
    ------
    ValueError
        When a text is not plain ASCII, or two pieces have the same name.
    """
    names = [piece.name for piece in pieces]
    if len(set(names)) < len(names):
        msg = f"pieces must have different names: {names}"
        raise ValueError(msg)
    tags = [
        *comments(remarks),
        *_HEADER,
        *_extents(pieces),
        "0",
        "ENDSEC",
        "0",
        "SECTION",
        "2",
        "BLOCKS",
    ]
    for count, piece in enumerate(pieces, start=1):
        tags += _block(f"P{count}", piece)
    tags += ["0", "ENDSEC", "0", "SECTION", "2", "ENTITIES", *_inserts(pieces)]
    style_texts = {
        "Style Name": style,
        "Creation Date": created.isoformat(),
        "Author": author,
        "Sample Size": SIZE,
        "Units": "METRIC",
    }
    tags += [*_system_texts(style_texts, (0.0, -2 * _LINE)), "0", "ENDSEC", "0", "EOF"]
    lines = "\n".join([*tags, ""])
    return lines.replace("\n", "\r\n").encode("ascii")


def _block(name: str, piece: Piece) -> Iterator[str]:
    yield from ("0", "BLOCK", "8", BOUNDARY, "2", name, "70", "0", *at((0.0, 0.0)))
    yield from ("3", name)
    yield from polyline(BOUNDARY, piece.boundary, closed=True)
    for vertex, corner in _turns(piece.boundary):
        yield from point(TURN if corner else CURVE, vertex)
    for foot, tip in piece.notches:
        yield from _notch(foot, tip)
    if piece.mirror:
        yield from line(MIRROR, *piece.mirror)
    yield from line(GRAIN, *piece.grain)
    for run in piece.internal:
        yield from polyline(INTERNAL, run, closed=False)
    for run in piece.inner_cuts:
        yield from _run(CUT_OUT, run)
    for drill in piece.drills:
        yield from point(DRILL, drill)
    for run in piece.sew:
        yield from _run(SEW, run)
    yield from _texts(piece)
    yield from ("0", "ENDBLK", "8", BOUNDARY)


def _run(layer: str, run: Sequence[Point]) -> Iterator[str]:
    closed = run[0] == run[-1]
    yield from polyline(layer, run[:-1] if closed else run, closed=closed)


def _texts(piece: Piece) -> Iterator[str]:
    piece_texts = {
        "Piece Name": piece.name,
        "Size": SIZE,
        "Quantity": str(piece.quantity),
        "Material": piece.material,
        "Category": piece.category,
        "Annotation": "; ".join(piece.annotation),
    }
    (x0, y0), (x1, y1) = _box(piece.boundary)
    place = (x0 + x1) / 2, (y0 + y1) / 2
    yield from _system_texts({key: value for key, value in piece_texts.items() if value}, place)
    for row, words in enumerate(piece.annotation, start=1):
        yield from text(ANNOTATION, (place[0], place[1] + row * _LINE), _LETTERS, words)


def _system_texts(texts: dict[str, str], place: Point) -> Iterator[str]:
    for row, (key, value) in enumerate(texts.items(), start=1):
        yield from text(BOUNDARY, (place[0], place[1] - row * _LINE), _LETTERS, f"{key}: {value}")


def _turns(ring: Sequence[Point]) -> Iterator[tuple[Point, bool]]:
    """Every vertex of a ring, and whether it is a corner."""
    around = zip((ring[-1], *ring[:-1]), ring, (*ring[1:], ring[0]), strict=True)
    for before, vertex, after in around:
        into = math.atan2(vertex[1] - before[1], vertex[0] - before[0])
        out = math.atan2(after[1] - vertex[1], after[0] - vertex[0])
        turn = abs(math.remainder(out - into, math.tau))
        yield vertex, turn > math.radians(_CORNER_DEG)


def _inserts(pieces: Sequence[Piece]) -> Iterator[str]:
    """One insert of every piece, side by side, so that a viewer shows them all."""
    for count, (piece, x) in enumerate(zip(pieces, _starts(pieces), strict=True), start=1):
        (x0, y0), _ = _box(piece.boundary)
        yield from ("0", "INSERT", "8", BOUNDARY, "2", f"P{count}", *at((x - x0, -y0)))


def _starts(pieces: Sequence[Piece]) -> Iterator[float]:
    """Where each piece begins in the row."""
    x = 0.0
    for piece in pieces:
        yield x
        (x0, _), (x1, _) = _box(piece.boundary)
        x += x1 - x0 + _APART


def _extents(pieces: Sequence[Piece]) -> Iterator[str]:
    """The box around all pieces in their row."""
    boxes = [_box(piece.boundary) for piece in pieces]
    ends = (x + x1 - x0 for x, ((x0, _), (x1, _)) in zip(_starts(pieces), boxes, strict=True))
    high = max((y1 - y0 for (_, y0), (_, y1) in boxes), default=0.0)
    yield from ("9", "$EXTMIN", *at((0.0, 0.0)))
    yield from ("9", "$EXTMAX", *at((max(ends, default=0.0), high)))


def _box(ring: Iterable[Point]) -> tuple[Point, Point]:
    xs, ys = zip(*ring, strict=True)
    return (min(xs), min(ys)), (max(xs), max(ys))


def _notch(foot: Point, tip: Point) -> Iterator[str]:
    """A notch: its foot on the boundary, its depth (z) and its direction inward (angle)."""
    angle = math.degrees(math.atan2(tip[1] - foot[1], tip[0] - foot[0])) % 360
    yield from point(NOTCH, foot, math.dist(foot, tip))
    yield from ("50", number(angle))
