"""Reads pattern pieces by ASTM D6673, ours or those of others.

A block with a text that begins ``Piece Name:`` is a piece.
`nesting.drawings.pieces.writer` lists what is on which layer, and what is not
known of the standard. A half with a mirror line is unfolded. Turn points, curve
points, grade references, stripe and plaid lines and annotation are passed over.
A notch may be a POINT on the boundary, with or without its depth as z and its
direction as angle, or a LINE with one end on the boundary.
"""

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import shapely
from ezdxf.document import Drawing as Document
from ezdxf.entities import Circle, DXFGraphic, Line, Text
from ezdxf.entities import Point as DxfPoint

from nesting.drawings.drawing_units import unit_mm
from nesting.drawings.dxf.shapes import layer_of, scale_of, sheet
from nesting.drawings.dxf.text import decode
from nesting.drawings.pieces.unfolding import Fold
from nesting.drawings.pieces.writer import (
    BOUNDARY,
    CUT_OUT,
    DRILL,
    GRAIN,
    INTERNAL,
    MIRROR,
    NOTCH,
    SEW,
)
from nesting.drawings.strokes import Point, Stroke, closed_rings, own_coordinates, straight_lines
from nesting.errors import Fault, OrderError

#: The units that the text ``Units:`` may name (from memory, like the layers).
_UNITS_MM: Final = {"METRIC": 1.0, "ENGLISH": 25.4}

#: Layers from this number on have notches of special kinds (from memory).
_SPECIAL_NOTCHES: Final = 80

#: Greatest quantity of a piece.
_MOST: Final = 1000

#: Layers of which a half piece has only one side of its mirror line.
_MIRRORED: Final = (SEW, INTERNAL, CUT_OUT)

_ONE: Final = "draw exactly one closed boundary for each piece"


@dataclass(frozen=True)
class ReadPiece:
    """One piece in millimetres; rings do not repeat their first point.

    ``material`` is what it is cut from, empty if the piece does not say.
    ``grain`` runs from tail to head; ``sew`` is the closed sew line; each is
    None if the piece has none. An inner cut that ends where it begins is a
    cut-out, and a straight one is a slit. A notch is a point on the boundary
    and one further in, or the same point twice if its depth is not stated.
    """

    name: str
    quantity: int
    material: str
    boundary: tuple[Point, ...]
    grain: tuple[Point, Point] | None
    sew: tuple[Point, ...] | None
    notches: tuple[tuple[Point, Point], ...]
    drills: tuple[Point, ...]
    internal: tuple[tuple[Point, ...], ...]
    inner_cuts: tuple[tuple[Point, ...], ...]


def holds_pieces(document: Document) -> bool:
    """Whether a document has pieces as the standard describes them."""
    return any(_texts(block).get("piece name") is not None for block in document.blocks)


def read(document: Document, unit: str | None, most: int = _MOST) -> tuple[ReadPiece, ...]:
    """All pieces of a document, in millimetres, with their names as in the document.

    No piece may be cut more often than ``most``.

    Raises
    ------
    OrderError
        With everything that is wrong with the pieces, or when no unit is stated.
    """
    stated = _texts(document.modelspace()).get("units", "").upper()
    if stated in _UNITS_MM:
        scale = unit_mm(_UNITS_MM[stated], f'text "Units: {stated}"', unit)
    else:
        scale = scale_of(document, unit)
    faults: list[Fault] = []
    pieces: list[ReadPiece] = []
    for block in document.blocks:
        texts = _texts(block)
        if "piece name" in texts:
            try:
                pieces.append(_piece(list(block), texts, scale, most))
            except OrderError as error:
                faults += error.faults
    if faults:
        raise OrderError(faults)
    return tuple(pieces)


def _texts(entities: Iterable[DXFGraphic]) -> dict[str, str]:
    """Texts of the form ``Key: value``, by key in lower case."""
    found: dict[str, str] = {}
    for entity in entities:
        if isinstance(entity, Text):
            key, colon, value = decode(entity.dxf.get("text", "")).partition(":")
            if colon:
                found.setdefault(key.strip().lower(), value.strip())
    return found


def _piece(
    entities: Sequence[DXFGraphic], texts: dict[str, str], scale: float, most: int
) -> ReadPiece:
    """One piece; raises an `OrderError` with everything that is wrong with it."""
    block = _Block(entities, scale, f'piece "{texts["piece name"][:40]}"')
    boundary, sew = _boundary(block), _sew_line(block)
    whole = _unfold(block, boundary) if block.fold and boundary else boundary
    quantity = _quantity(texts, block, most)
    inner_cuts, internal = block.inner_cuts(), tuple(map(_run, block.strokes(INTERNAL)))
    if block.faults:
        raise OrderError(block.faults)
    notches = tuple(_notches(block.by_layer, boundary, scale))
    drills = tuple((at, at) for at in _places(block.by_layer.get(DRILL, ()), scale))
    return ReadPiece(
        name=texts["piece name"],
        quantity=quantity,
        material=texts.get("material", ""),
        boundary=whole,
        grain=_grain(block.strokes(GRAIN)),
        sew=sew,
        notches=tuple(block.fold.both_marks(notches) if block.fold else notches),
        drills=tuple(at for at, _ in (block.fold.both_marks(drills) if block.fold else drills)),
        internal=internal,
        inner_cuts=inner_cuts,
    )


