"""Ratios that describe a lay: marker efficiency and the gap to the bound."""

from itertools import pairwise

import shapely

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
    if lay.on.is_plain:
        return 2 * lay.used_length * lay.cloth.usable_width
    start, piece = lay.cloth.end_allowance, lay.on
    end, top = start + lay.used_length, piece.width - piece.selvedge
    cloth = shapely.box(start, piece.selvedge, end, top)
    if piece.outline:
        cloth = cloth.intersection(shapely.Polygon(piece.outline.points))
    flaws = (flaw.outline for flaw in piece.flaws if not flaw.minor)
    taken = [shapely.Polygon(one.points) for one in (*piece.holes, *flaws)]
    return 2 * float(cloth.difference(shapely.union_all([*taken, *_too_narrow(lay)])).area)


def _too_narrow(lay: ClothLay) -> list[shapely.Polygon]:
    """Boxes of what measured widths leave out: between two places the narrower counts."""
    piece = lay.on
    if not piece.widths:
        return []
    places = [piece.widths[0], *piece.widths, piece.widths[-1]]
    far = lay.cloth.end_allowance + lay.used_length
    ends = [min(0, places[0][0]), *(x for x, _ in piece.widths), max(far, places[-1][0])]
    lows = [min(one[1], other[1]) for one, other in pairwise(places)]
    return [
        shapely.box(start, min(low, piece.width) - piece.selvedge, end, piece.width)
        for (start, end), low in zip(pairwise(ends), lows, strict=True)
        if start < end
    ]
