"""One cloth and its rules.

Lengths are in grid units. ``x`` runs along the roll; ``y`` runs across it from
the lower edge, selvedge included. The cloth lies right side up.
"""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum


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
    """One cloth as the shop sells it and the cutting room may use it; lengths are grid units."""

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
