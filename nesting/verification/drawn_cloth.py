"""Whether a lay drawing shows the piece of cloth that the panels lie on, and no other.

The edge and the selvedge lines must be there, and so must every hole, flaw,
splice and measured width, each in its place. Where a file does not tell lines
of the cloth from flaws, they are compared together.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import dist
from typing import Final

import numpy as np
import shapely

from nesting.drawings.drawing import Drawing, Path, Pen
from nesting.tolerances import DEPTH_MM, FLOAT_MM
from nesting.verification.claims import Part, Ring, at
from nesting.verification.costs import buy_lengths
from nesting.verification.curves import as_curves, match, match_joined, middles, run_of
from nesting.verification.findings import Finding, Rule, finding

#: The kinds of line that show cloth.
_OF_CLOTH: Final = frozenset({Pen.SELVEDGE, Pen.FLAW})


@dataclass(frozen=True)
class _Line:
    """A line that must be drawn of the cloth, with what it is called."""

    name: str
    pen: Pen
    run: Ring


def check_cloth(part: Part, drawing: Drawing) -> Iterator[Finding]:
    """Findings about lines of the cloth that are missing, out of place or not wanted."""
    length = _length(part, drawing)
    basic: list[Finding] = []
    if Pen.SELVEDGE not in drawing.left_out:
        paths = [path for path in drawing.paths if path.pen in _told_as_cloth(drawing)]
        basic += _check_edge(part, [path for path in paths if path.closed], length)
        basic += _check_selvedges(part, paths)
    yield from basic
    wanted = [*_wanted(part, length)]
    for pens in dict.fromkeys(drawing.told_as(pen) for pen in (Pen.SELVEDGE, Pen.FLAW)):
        if not drawing.left_out & {*pens}:
            lines = [line for line in wanted if line.pen in pens]
            # An edge that is drawn in a wrong place is not reported as one too many as well.
            known = None if basic and Pen.SELVEDGE in pens else [*_basic(part, length, pens)]
            yield from _check_kind(part, drawing, pens, lines, known)


def _told_as_cloth(drawing: Drawing) -> set[Pen]:
    """The selvedge, with flaws where a file does not tell them apart."""
    return {*drawing.told_as(Pen.SELVEDGE)} & _OF_CLOTH


def _length(part: Part, drawing: Drawing) -> float:
    """Length of the piece; of what is bought, the one of several right ones that is drawn."""
    if part.piece.length is not None:
        return part.piece.length
    lengths, off = buy_lengths(part), DEPTH_MM + part.within
    paths = [path for path in drawing.paths if path.closed and path.pen in _OF_CLOTH]
    drawn = (n for n in lengths if any(_frames(p, n, part.piece.width, off) for p in paths))
    return next(drawn, lengths[0])


def _check_edge(part: Part, paths: Sequence[Path], length: float) -> Iterator[Finding]:
    """Findings about the edge of the cloth: that of the piece, or of the roll as bought."""
    piece, off = part.piece, DEPTH_MM + part.within
    if piece.outline is not None:
        if not any(_is_edge(path, piece.outline, off) for path in paths):
            yield finding(Rule.CLOTH_EDGE, part.cloth, "the outline of the piece is not drawn")
    elif not any(_frames(path, length, piece.width, off) for path in paths):
        detail = f"no closed line from (0, 0) to ({length:.2f}, {piece.width:.2f}) mm"
        yield finding(Rule.CLOTH_EDGE, part.cloth, detail)


def _is_edge(path: Path, outline: shapely.Polygon, off: float) -> bool:
    drawn = shapely.LinearRing(path.points) if len(path.points) > 2 else shapely.Point()
    return bool(shapely.hausdorff_distance(drawn, outline.exterior) <= off)


def _frames(path: Path, length: float, width: float, off: float) -> bool:
    corners = {(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)}
    return len(path.points) == len(corners) and all(
        any(dist(corner, point) <= off for point in path.points) for corner in corners
    )


def _check_selvedges(part: Part, paths: Sequence[Path]) -> Iterator[Finding]:
    rules, off = part.rules, DEPTH_MM + part.within
    for y in (rules.selvedge, rules.width - rules.selvedge):
        drawn = any(not path.closed and _runs_along(path, y, part.span, off) for path in paths)
        if not drawn and rules.selvedge > 0:
            yield finding(Rule.SELVEDGE_LINE, part.cloth, f"no line at y = {y:.2f} mm")


def _runs_along(path: Path, y: float, span: tuple[float, float], off: float) -> bool:
    xs = [point[0] for point in path.points]
    level = all(abs(point[1] - y) <= off for point in path.points)
    return level and min(xs) <= span[0] + off and max(xs) >= span[1] - off


def _check_kind(
    part: Part,
    drawing: Drawing,
    pens: tuple[Pen, ...],
    lines: Sequence[_Line],
    known: Sequence[Ring] | None,
) -> Iterator[Finding]:
    """Findings about holes, measured widths, flaws and splices, and about lines too many.

    ``known`` are lines that others check; None if those are not to be told.
    """
    allowed = DEPTH_MM + FLOAT_MM + part.within
    paths = [path for path in drawing.paths if path.pen in pens and path.points]
    own, drawn = as_curves([line.run for line in lines]), as_curves([*map(run_of, paths)])
    pairs = (*match(own, drawn, allowed), *match_joined(own, drawn, allowed))
    found, used = {one for one, _, _ in pairs}, {other for _, other, _ in pairs}
    for index, line in enumerate(lines):
        if index not in found:
            detail = f"the {line.name} is not drawn"
            yield finding(Rule.CLOTH_DRAWN, part.cloth, detail)
    if known is None:
        return
    rest = np.delete(drawn, [*used])
    rest = np.delete(rest, [other for _, other, _ in match(as_curves(known), rest, allowed)])
    for place in middles(rest):
        yield finding(Rule.CLOTH_LINE, part.cloth, f"one line too many {at(place)}")


def _wanted(part: Part, length: float) -> Iterator[_Line]:
    """Every line that a piece has besides its edge and its selvedge lines."""
    piece = part.piece
    for hole in piece.holes:
        yield _Line(f"hole {_corner(hole)}", Pen.SELVEDGE, _ring(hole))
    if piece.widths:
        for below in dict.fromkeys((0.0, piece.selvedge)):
            steps = [
                (min(max(x, 0.0), length), min(width, piece.width) - below)
                for start, end, width in piece.sections()
                for x in (start, end)
                if end > 0 and start < length
            ]
            name = "line to which panels may reach" if below else "edge as measured"
            yield _Line(name, Pen.SELVEDGE, np.array(steps))
    sheet = shapely.box(0, 0, length, piece.width)
    for spot in piece.spots:
        for seen in shapely.get_parts(spot.polygon.intersection(sheet)):
            if isinstance(seen, shapely.Polygon) and seen.area > 0:
                name = f"flaw{spot.what and f' ({spot.what})'} {_corner(seen)}"
                yield _Line(name, Pen.FLAW, _ring(seen))
    for x in piece.splices:
        yield _Line(f"splice at x = {x:.2f} mm", Pen.FLAW, np.array([(x, 0.0), (x, piece.width)]))


def _basic(part: Part, length: float, pens: tuple[Pen, ...]) -> Iterator[Ring]:
    """The edge and the selvedge lines, which have rules of their own."""
    if Pen.SELVEDGE not in pens:
        return
    piece = part.piece
    box = shapely.box(0, 0, length, piece.width)
    yield _ring(piece.outline if piece.outline is not None else box)
    for y in (piece.selvedge, piece.width - piece.selvedge):
        yield np.array([(0.0, y), (length, y)])


def _ring(polygon: shapely.Polygon) -> Ring:
    points: Ring = shapely.get_coordinates(polygon.exterior)
    return points


def _corner(polygon: shapely.Polygon) -> str:
    return at(polygon.bounds[:2])
