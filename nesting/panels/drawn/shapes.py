"""Reads panels from a maker's own drawing and refuses anything that cannot be cut.

In a drawing of cut or sewn lines each closed ring is a shape; in a file of
pattern pieces each piece is a shape. Lengths are millimetres; the grain of a
shape runs along x after `Shape.along_grain` has turned it.
"""

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Final

from nesting.drawings.strokes import Point, StrokeDrawing, closed_rings
from nesting.errors import Fault, OrderError
from nesting.geometry.rings import clean
from nesting.panels.drawn.rings import inside_faults, ring_faults
from nesting.sentences import Length, Sentence, point

if TYPE_CHECKING:
    from nesting.drawings.pieces.reader import ReadPiece

Pairs = tuple[tuple[Point, Point], ...]
Runs = tuple[tuple[Point, ...], ...]

_LONGEST_NAME: Final = 100

#: Most faults of one drawing that are listed.
_MOST_FAULTS: Final = 20

#: How far a notch may lie off the boundary, and a sew line outside it (mm).
_OFF_MM: Final = 1.0
_BEYOND_MM: Final = 0.02


@dataclass(frozen=True)
class Shape:
    """One closed line of a drawing, anticlockwise, and what belongs to it.

    ``sew`` is the stitch line if the drawing has both lines; ``grain_deg`` is
    the direction of the grain if the drawing gives it; a ``piece`` comes from
    an ASTM D6673 file. ``lines`` are drawn on the panel and ``inner_cuts`` are
    cut in it; a cut-out ends where it starts.
    """

    name: str
    drawn: tuple[Point, ...]
    per_item: int = 1
    sew: tuple[Point, ...] | None = None
    grain_deg: float | None = None
    piece: bool = False
    notches: Pairs = ()
    drills: tuple[Point, ...] = ()
    lines: Runs = ()
    inner_cuts: Runs = ()

    def along_grain(self, otherwise_deg: float) -> "Shape":
        """The shape turned so that its grain runs along x."""
        turn = -(otherwise_deg if self.grain_deg is None else self.grain_deg)
        return replace(
            self,
            drawn=_turned(self.drawn, turn),
            sew=self.sew and _turned(self.sew, turn),
            notches=tuple((a, b) for a, b in (_turned(each, turn) for each in self.notches)),
            drills=_turned(self.drills, turn),
            lines=tuple(_turned(run, turn) for run in self.lines),
            inner_cuts=tuple(_turned(run, turn) for run in self.inner_cuts),
        )


def read_shapes(path: Path, unit: str | None, expected: int | None) -> tuple[Shape, ...]:
    """All panels of a drawing; ``expected`` is their number according to the order.

    Raises
    ------
    OrderError
        With everything that is wrong with the drawing; the place of each fault
        is given within the drawing.
    """
    try:
        stat = path.stat()
    except OSError as error:
        rule = "must be a file that can be read"
        reason = error.strerror or ""
        raise OrderError([Fault("the drawing", rule, reason, "check its name")]) from error
    return _read(path, unit, expected, (stat.st_mtime_ns, stat.st_size))


@lru_cache(maxsize=32)
def _read(
    path: Path, unit: str | None, expected: int | None, _version: tuple[int, int]
) -> tuple[Shape, ...]:
    """The shapes of one version of a file."""
    from nesting.drawings import makers_file  # noqa: PLC0415 - products are listed without it

    found = makers_file.read(path, unit)
    if isinstance(found, StrokeDrawing):
        shapes, faults = _of_sheet(found, expected or 1)
    else:
        shapes, faults = _of_pieces(found, expected)
    if len(faults) > _MOST_FAULTS:
        more = Fault("the drawing", f"has {len(faults) - _MOST_FAULTS} more faults like these")
        faults = [*faults[:_MOST_FAULTS], more]
    if faults:
        raise OrderError(faults)
    return tuple(shapes)


def _of_sheet(sheet: StrokeDrawing, expected: int) -> tuple[list[Shape], list[Fault]]:
    """A shape for each closed ring of some lines."""
    rings, open_ends = closed_rings(sheet.strokes, sheet.words_at)
    faults = [*sheet.faults, *open_ends]
    cleaned = [clean(ring.points) for ring in rings]
    for ring, points in zip(rings, cleaned, strict=True):
        faults += ring_faults(points, ring.place, sheet.words_at)
    if not faults:
        faults += inside_faults(cleaned, [ring.place for ring in rings])
    if not faults and len(rings) != expected:
        faults.append(_count_fault(len(rings), expected, sheet))
    names = ["outline"] if expected == 1 else [f"outline-{n}" for n in range(1, expected + 1)]
    if faults:
        return [], faults
    return [Shape(*each) for each in zip(names, cleaned, strict=True)], []


def _count_fault(found: int, expected: int, sheet: StrokeDrawing) -> Fault:
    held = ", ".join(f"{count} {kind}" for kind, count in sheet.passed_over)
    if not found:
        value = f"it holds {held}, which are not cut" if held else "it holds no lines"
        remedy = "draw the panel's outline as closed lines, on a layer that is shown"
        return Fault("the drawing", "must have a closed outline", value, remedy)
    if found > expected:
        remedy = f"add panels = {found} to the item if all are wanted, or take the others out"
    else:
        remedy = "draw those that are missing, or say in the item how many panels there are"
    rule = f"must have {expected} closed outline{'s' if expected > 1 else ''}"
    return Fault("the drawing", rule, f"{found} found", remedy)


