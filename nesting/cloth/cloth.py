"""One cloth and its rules.

Lengths are in grid units. ``x`` runs along the roll; ``y`` runs across it from
the lower edge, selvedge included. The cloth lies right side up.
"""

from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum

from nesting.cloth.stock import ROLL, ClothPiece, Flaw


class Nap(StrEnum):
    """Which ways panels may point along the cloth."""

    ONE_WAY = "one-way"
    UP_AND_DOWN = "up-and-down"
    EITHER_WAY = "either-way"


class Coating(StrEnum):
    """What the cloth is coated with, as far as that decides whether it may be cut hot."""

    NONE = "none"
    PVC = "pvc"
    POLYURETHANE = "polyurethane"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Price:
    """Price of ``per`` grid units of length, in a currency."""

    amount: Decimal
    per: int
    currency: str

    def of(self, length: int) -> Decimal:
        """Cost of a length, rounded half up to cents."""
        exact = self.amount * length / self.per
        return exact.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)


@dataclass(frozen=True)
class Cloth:
    """One cloth as the shop sells it and the cutting room may use it; lengths are grid units.

    ``flaws`` are those of the roll that is bought, from its cut end. ``stock`` are
    the pieces that are there already; more is bought if it ``may_buy``. ``whole``
    is the cloth that this is a piece of, None if it is not just a piece.
    """

    name: str
    width: int
    selvedge: int = 0
    nap: Nap = Nap.ONE_WAY
    cross_grain: bool = False
    price: Price | None = None
    buy_step: int = 100
    gap: int = 0
    end_allowance: int = 0
    roll_length: int | None = None
    coating: Coating = Coating.NONE
    flaws: tuple[Flaw, ...] = ()
    stock: tuple[ClothPiece, ...] = ()
    may_buy: bool = True
    whole: "Cloth | None" = None

    @property
    def as_sold(self) -> "Cloth":
        """The cloth as the order has it, whichever piece of it this is."""
        return self.whole or self

    @property
    def roll(self) -> ClothPiece:
        """The cloth that is bought, as long as is needed."""
        return ClothPiece(ROLL, self.width, selvedge=self.selvedge, flaws=self.flaws)

    @property
    def pieces(self) -> tuple[ClothPiece, ...]:
        """What panels may be laid on: the pieces that are there, then the roll that is bought."""
        return (*self.stock, self.roll) if self.may_buy else self.stock

    def on(self, piece: ClothPiece) -> "Cloth":
        """The cloth as a piece of it is: as wide, and without end allowances if it is no strip."""
        if piece.length is None:
            return self
        ends = 0 if piece.outline else self.end_allowance
        return replace(
            self,
            width=piece.width,
            selvedge=piece.selvedge,
            end_allowance=ends,
            whole=self.as_sold,
        )

    @property
    def usable_width(self) -> int:
        """Width between the selvedges."""
        return self.width - 2 * self.selvedge

    def turns(self, *, any_grain: bool) -> tuple[int, ...]:
        """Turns that a panel may take, in degrees; ``any_grain`` when its own grain is free.

        A one-way cloth allows no turn but 0: every panel points as it was drawn.
        """
        if self.nap is Nap.ONE_WAY:
            return (0,)
        return (0, 90, 180, 270) if self.cross_grain or any_grain else (0, 180)

    def buy_length(self, used: int) -> int:
        """Least multiple of the buying step that covers a lay and its two end allowances."""
        return -(-(used + 2 * self.end_allowance) // self.buy_step) * self.buy_step
