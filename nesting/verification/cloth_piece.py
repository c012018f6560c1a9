"""The pieces of cloth that a file says panels lie on, in data structures of the checker's own.

Lengths are millimetres as floats, in the coordinates of the piece: x from its cut
end, y from its lower edge; of a piece with an outline, those of that outline.
"""

import math
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Final

import shapely

from nesting.cloth.stock import ROLL, ClothPiece
from nesting.units import GRID_PER_MM

#: Farther from any piece of cloth than a panel can lie: it stands for no end.
FAR: Final = 1e7


@dataclass(frozen=True)
class Spot:
    """A flaw: where no panel may lie, unless the flaw is minor and the panel hidden."""

    polygon: shapely.Polygon
    what: str = ""
    minor: bool = False


@dataclass(frozen=True)
class Piece:
    """One piece of cloth that panels lie on.

    ``length`` is None for the roll that is bought. ``price`` is that of the
    whole piece, None if it has the price of its cloth.
    """

    name: str
    width: float
    length: float | None = None
    selvedge: float = 0.0
    outline: shapely.Polygon | None = None
    holes: tuple[shapely.Polygon, ...] = ()
    widths: tuple[tuple[float, float], ...] = ()
    splices: tuple[float, ...] = ()
    shade: str = ""
    price: float | None = None
    spots: tuple[Spot, ...] = ()

    @property
    def is_bought(self) -> bool:
        """Whether it is the roll that is bought, as long as is needed."""
        return self.length is None

    @property
    def is_anchored(self) -> bool:
        """Whether the place of a lay along the piece matters, so that cloth may lie blank first."""
        irregular = self.outline or self.widths or self.splices or self.spots
        return bool(irregular) or not self.is_bought

    @cached_property
    def narrowed(self) -> shapely.Geometry | None:
        """What lies above the upper selvedge line of the measured widths, if any are."""
        if not self.widths:
            return None
        return shapely.union_all(
            [
                shapely.box(start, width - self.selvedge, end, FAR)
                for start, end, width in self.sections()
            ]
        )

    def usable(self, start: float, end: float) -> shapely.Geometry:
        """The cloth that panels may lie on from one x to another, flaws that count taken out."""
        cloth = shapely.box(start, self.selvedge, end, self.width - self.selvedge)
        if self.outline is not None:
            cloth = cloth.intersection(self.outline)
        taken = [*self.holes, *(spot.polygon for spot in self.spots if not spot.minor)]
        if self.narrowed is not None:
            taken.append(self.narrowed)
        return cloth.difference(shapely.union_all(taken)) if taken else cloth

    def sections(self) -> list[tuple[float, float, float]]:
        """Start, end and width of each stretch: between two places, the narrower of both."""
        places = [(-FAR, math.inf), *self.widths, (FAR, math.inf)]
        return [(x, end, min(one, other)) for (x, one), (end, other) in pairwise(places)]


def roll_of(width: float, selvedge: float) -> Piece:
    """The roll of a cloth that has nothing else to lie on."""
    return Piece(ROLL, width, selvedge=selvedge)


def piece_of(piece: ClothPiece) -> Piece:
    """A piece of the order, in millimetres."""
    return Piece(
        name=piece.name,
        width=piece.width / GRID_PER_MM,
        length=None if piece.length is None else piece.length / GRID_PER_MM,
        selvedge=piece.selvedge / GRID_PER_MM,
        outline=None if piece.outline is None else _polygon(piece.outline.points),
        holes=tuple(_polygon(hole.points) for hole in piece.holes),
        widths=tuple((x / GRID_PER_MM, width / GRID_PER_MM) for x, width in piece.widths),
        splices=tuple(x / GRID_PER_MM for x in piece.splices),
        shade=piece.shade,
        price=None if piece.price is None else float(piece.price),
        spots=tuple(
            Spot(_polygon(flaw.outline.points), flaw.what, flaw.minor) for flaw in piece.flaws
        ),
    )


def _polygon(points: tuple[tuple[int, int], ...]) -> shapely.Polygon:
    return shapely.Polygon([(x / GRID_PER_MM, y / GRID_PER_MM) for x, y in points])