def _of_pieces(
    pieces: "Sequence[ReadPiece]", expected: int | None
) -> tuple[list[Shape], list[Fault]]:
    """A shape for each pattern piece."""
    faults: list[Fault] = []
    if expected not in (None, len(pieces)):
        remedy = "take panels out of the item: the drawing names its pieces"
        rule = f"must have {expected} pieces"
        faults.append(Fault("the drawing", rule, f"{len(pieces)} found", remedy))
    for name, times in Counter(_named(piece.name) for piece in pieces).items():
        remedy = "save the pieces of one size, each with a name of its own"
        if times > 1:
            faults.append(Fault(f'piece "{name}"', "must be there once", f"{times} times", remedy))
        if not name:
            faults.append(Fault("a piece", "must have a name", "", remedy))
    for piece in pieces:
        faults += _piece_faults(piece)
    return ([] if faults else [_shape(piece) for piece in pieces]), faults


def _piece_faults(piece: "ReadPiece") -> Iterator[Fault]:
    """Lines of a piece that cross, and marks in the wrong place."""
    import shapely  # noqa: PLC0415 - products are listed without loading it

    where = f'piece "{piece.name[:40]}"'
    wrong = list(ring_faults(clean(piece.boundary), f"{where}, boundary", _at))
    if piece.sew:
        wrong += ring_faults(clean(piece.sew), f"{where}, sew line", _at)
    yield from wrong
    if wrong:
        return
    around = shapely.LinearRing(piece.boundary)
    inside = shapely.Polygon(piece.boundary).buffer(_BEYOND_MM)
    if piece.sew and not inside.covers(shapely.Polygon(piece.sew)):
        yield Fault(f"{where}, sew line", "must lie inside the boundary", "", "redraw it")
    for foot, _ in piece.notches:
        away = around.distance(shapely.Point(foot))
        if away > _OFF_MM:
            place = _beside(f"{where}, notch", foot)
            value = Sentence("it is {} off", (Length(float(f"{away:.3g}")),))
            yield Fault(place, "must lie on the boundary", value, "move it to the boundary")
    for at in piece.drills:
        if not inside.covers(shapely.Point(at)):
            place = _beside(f"{where}, drill mark", at)
            yield Fault(place, "must lie inside the boundary", "", "move it, or take it out")
    for kind, runs in (("internal line", piece.internal), ("inner cut", piece.inner_cuts)):
        for run in runs:
            if not inside.covers(shapely.LineString(run)):
                place = _beside(f"{where}, {kind}", run[0])
                yield Fault(place, "must lie inside the boundary", "", "move it, or take it out")


def _at(place: Point) -> Sentence:
    return Sentence("at {}", (point(place),))


def _beside(what: str, place: Point) -> Sentence:
    """A thing and where it is."""
    return Sentence("{} {}", (what, _at(place)))


def _shape(piece: "ReadPiece") -> Shape:
    boundary = clean(piece.boundary)
    grain = piece.grain
    return Shape(
        name=_named(piece.name),
        drawn=boundary,
        per_item=piece.quantity,
        sew=clean(piece.sew) if piece.sew else None,
        grain_deg=_direction(*grain) if grain and grain[0] != grain[1] else None,
        piece=True,
        notches=tuple(_inward(boundary, foot, tip) for foot, tip in piece.notches),
        drills=piece.drills,
        lines=piece.internal,
        inner_cuts=piece.inner_cuts,
    )


def _named(name: str) -> str:
    """A name that can be printed on a panel, where a slash separates it from the item's name."""
    plain = "".join(c if c.isprintable() else " " for c in name.replace("/", "-"))
    return " ".join(plain.split())[:_LONGEST_NAME]


def _direction(tail: Point, head: Point) -> float:
    return math.degrees(math.atan2(head[1] - tail[1], head[0] - tail[0]))


def _inward(ring: Sequence[Point], foot: Point, tip: Point) -> tuple[Point, Point]:
    """The notch with its tip inside; if the drawn tip is not, a notch square to the boundary."""
    import shapely  # noqa: PLC0415 - products are listed without loading it

    depth = math.dist(foot, tip)
    middle = shapely.Point((foot[0] + tip[0]) / 2, (foot[1] + tip[1]) / 2)
    if depth > _NO_DEPTH_MM and shapely.Polygon(ring).contains(middle):
        return foot, tip
    sides = zip(ring, (*ring[1:], ring[0]), strict=True)
    at = shapely.Point(foot)
    (x0, y0), (x1, y1) = min(sides, key=lambda side: shapely.LineString(side).distance(at))
    depth, length = depth or _NOTCH_MM, math.dist((x0, y0), (x1, y1))
    return foot, (foot[0] - depth * (y1 - y0) / length, foot[1] + depth * (x1 - x0) / length)


#: Below this depth a notch has no usable depth or direction (mm).
_NO_DEPTH_MM: Final = 0.01

#: Depth of a notch drawn without one: about half of a narrow allowance (common practice).
_NOTCH_MM: Final = 4.0


def _turned(points: Sequence[Point], degrees: float) -> tuple[Point, ...]:
    """Points turned anticlockwise about the origin; quarter turns are exact."""
    quarters = degrees / 90
    if abs(quarters - round(quarters)) < 1e-9:
        cos, sin = ((1, 0), (0, 1), (-1, 0), (0, -1))[round(quarters) % 4]
        return tuple((x * cos - y * sin, x * sin + y * cos) for x, y in points)
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return tuple((x * c - y * s, x * s + y * c) for x, y in points)
