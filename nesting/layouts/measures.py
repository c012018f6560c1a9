"""Ratios that describe a lay: marker efficiency and the gap to the bound."""

from itertools import pairwise

import shapely

from nesting.cloth.cloth import Cloth
from nesting.cloth.stock import ClothPiece
from nesting.layouts.lay import ClothLay


def efficiency(*lays: ClothLay) -> float:
    """Share of the used cloth that becomes panels: the trade's marker efficiency.

    Panel area divided by used length × usable width, over all pieces of a
    cloth. Selvedges, end allowances and rounding up to the buying step are left
    out, and so are holes, flaws that count for every panel, and what lies
    outside of an outline or of a measured width.
    """
    panels2 = sum(p.panel.cut.area2 for lay in lays for p in lay.placed)
    return panels2 / sum(map(usable_area2, lays))


def gap_to_bound(*lays: ClothLay) -> float:
    """How much longer the lays are than the proven bound, as a share of the bound."""
    return sum(lay.used_length for lay in lays) / sum(lay.lower_bound for lay in lays) - 1


def usable_area2(lay: ClothLay) -> float:
    """Twice the area of the cloth in use that panels may lie on, in square grid units.

    It is exact where panels may lie anywhere between the selvedges.
    """
    return area2_for_panels(lay.cloth, lay.on, lay.used_length)


def area2_for_panels(cloth: Cloth, piece: ClothPiece, length: int) -> float:
    """Twice the area of a piece that panels may lie on, over a length from its end allowance on.

    ``cloth`` is as wide as the piece (`Cloth.on`); lengths are grid units.
    """
    if piece.is_plain:
        return 2 * length * cloth.usable_width
    start, end = cloth.end_allowance, cloth.end_allowance + length
    usable = shapely.box(start, piece.selvedge, end, piece.width - piece.selvedge)
    if piece.outline:
        usable = usable.intersection(shapely.Polygon(piece.outline.points))
    flaws = (flaw.outline for flaw in piece.flaws if not flaw.minor)
    taken = [shapely.Polygon(one.points) for one in (*piece.holes, *flaws)]
    gone = shapely.union_all([*taken, *_too_narrow(piece, end)])
    return 2 * float(usable.difference(gone).area)


def _too_narrow(piece: ClothPiece, end: int) -> list[shapely.Polygon]:
    """Boxes of what measured widths leave out: between two places the narrower counts."""
    if not piece.widths:
        return []
    places = [piece.widths[0], *piece.widths, piece.widths[-1]]
    ends = [min(0, places[0][0]), *(x for x, _ in piece.widths), max(end, places[-1][0])]
    lows = [min(one[1], other[1]) for one, other in pairwise(places)]
    return [
        shapely.box(x0, min(low, piece.width) - piece.selvedge, x1, piece.width)
        for (x0, x1), low in zip(pairwise(ends), lows, strict=True)
        if x0 < x1
    ]
