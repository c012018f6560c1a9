"""Pattern pieces as DXF by ASTM D6673, withdrawn in 2019, still what pattern rooms exchange.

One BLOCK for each piece, in millimetres, with these layers: 1 boundary and
the texts that systems read, 2 turn points, 3 curve points, 4 notches, 6
mirror line, 7 grain, 8 internal lines (drawn, not cut), 11 cut-outs, 13 drill
holes, 14 sew lines, 15 annotation for people. Boundaries and lines are
POLYLINE or LINE, places are POINT; what systems read is TEXT of the form
``Key: value``, in each block its own and once for the whole style outside. All
is 7-bit ASCII.

What was checked, and what could not be. The text of the standard was not at
hand. That it wants a block for each piece, internal cut-outs cut and internal
lines not, sew lines, a sample size, and DXF of release 13 or before is from
published extracts; the numbers of the layers, the keys of the texts and that
a notch is a POINT on the boundary are from memory. Here a notch also has its
depth as z and its direction, inward, as angle; a receiving system may read
either differently. Grade rules are not written: every piece has one size.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

Point = tuple[float, float]

#: The layers, by what they hold.
BOUNDARY: Final = 1
TURN: Final = 2
CURVE: Final = 3
NOTCH: Final = 4
MIRROR: Final = 6
GRAIN: Final = 7
INTERNAL: Final = 8
CUT_OUT: Final = 11
DRILL: Final = 13
SEW: Final = 14
ANNOTATION: Final = 15

#: Every piece is made in one size, which is also the sample size.
SIZE: Final = "ONE"

#: A boundary that turns by more than this at a vertex has a corner there; the
#: chords of a curve turn by less.
_CORNER_DEG: Final = 20.0

#: Height of texts, distance of their lines and of pieces from each other (mm).
_LETTERS: Final = 4.0
_LINE: Final = 7.0
_APART: Final = 50.0

_HEADER: Final = ("0", "SECTION", "2", "HEADER", "9", "$ACADVER", "1", "AC1009", "0", "ENDSEC")


@dataclass(frozen=True)
class Piece:
    """One piece: millimetres, grain along ``grain`` from its tail to its head.

    ``boundary`` and ``cut_outs`` do not repeat their first point; a sew line
    that ends where it began is closed. ``mirror`` is the line in which a half
    is to be mirrored. ``notches`` are pairs of a point on the boundary and one
    inside; all texts are plain ASCII.
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
    cut_outs: tuple[tuple[Point, ...], ...] = ()
    mirror: tuple[Point, Point] | None = None
    category: str = ""
    annotation: tuple[str, ...] = ()


def write(style: str, pieces: Sequence[Piece], created: date, author: str) -> bytes:
    """The pieces of a style as the bytes of a DXF file; names of pieces differ.

    Raises
    ------
    ValueError
        When a text is not plain ASCII, or two pieces have one name.
    """
    names = [piece.name for piece in pieces]
    if len(set(names)) < len(names):
        msg = f"pieces must have different names: {names}"
        raise ValueError(msg)
    tags = [*_HEADER, "0", "SECTION", "2", "BLOCKS"]
    for number, piece in enumerate(pieces, start=1):
        tags += _block(f"P{number}", piece)
    tags += ["0", "ENDSEC", "0", "SECTION", "2", "ENTITIES", *_inserts(pieces)]
    told = {
        "Style Name": style,
        "Creation Date": created.isoformat(),
        "Author": author,
        "Sample Size": SIZE,
        "Units": "METRIC",
    }
    tags += [*_system_texts(told, (0.0, -2 * _LINE)), "0", "ENDSEC", "0", "EOF"]
    return ("\r\n".join(tags) + "\r\n").encode("ascii")


def _block(name: str, piece: Piece) -> Iterator[str]:
    yield from ("0", "BLOCK", "8", str(BOUNDARY), "2", name, "70", "0", *_at((0.0, 0.0)))
    yield from ("3", name)
    yield from _polyline(BOUNDARY, piece.boundary, closed=True)
    for at, corner in _turns(piece.boundary):
        yield from _point(TURN if corner else CURVE, at)
    for foot, tip in piece.notches:
        yield from _notch(foot, tip)
    if piece.mirror:
        yield from _line(MIRROR, *piece.mirror)
    yield from _line(GRAIN, *piece.grain)
    for run in piece.internal:
        yield from _polyline(INTERNAL, run, closed=False)
    for ring in piece.cut_outs:
        yield from _polyline(CUT_OUT, ring, closed=True)
    for at in piece.drills:
        yield from _point(DRILL, at)
    for run in piece.sew:
        closed = run[0] == run[-1]
        yield from _polyline(SEW, run[:-1] if closed else run, closed=closed)
    yield from _texts(piece)
    yield from ("0", "ENDBLK", "8", str(BOUNDARY))


