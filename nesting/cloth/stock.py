"""The pieces of a cloth that are there, and where on them nothing may lie.

Lengths are in grid units. A piece has coordinates of its own: x runs along the
roll from its cut end, y across it from its lower edge, selvedge included. A
piece with an outline has the coordinates of that outline, whose least corner is
(0, 0).
"""

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from nesting.geometry.outline import Outline

#: The name of the cloth that is bought, cut from a roll as long as is needed.
ROLL: Final = "roll"

#: What was bought for a plan is called so where that plan is changed after cutting has begun.
BOUGHT: Final = "bought roll"


@dataclass(frozen=True)
class Flaw:
    """A place where no panel may lie, except hidden panels if the flaw is ``minor``."""

    outline: Outline
    what: str = ""
    minor: bool = False


@dataclass(frozen=True)
class ClothPiece:
    """One piece of a cloth: a roll, a remnant, an offcut, a hide.

    ``length`` is None for a roll that is bought as long as is needed. A piece
    with an ``outline`` may have ``holes``, and its length and width are those of
    its box. ``widths`` are measured edge to edge at places (x, width) along the
    piece, in order; between two of them the narrower counts, and before the
    first and after the last that one. Nothing may lie across a splice.
    Everything on pieces of one ``shade`` looks alike; pieces without one count
    as one shade of their own. Lengths are grid units. ``price`` is that of the
    whole piece, None if it has the cloth's price.
    """

    name: str
    width: int
    length: int | None = None
    selvedge: int = 0
    outline: Outline | None = None
    holes: tuple[Outline, ...] = ()
    widths: tuple[tuple[int, int], ...] = ()
    splices: tuple[int, ...] = ()
    shade: str = ""
    price: Decimal | None = None
    flaws: tuple[Flaw, ...] = ()

    @property
    def is_plain(self) -> bool:
        """Whether panels may lie anywhere between its selvedges."""
        return not (self.outline or self.widths or self.splices or self.flaws)
