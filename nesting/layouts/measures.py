"""Ratios that describe a lay: marker efficiency and the gap to the bound."""

from nesting.layouts.lay import ClothLay


def efficiency(lay: ClothLay) -> float:
    """Share of the used cloth that becomes panels: the trade's marker efficiency.

    Panel area divided by used length × usable width. Selvedges, end
    allowances and rounding up to the buying step are left out.
    """
    used_area2 = 2 * lay.used_length * lay.cloth.usable_width
    return sum(p.panel.cut.area2 for p in lay.placed) / used_area2


def gap_to_bound(lay: ClothLay) -> float:
    """How much longer the lay is than the proven bound, as a share of the bound."""
    return lay.used_length / lay.lower_bound - 1
