"""Cut panels as pattern pieces by ASTM D6673."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import Final

import shapely

from nesting.drawings.ascii_names import ascii_names, ascii_notes, ascii_text
from nesting.drawings.pieces import writer as piece_dxf
from nesting.drawings.pieces.writer import Piece
from nesting.exporters.formats import Export
from nesting.exporters.templates.folding import beyond_fold, foldable
from nesting.geometry.symmetry import Axis
from nesting.panels import allowances
from nesting.panels.panel import GrainRule, Panel
from nesting.units import points_to_mm, to_mm

Point = tuple[float, float]

#: How far a mark on the fold may lie from it, in millimetres: the middle of a panel is
#: half-way between two places of the grid as often as not.
_ON_FOLD_MM: Final = to_mm(1)


def pieces_dxf(
    panels: Sequence[Panel],
    order: str,
    units: str,
    *,
    created: date,
    author: str,
    halves: bool = False,
    remarks: Sequence[str] = (),
) -> Export:
    """``pieces.dxf``: every panel of an order as one piece, and a note for each name respelled.

    With ``halves``, panels that are symmetric along their grain are written
    as halves with a mirror line. ``remarks`` are comments at the top of the file.
    """
    items = ascii_names(panel.item for panel in panels)
    names = ascii_names(panel.name for panel in panels)
    cloths = ascii_names(panel.cloth for panel in panels)
    pieces: list[Piece] = []
    for panel in panels:
        name = _unused_name(f"{items[panel.item]} / {names[panel.name]}", pieces)
        piece = _piece(panel, name, cloths[panel.cloth], units)
        pieces.append(_half(piece) if halves and foldable(panel, Axis.ALONG) else piece)
    style = ascii_names([order])
    data = piece_dxf.write(style[order], pieces, created, ascii_text(author), remarks)
    notes = [note for spelled in (style, items, names, cloths) for note in ascii_notes(spelled)]
    return Export({"pieces.dxf": data}, tuple(notes))


def _piece(panel: Panel, name: str, material: str, units: str) -> Piece:
    tail, head = points_to_mm(panel.grain)
    allowance = allowances.allowance_text(panel, units)
    grain = "any grain" if panel.grain_rule is GrainRule.ANY else "grain along the line"
    return Piece(
        name=name,
        quantity=panel.copies,
        material=material,
        boundary=points_to_mm(panel.cut.points),
        grain=(tail, head),
        sew=(points_to_mm((*panel.stitch.points, panel.stitch.points[0])),) if panel.stitch else (),
        notches=tuple((foot, tip) for foot, tip in map(points_to_mm, _ends(panel))),
        drills=points_to_mm(drill.at for drill in panel.drills),
        internal=tuple(points_to_mm(run) for run in panel.lines),
        inner_cuts=tuple(points_to_mm(run) for run in panel.inner_cuts),
        annotation=(
            f"cut {panel.copies}",
            f"allowance included: {allowance}" if allowance else "no seam allowance",
            grain,
        ),
    )


def _ends(panel: Panel) -> Iterable[tuple[tuple[int, int], tuple[int, int]]]:
    return ((notch.foot, notch.tip) for notch in panel.notches)


def _unused_name(name: str, pieces: Sequence[Piece]) -> str:
    """The name, with a number added if another piece already has it."""
    names_in_use = {piece.name for piece in pieces}
    numbered = (f"{name} {number}" for number in range(2, len(names_in_use) + 3))
    return next(each for each in (name, *numbered) if each not in names_in_use)


def _half(piece: Piece) -> Piece:
    """The upper half of a piece that mirrors itself along its grain, where it is in one part."""
    xs, ys = zip(*piece.boundary, strict=True)
    middle = (min(ys) + max(ys)) / 2
    rise = (max(ys) - middle) / 4
    (tail_x, tail_y), (head_x, head_y) = piece.grain
    upper = shapely.box(min(xs), middle, max(xs), max(ys))
    part = shapely.Polygon(piece.boundary).intersection(upper)
    if not isinstance(part, shapely.Polygon):
        return piece
    boundary = _ring(part)
    on_fold = [x for x, y in boundary if y == middle]
    return replace(
        piece,
        boundary=boundary,
        grain=((tail_x, tail_y + rise), (head_x, head_y + rise)),
        sew=_beyond(piece.sew, middle),
        notches=tuple(pair for pair in piece.notches if pair[0][1] >= middle - _ON_FOLD_MM),
        drills=tuple(at for at in piece.drills if at[1] >= middle - _ON_FOLD_MM),
        internal=_beyond(piece.internal, middle),
        inner_cuts=_beyond(piece.inner_cuts, middle),
        mirror=((min(on_fold), middle), (max(on_fold), middle)),
        annotation=(*piece.annotation, "half: mirror it in the mirror line"),
    )


def _ring(part: shapely.Polygon) -> tuple[Point, ...]:
    """The outline of a polygon, anticlockwise, first point not repeated."""
    ring = shapely.geometry.polygon.orient(part).exterior.coords[:-1]
    return tuple((float(x), float(y)) for x, y in ring)


def _beyond(lines: Iterable[Sequence[Point]], middle: float) -> tuple[tuple[Point, ...], ...]:
    """The parts of lines above the middle."""
    return tuple(run for line in lines for run in beyond_fold(line, 1, middle))
