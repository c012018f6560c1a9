"""The main figures of a lay, for whoever buys the cloth and whoever cuts it."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from nesting.cloth.cloth import Cloth, Nap
from nesting.layouts.cloth_figure import cloth_figure
from nesting.layouts.lay import ClothLay
from nesting.reports.waste import Account
from nesting.reports.wording import (
    count_of,
    length_to_buy,
    money,
    per_cent,
    the_other_length,
)
from nesting.units import format_length

_NAP = {
    Nap.ONE_WAY: "one way: no panel turned round",
    Nap.UP_AND_DOWN: "up and down: the panels of one item alike",
    Nap.EITHER_WAY: "either way: panels turned as drawn",
}


@dataclass(frozen=True)
class Figure:
    """One of the main figures, with its name."""

    name: str
    value: str


def for_the_buyer(lay: ClothLay, figures: Account, units: str) -> Iterable[Figure]:
    """What is bought or taken from stock, and what it costs."""
    if lay.on.length is not None:
        yield from _of_the_piece(lay, figures, units)
        return
    to_buy = length_to_buy(lay.buy_length, units, lay.cloth.price)
    other = the_other_length(lay.buy_length, units, lay.cloth.price)
    yield Figure("Length to buy", f"{to_buy} ({other})")
    yield Figure("Width of the cloth", format_length(lay.cloth.width, units))
    if cost(lay):
        yield Figure("Cost of the length to buy", cost(lay))
    yield Figure("Bought cloth that becomes panels", per_cent(figures.utilisation))


def _of_the_piece(lay: ClothLay, figures: Account, units: str) -> Iterable[Figure]:
    """The same about a piece that is there already."""
    shade = f", shade {lay.on.shade}" if lay.on.shade else ""
    yield Figure("From stock", f"{lay.on.name}{shade}")
    yield Figure("Length of the piece", format_length(lay.cloth_length, units))
    yield Figure("Width of the piece", format_length(lay.cloth.width, units))
    if cost(lay):
        yield Figure("Cost of the piece", cost(lay))
    yield Figure("Cloth of the piece that becomes panels", per_cent(figures.utilisation))


def for_the_cutter(lay: ClothLay, figures: Account, units: str) -> Iterable[Figure]:
    """What is cut, on how much cloth, and how it may lie."""
    cloth, kinds = lay.cloth, count_of(len({placed.panel for placed in lay.placed}), "kind")
    yield Figure("Panels to cut", f"{len(lay.placed)}, of {kinds}")
    yield Figure("Length of the lay plan", format_length(lay.used_length, units))
    yield from _proof(lay, units)
    if not lay.on.outline:
        lost = cloth.width - min(section.width for section in cloth_figure(lay).sections)
        least = "Least usable width" if lost else "Usable width"
        yield Figure("Begins after the cut end", format_length(cloth.end_allowance, units))
        yield Figure(least, format_length(cloth.usable_width - lost, units))
    yield Figure("Fabric utilisation", per_cent(figures.efficiency))
    yield Figure("Spacing between panels", _spacing(cloth, units))
    yield Figure("Nap", _NAP[cloth.nap])


def _proof(lay: ClothLay, units: str) -> Iterable[Figure]:
    """The proved minimum, and how much longer the lay plan is."""
    bound = minimum(lay)
    yield Figure("Minimum length (proved)", format_length(bound, units))
    yield Figure("This plan compared with it", longer(lay, bound))


def minimum(lay: ClothLay) -> int:
    """The length below which no lay plan can be, as far as that is proved."""
    return lay.used_length if lay.proved_optimal else min(lay.lower_bound, lay.used_length)


def longer(lay: ClothLay, bound: int) -> str:
    """How much longer a lay plan is than the least length, in words."""
    if bound == lay.used_length:
        return "no plan is shorter"
    return f"{per_cent(Fraction(lay.used_length, bound) - 1)} longer"


def _spacing(cloth: Cloth, units: str) -> str:
    if not cloth.gap:
        return "none: panels may touch"
    return f"at least {format_length(cloth.gap, units)}"


def cost(lay: ClothLay) -> str:
    """What a lay costs, with the currency; empty if that is not known."""
    if lay.cost is None or lay.cloth.price is None:
        return ""
    return money(lay.cost, lay.cloth.price.currency)
