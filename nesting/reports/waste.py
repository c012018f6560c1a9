"""Where the bought cloth goes: figures only.

Areas are twice the area in square grid units (whole numbers, as in
`nesting.geometry.outline`), so the uses add up exactly to what is bought. All
areas are exact, except that the division of the cloth between panels into gaps
and the rest is rounded.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

import shapely

from nesting.layouts.lay import ClothLay

#: Chords in a quarter circle where the band of a gap turns around a corner.
_CHORDS = 16


class Use(StrEnum):
    """What a part of the cloth is used for."""

    PANELS = "panels"
    BETWEEN = "fall-out"
    GAPS = "spacing"
    SELVEDGES = "selvedges"
    ENDS = "end allowance"
    BUYING_STEP = "rounding to sale length"


@dataclass(frozen=True)
class Account:
    """The bought cloth of one lay by its uses, and the ratios that follow.

    ``efficiency`` is what the reports call fabric utilisation: panels divided by used
    length × usable width. ``utilisation`` is panels divided by all bought cloth.
    ``possible_saving`` is the greatest share of the used length that could still
    be saved, according to the proven bound.
    """

    areas2: dict[Use, int]
    efficiency: Fraction
    utilisation: Fraction
    possible_saving: Fraction
    least_buy_length: int

    @property
    def bought2(self) -> int:
        """Twice the area of all bought cloth."""
        return sum(self.areas2.values())


def account(lay: ClothLay) -> Account:
    """Account for the bought cloth of a lay."""
    cloth, used = lay.cloth, lay.used_length
    usable2 = 2 * cloth.usable_width
    panels2 = sum(placed.panel.cut.area2 for placed in lay.placed)
    gaps2 = _gaps2(lay)
    rounding = lay.buy_length - used - 2 * cloth.end_allowance
    areas2 = {
        Use.PANELS: panels2,
        Use.BETWEEN: used * usable2 - panels2 - gaps2,
        Use.GAPS: gaps2,
        Use.SELVEDGES: lay.buy_length * 2 * (cloth.width - cloth.usable_width),
        Use.ENDS: 2 * cloth.end_allowance * usable2,
        Use.BUYING_STEP: rounding * usable2,
    }
    return Account(
        areas2=areas2,
        efficiency=Fraction(panels2, used * usable2),
        utilisation=Fraction(panels2, 2 * lay.buy_length * cloth.width),
        possible_saving=1 - Fraction(min(lay.lower_bound, used), used),
        least_buy_length=cloth.buy_length(lay.lower_bound),
    )


def _gaps2(lay: ClothLay) -> int:
    """Twice the area inside the lay that is not panels but within half a gap of one.

    The grown outlines do not overlap, since panels are a whole gap apart.
    """
    gap, low = lay.cloth.gap, lay.cloth.selvedge
    if not gap:
        return 0
    start = min(p.outline.bounds[0] for p in lay.placed)
    inside = shapely.box(start, low, start + lay.used_length, low + lay.cloth.usable_width)
    panels = shapely.polygons([shapely.linearrings(p.outline.points) for p in lay.placed])
    grown = shapely.intersection(shapely.buffer(panels, gap / 2, quad_segs=_CHORDS), inside)
    return round(2 * float(shapely.area(grown).sum() - shapely.area(panels).sum()))


def apportion(whole: int, parts: Sequence[int]) -> tuple[int, ...]:
    """Divide ``whole`` in proportion to ``parts`` into whole numbers that add up to it.

    Each share is rounded down, and the rest goes to the largest remainders (the
    method of largest remainders, as in the apportionment of seats).
    """
    total = sum(parts)
    shares = [whole * part // total for part in parts]
    remainders = [whole * part % total for part in parts]
    by_remainder = sorted(range(len(parts)), key=lambda i: (-remainders[i], i))
    for i in by_remainder[: whole - sum(shares)]:
        shares[i] += 1
    return tuple(shares)
