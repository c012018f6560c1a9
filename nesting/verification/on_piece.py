"""Whether panels lie on sound cloth of their piece, and items on cloth of one shade."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Final

import shapely

from nesting.tolerances import DEPTH_MM, FLOAT_MM
from nesting.verification.claims import Claim, Key, Laid, Part, at, is_simple, where
from nesting.verification.cloth_piece import FAR, Piece
from nesting.verification.findings import Finding, Rule, finding
from nesting.verification.separation import overlaps_with

#: How many panels on unsound cloth are listed one by one.
LISTED: Final = 100

#: Width (mm) of the ring around an edge that stands for everything outside it.
_AROUND: Final = 1000.0


@dataclass(frozen=True)
class _Body:
    """Cloth, or the lack of it, where no panel may lie; ``minor`` where hidden ones may."""

    rule: Rule
    name: str
    figure: shapely.Geometry
    minor: bool = False


def check_bodies(part: Part) -> Iterator[Finding]:
    """Findings about panels over an edge, a hole, a flaw or the end of a measured width."""
    allowed = DEPTH_MM + FLOAT_MM + part.within
    laid = [one for one in part.laid if is_simple(one.polygon)]
    bodies = [*_bodies(part, laid)]
    if not bodies:
        return
    deep = (
        pair
        for pair in overlaps_with(
            [one.polygon for one in laid], [body.figure for body in bodies], allowed
        )
        if not (bodies[pair.second].minor and _is_hidden(part, laid[pair.first]))
    )
    for pair in islice(deep, LISTED):
        body = bodies[pair.second]
        detail = f"{pair.depth:.2f} mm into {body.name}, {pair.area:.2f} mm² {at(pair.at)}"
        yield finding(body.rule, where(part, laid[pair.first]), detail)
    if next(deep, None):
        yield finding(Rule.FLAW, part.cloth, "more panels lie on unsound cloth than are listed")


def check_splices(part: Part) -> Iterator[Finding]:
    """Findings about panels that lie on both sides of a splice."""
    allowed = DEPTH_MM + FLOAT_MM + part.within
    for one in part.laid:
        least, greatest = one.ring[:, 0].min(), one.ring[:, 0].max()
        for splice in part.piece.splices:
            across = min(splice - least, greatest - splice)
            if across > allowed:
                detail = f"{across:.2f} mm across the splice at x = {splice:.2f} mm"
                yield finding(Rule.SPLICE, where(part, one), detail)


def check_pieces_used(claim: Claim) -> Iterator[Finding]:
    """Findings about pieces of cloth that nothing lies on."""
    for part in claim.parts:
        if claim.pieces and not part.laid:
            yield finding(Rule.PIECE_USED, part.cloth, f'nothing lies on "{part.piece.name}"')


def check_shades(claim: Claim) -> Iterator[Finding]:
    """Findings about panels that lie on another shade than most of their copy of an item."""
    shades = {part.piece.name: part.piece.shade for part in claim.parts}
    bound = [one for one in claim.laid if one.piece in shades and _keeps_shade(claim, one)]
    counts = Counter((one.key[0], one.copy, shades[one.piece]) for one in bound)
    for one in bound:
        own = shades[one.piece]
        most = _commonest(shades, counts, one.key, one.copy)
        if own != most:
            detail = f"{_shade(own)} on {one.piece}, others of the same copy {_shade(most)}"
            yield finding(Rule.ONE_SHADE, where(claim, one), detail)


def _bodies(part: Part, laid: Sequence[Laid]) -> Iterator[_Body]:
    piece = part.piece
    if piece.outline is not None:
        yield _Body(Rule.EDGE, "the outside of the piece", _outside(piece, laid))
    if piece.narrowed is not None:
        yield _Body(Rule.NARROWED, "what is narrower than the measured width", piece.narrowed)
    for hole in piece.holes:
        yield _Body(Rule.HOLE, f"the hole {_corner(hole)}", hole)
    for spot in piece.spots:
        name = f"the {'minor ' if spot.minor else ''}flaw{spot.what and f' ({spot.what})'}"
        yield _Body(Rule.FLAW, f"{name} {_corner(spot.polygon)}", spot.polygon, spot.minor)


def _outside(piece: Piece, laid: Sequence[Laid]) -> shapely.Geometry:
    """Everything outside the edge of a piece, less its selvedges, as far as panels lie."""
    figures = [piece.outline, *(one.polygon for one in laid)]
    around = shapely.box(*shapely.total_bounds(figures)).buffer(_AROUND, join_style="mitre")
    strip = shapely.box(-FAR, piece.selvedge, FAR, piece.width - piece.selvedge)
    return around.difference(shapely.intersection(piece.outline, strip))


def _corner(polygon: shapely.Polygon) -> str:
    return at(polygon.bounds[:2])


def _is_hidden(part: Part, one: Laid) -> bool:
    wanted = part.wanted.get(one.key)
    return wanted is not None and wanted.hidden


def _keeps_shade(claim: Claim, one: Laid) -> bool:
    wanted = claim.wanted.get(one.key)
    return wanted is not None and wanted.one_shade


def _commonest(
    shades: dict[str, str], counts: Counter[tuple[str, int, str]], key: Key, copy: int
) -> str:
    """The shade of most panels of a copy of an item; of equally many, that of the first piece."""
    return max(dict.fromkeys(shades.values()), key=lambda shade: counts[key[0], copy, shade])


def _shade(shade: str) -> str:
    return f'shade "{shade}"' if shade else "no shade"