class _Block:
    """The entities of a piece by layer, and what is wrong with them."""

    def __init__(self, entities: Sequence[DXFGraphic], scale: float, where: str) -> None:
        self.scale, self.where, self.faults = scale, where, list[Fault]()
        self.by_layer: dict[str, list[DXFGraphic]] = {}
        for entity in entities:
            self.by_layer.setdefault(layer_of(entity), []).append(entity)
        self.fold: Fold | None = None
        folds = [Fold(run.points[0], run.points[-1]) for run in self.strokes(MIRROR)]
        self.fold = next((each for each in folds if each.start != each.end), None)

    def strokes(self, layer: str) -> list[Stroke]:
        """The lines on a layer; those inside a half piece include their mirror images."""
        found = sheet(
            (e for e in self.by_layer.get(layer, ()) if not isinstance(e, Text)), self.scale
        )
        self._add(found.faults)
        runs = list(found.strokes)
        return self.fold.both(runs) if self.fold and layer in _MIRRORED else runs

    def rings(self, layer: str) -> list[tuple[Point, ...]]:
        """The closed rings on a layer."""
        return self._rings(self.strokes(layer))

    def inner_cuts(self) -> tuple[tuple[Point, ...], ...]:
        """Slits, which are open and straight, and cut-outs, which repeat their first point."""
        slits, others = straight_lines(self.strokes(CUT_OUT))
        return (*slits, *((*ring, ring[0]) for ring in self._rings(others)))

    def _rings(self, strokes: Sequence[Stroke]) -> list[tuple[Point, ...]]:
        closed, open_ends = closed_rings(strokes, own_coordinates(self.scale, 1))
        self._add(open_ends)
        return [ring.points for ring in closed]

    def refuse(self, rule: str, value: object, remedy: str) -> None:
        """Note a fault of the piece."""
        self.faults.append(Fault(self.where, rule, str(value), remedy))

    def _add(self, faults: Sequence[Fault]) -> None:
        place = self.where
        self.faults += [Fault(f"{place}, {f.place}", f.rule, f.value, f.remedy) for f in faults]


def _boundary(block: _Block) -> tuple[Point, ...]:
    """The closed boundary of a piece; empty, with a fault, if there is not exactly one."""
    rings = block.rings(BOUNDARY)
    if len(rings) == 1:
        return rings[0]
    if not block.faults:
        block.refuse(f"must have one closed boundary on layer {BOUNDARY}", len(rings), _ONE)
    return ()


def _sew_line(block: _Block) -> tuple[Point, ...] | None:
    """The closed sew line of a piece, if it has one."""
    rings = block.rings(SEW)
    if len(rings) > 1:
        rule = f"may have one closed sew line on layer {SEW}"
        block.refuse(rule, len(rings), "join its lines, or remove all but one")
    return rings[0] if rings else None


def _unfold(block: _Block, half: tuple[Point, ...]) -> tuple[Point, ...]:
    """The whole boundary of a half piece; the half itself, with a fault, if it is no half."""
    whole = block.fold.whole(half) if block.fold else None
    if whole is not None:
        return whole
    rule = f"must be half of an outline that its line on layer {MIRROR} mirrors"
    remedy = "draw that line along the edge where the piece is folded, or draw the whole piece"
    block.refuse(rule, "", f"{remedy} without it")
    return half


def _run(one: Stroke) -> tuple[Point, ...]:
    return (*one.points, one.points[0]) if one.closed else one.points


def _quantity(texts: dict[str, str], block: _Block, most: int) -> int:
    """How many of a piece are cut; one if it does not say."""
    text = texts.get("quantity", "1")
    if re.fullmatch("[0-9]{1,9}", text) is None or not 1 <= int(text) <= most:
        rule = f"must have a whole number from 1 to {most} as Quantity"
        block.refuse(rule, f'"{text[:40]}"', "write how many are cut for one item")
        return 1
    return int(text)


def _grain(runs: Sequence[Stroke]) -> tuple[Point, Point] | None:
    """The longest grain line, from its tail to its head."""
    ends = [(run.points[0], run.points[-1]) for run in runs]
    return max(ends, key=lambda pair: math.dist(*pair), default=None)


def _notches(
    by_layer: dict[str, list[DXFGraphic]], boundary: Sequence[Point], scale: float
) -> Iterator[tuple[Point, Point]]:
    """Each notch, from its foot on the boundary inward."""
    around = shapely.LinearRing(boundary)
    for layer, entities in by_layer.items():
        if layer != NOTCH and not (layer.isdigit() and int(layer) >= _SPECIAL_NOTCHES):
            continue
        for entity in entities:
            if isinstance(entity, DxfPoint):
                at, angle = entity.dxf.location, math.radians(entity.dxf.get("angle", 0.0))
                x, y, depth = at.x * scale, at.y * scale, abs(at.z) * scale
                yield (x, y), (x + depth * math.cos(angle), y + depth * math.sin(angle))
            elif isinstance(entity, Line):
                ends = [(p.x * scale, p.y * scale) for p in (entity.dxf.start, entity.dxf.end)]
                near, far = sorted(ends, key=lambda end: around.distance(shapely.Point(end)))
                yield near, far


def _places(entities: Sequence[DXFGraphic], scale: float) -> Iterator[Point]:
    """Points, and the centres of circles."""
    for entity in entities:
        if isinstance(entity, DxfPoint):
            yield entity.dxf.location.x * scale, entity.dxf.location.y * scale
        elif isinstance(entity, Circle):
            centre = entity.ocs().to_wcs(entity.dxf.center)
            yield centre.x * scale, centre.y * scale
