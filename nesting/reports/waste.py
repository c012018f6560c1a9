"""Where the cloth goes that is bought or used up: figures only.

Areas are twice the area in square grid units (whole numbers, as in
`nesting.geometry.outline`), so the uses add up exactly to what is bought, or to the
box around a piece that is there already. Where panels may lie anywhere between
the selvedges all areas are exact, except that the division of the cloth between
panels into gaps and the rest is rounded.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

import shapely

from nesting.layouts.cloth_figure import cloth_figure
from nesting.layouts.lay import ClothLay
from nesting.layouts.measures import usable_area2

#: Chords in a quarter circle where the band of a gap turns around a corner.
_CHORDS = 16


class Use(StrEnum):
    """What a part of the cloth is used for."""

    PANELS = "panels"
    BETWEEN = "fall-out"
    GAPS = "spacing"
    FLAWS = "flaws"
    SELVEDGES = "selvedges"
    ENDS = "end allowance"
    BUYING_STEP = "rounding to sale length"
    LEFT = "left on the piece"
    OUTSIDE = "outside of the edge"


@dataclass(frozen=True)
class Account:
    """The cloth of one lay by its uses, and the ratios that follow.

    ``efficiency`` is what the reports call fabric utilisation: panels divided by the usable
    cloth in use (`nesting.layouts.measures.efficiency`). ``utilisation`` is panels
    divided by all cloth of the lay. ``possible_saving`` is the greatest share of the used
    length that could still be saved, according to the proven bound. Nothing is
    bought of a piece that is there already, so its ``least_buy_length`` is 0.
    """

    areas2: dict[Use, int]
    efficiency: Fraction
    utilisation: Fraction
    possible_saving: Fraction
    least_buy_length: int

    @property
    def whole2(self) -> int:
        """Twice the area of all bought cloth, or of the box around the piece."""
        return sum(self.areas2.values())


def account(lay: ClothLay) -> Account:
    """Account for the cloth of a lay, as it is bought or as the piece is."""
    used, bought = lay.used_length, lay.on.length is None
    panels2 = sum(placed.panel.cut.area2 for placed in lay.placed)
    areas2 = _areas2(lay, panels2)
    cloth2 = sum(areas2.values()) - areas2.get(Use.OUTSIDE, 0)
    return Account(
        areas2=areas2,
        efficiency=Fraction(panels2) / Fraction(usable_area2(lay)),
        utilisation=Fraction(panels2, cloth2),
        possible_saving=1 - Fraction(min(lay.lower_bound, used), used),
        least_buy_length=lay.cloth.buy_length(lay.lower_bound) if bought else 0,
    )


def _areas2(lay: ClothLay, panels2: int) -> dict[Use, int]:
    """Twice the area of every use that the cloth of a lay can have."""
    cloth, piece, ground = lay.cloth, lay.on, _Ground(lay)
    end, length = cloth.end_allowance, lay.cloth_length
    reach, far = end + lay.used_length, length - end
    gaps2, flaws2 = _gaps2(lay, ground), ground.flaws2(end, reach)
    areas2 = {
        Use.PANELS: panels2,
        Use.BETWEEN: ground.usable2(end, reach) - panels2 - gaps2 - flaws2,
        Use.GAPS: gaps2,
    }
    if piece.flaws:
        areas2[Use.FLAWS] = flaws2
    if piece.selvedge or not piece.outline:
        areas2[Use.SELVEDGES] = ground.all2 - ground.usable2(0, length)
    if not piece.outline:
        areas2[Use.ENDS] = ground.usable2(0, end) + ground.usable2(far, length)
    areas2[Use.BUYING_STEP if piece.length is None else Use.LEFT] = ground.usable2(reach, far)
    if piece.outline or piece.widths:
        areas2[Use.OUTSIDE] = 2 * length * cloth.width - ground.all2
    # What rounding takes from one part of a figure it gives to another.
    areas2[Use.BETWEEN] += 2 * length * cloth.width - sum(areas2.values())
    return areas2


class _Ground:
    """The piece of cloth under a lay, in areas; twice the area in square grid units."""

    def __init__(self, lay: ClothLay) -> None:
        self._cloth = lay.cloth
        self._plain = lay.on.is_plain
        self._figure = cloth_figure(lay)
        self.flaws = shapely.union_all(
            [shapely.Polygon(flaw.outline.points) for flaw in self._figure.flaws]
        )
        if not self.flaws.is_empty:
            panels = [shapely.Polygon(placed.outline.points) for placed in lay.placed]
            self.flaws = self.flaws.difference(shapely.union_all(panels))

    @property
    def all2(self) -> int:
        """All cloth that there is."""
        if self._plain:
            return 2 * self._figure.length * self._figure.width
        return round(2 * float(self._figure.ground.area))

    def usable2(self, start: int, end: int) -> int:
        """What panels may lie on from one x to another, flaws included."""
        if self._plain:
            return 2 * (end - start) * self._cloth.usable_width
        return round(2 * float(self.usable(start, end).area))

    def usable(self, start: int, end: int) -> shapely.Geometry:
        """The same as a figure."""
        return self._figure.usable.intersection(shapely.box(start, 0, end, self._cloth.width))

    def flaws2(self, start: int, end: int) -> int:
        """Flaws that are usable cloth otherwise, but for those that lie in panels."""
        if self.flaws.is_empty:
            return 0
        return round(2 * float(self.flaws.intersection(self.usable(start, end)).area))


def _gaps2(lay: ClothLay, ground: _Ground) -> int:
    """Twice the area inside the lay that is not panels but within half a gap of one.

    The grown outlines do not overlap, since panels are a whole gap apart.
    """
    gap, start = lay.cloth.gap, lay.cloth.end_allowance
    if not gap:
        return 0
    inside = ground.usable(start, start + lay.used_length).difference(ground.flaws)
    panels = shapely.polygons([shapely.linearrings(p.outline.points) for p in lay.placed])
    grown = shapely.intersection(shapely.buffer(panels, gap / 2, quad_segs=_CHORDS), inside)
    within = shapely.intersection(panels, inside)
    return round(2 * float(shapely.area(grown).sum() - shapely.area(within).sum()))


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