def _texts(piece: Piece) -> Iterator[str]:
    told = {
        "Piece Name": piece.name,
        "Size": SIZE,
        "Quantity": str(piece.quantity),
        "Material": piece.material,
        "Category": piece.category,
        "Annotation": "; ".join(piece.annotation),
    }
    (x0, y0), (x1, y1) = _box(piece.boundary)
    place = (x0 + x1) / 2, (y0 + y1) / 2
    yield from _system_texts({key: value for key, value in told.items() if value}, place)
    for row, words in enumerate(piece.annotation, start=1):
        yield from _text(ANNOTATION, (place[0], place[1] + row * _LINE), words)


def _system_texts(told: dict[str, str], at: Point) -> Iterator[str]:
    for row, (key, value) in enumerate(told.items(), start=1):
        yield from _text(BOUNDARY, (at[0], at[1] - row * _LINE), f"{key}: {value}")


def _turns(ring: Sequence[Point]) -> Iterator[tuple[Point, bool]]:
    """Every vertex of a ring, and whether it is a corner."""
    for before, at, after in zip((ring[-1], *ring[:-1]), ring, (*ring[1:], ring[0]), strict=True):
        into = math.atan2(at[1] - before[1], at[0] - before[0])
        out = math.atan2(after[1] - at[1], after[0] - at[0])
        turn = abs(math.remainder(out - into, math.tau))
        yield at, turn > math.radians(_CORNER_DEG)


def _inserts(pieces: Sequence[Piece]) -> Iterator[str]:
    """Every piece once, side by side, so that a viewer shows them all."""
    x = 0.0
    for number, piece in enumerate(pieces, start=1):
        (x0, y0), (x1, _) = _box(piece.boundary)
        yield from ("0", "INSERT", "8", str(BOUNDARY), "2", f"P{number}", *_at((x - x0, -y0)))
        x += x1 - x0 + _APART


def _box(ring: Iterable[Point]) -> tuple[Point, Point]:
    xs, ys = zip(*ring, strict=True)
    return (min(xs), min(ys)), (max(xs), max(ys))


def _polyline(layer: int, points: Sequence[Point], *, closed: bool) -> Iterator[str]:
    yield from ("0", "POLYLINE", "8", str(layer), "66", "1", "70", str(int(closed)))
    yield from _at((0.0, 0.0))
    for point in points:
        yield from ("0", "VERTEX", "8", str(layer), *_at(point))
    yield from ("0", "SEQEND", "8", str(layer))


def _line(layer: int, start: Point, end: Point) -> Iterator[str]:
    yield from ("0", "LINE", "8", str(layer), *_at(start))
    yield from ("11", _number(end[0]), "21", _number(end[1]), "31", "0.0")


def _point(layer: int, at: Point) -> Iterator[str]:
    yield from ("0", "POINT", "8", str(layer), *_at(at))


def _notch(foot: Point, tip: Point) -> Iterator[str]:
    """A notch: where it meets the boundary, how deep it is (z) and which way it goes in."""
    angle = math.degrees(math.atan2(tip[1] - foot[1], tip[0] - foot[0])) % 360
    yield from ("0", "POINT", "8", str(NOTCH), *_at(foot, math.dist(foot, tip)))
    yield from ("50", _number(angle))


def _text(layer: int, at: Point, words: str) -> Iterator[str]:
    yield from ("0", "TEXT", "8", str(layer), *_at(at), "40", _number(_LETTERS), "1", words)


def _at(point: Point, z: float = 0.0) -> tuple[str, ...]:
    return "10", _number(point[0]), "20", _number(point[1]), "30", _number(z)


def _number(value: float) -> str:
    """At most four decimals, and a point in any case, as DXF writes real numbers."""
    text = f"{value:.4f}".rstrip("0")
    return text + "0" if text.endswith(".") else text
