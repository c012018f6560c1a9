"""The claims of a file, in data structures of the checker's own.

Lengths are millimetres as floats, straight from the file: nothing here is
made by the code that is being checked. A *ring* is an outline as an array of
shape (vertices, 2) that does not repeat its first point.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from nesting.cloth.cloth import Nap
from nesting.cloth.stock import ROLL
from nesting.verification.cloth_piece import Piece, roll_of

Ring = NDArray[np.float64]

#: Item and panel: together they name one shape.
Key = tuple[str, str]


@dataclass(frozen=True)
class Rules:
    """The rules of a cloth that places and turns depend on."""

    width: float
    selvedge: float
    nap: Nap
    cross_grain: bool
    gap: float
    end_allowance: float
    buy_step: float


@dataclass(frozen=True)
class Wanted:
    """A panel that the order needs ``quantity`` times, for ``items`` items.

    A ``hidden`` one may have minor flaws. With ``one_shade`` those of one copy
    of an item lie on cloth of one shade.
    """

    key: Key
    ring: Ring
    quantity: int
    items: int
    any_grain: bool
    hidden: bool = False
    one_shade: bool = True


@dataclass(frozen=True)
class Laid:
    """One outline on a piece of the cloth and what the file says about it."""

    key: Key
    copy: int
    part: int
    turn: float
    ring: Ring
    piece: str = ROLL

    @property
    def name(self) -> str:
        """Item, panel, copy and part, as on the label."""
        item, panel = self.key
        return f"{item} / {panel} / {self.copy}.{self.part}"

    @cached_property
    def polygon(self) -> shapely.Polygon:
        """The outline as a polygon, valid or not."""
        return shapely.Polygon(self.ring)


@dataclass(frozen=True)
class Claim:
    """Everything that a file claims about one cloth.

    ``pieces`` are those that panels lie on; if none are named, they lie on a
    roll without flaws. ``within`` is how far any point may be from the intended
    one, because the file's format rounds it or stores another curve. Where
    panels may lie elsewhere too, the claim is not ``complete``.
    """

    cloth: str
    rules: Rules
    wanted: Mapping[Key, Wanted]
    laid: tuple[Laid, ...]
    within: float = 0.0
    pieces: tuple[Piece, ...] = ()
    complete: bool = True

    @cached_property
    def parts(self) -> tuple["Part", ...]:
        """What is claimed about each piece of the cloth."""
        pieces = self.pieces or (roll_of(self.rules.width, self.rules.selvedge),)
        return tuple(self._part(piece, alone=len(pieces) == 1) for piece in pieces)

    def _part(self, piece: Piece, *, alone: bool) -> "Part":
        name = self.cloth if alone and piece.is_bought else f"{self.cloth}, {piece.name}"
        ends = 0.0 if piece.outline is not None else self.rules.end_allowance
        laid = tuple(one for one in self.laid if alone or one.piece == piece.name)
        rules = replace(
            self.rules, width=piece.width, selvedge=piece.selvedge, end_allowance=ends
        )  # fmt: skip
        return Part(name, rules, self.wanted, laid, self.within, (piece,), piece=piece)


@dataclass(frozen=True, kw_only=True)
class Part(Claim):
    """What a file claims about one piece of a cloth: the rules are those of the piece."""

    piece: Piece

    @property
    def span(self) -> tuple[float, float]:
        """Least and greatest x of all outlines; both are the start of an empty lay."""
        if not self.laid:
            return self.rules.end_allowance, self.rules.end_allowance
        return (
            min(float(one.ring[:, 0].min()) for one in self.laid),
            max(float(one.ring[:, 0].max()) for one in self.laid),
        )

    @property
    def start(self) -> float:
        """Where the used length begins: at the first outline if the place of the lay is free."""
        return self.rules.end_allowance if self.piece.is_anchored else self.span[0]

    @property
    def used_length(self) -> float:
        """From there to the greatest x of all outlines."""
        return self.span[1] - self.start


def turned(points: Ring, degrees: float) -> Ring:
    """Points turned anticlockwise about the origin."""
    angle = np.radians(degrees)
    cos, sin = np.cos(angle), np.sin(angle)
    x, y = points[:, 0], points[:, 1]
    return np.column_stack((x * cos - y * sin, x * sin + y * cos))


def is_simple(polygon: shapely.Polygon) -> bool:
    """Whether an outline encloses an area and neither crosses nor touches itself."""
    return bool(polygon.is_valid and polygon.area > 0)


def where(claim: Claim, one: Laid) -> str:
    """Name of a laid panel in findings."""
    return f"{claim.cloth}: {one.name}"


def at(point: tuple[float, float] | Ring) -> str:
    """A place on the cloth as findings print it."""
    return f"at ({point[0]:.2f}, {point[1]:.2f}) mm"
