"""Which roll to buy: lays the order on each candidate and ranks them by what the buyer pays."""

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, replace
from decimal import Decimal
from enum import StrEnum
from typing import Any, Final

from nesting.cloth.cloth import Cloth
from nesting.errors import NotEnoughClothError, PanelTooLargeError, RollTooShortError
from nesting.layouts.lay import ClothLay
from nesting.layouts.measures import efficiency
from nesting.orders.order import Order
from nesting.packing.running import Limits, Progress, uninterrupted
from nesting.planning.cloth_panels import ClothPanels
from nesting.planning.plan import DEFAULT_LIMITS, Plan, plan_order, unobserved
from nesting.units import GRID_PER_MM, to_mm

#: Name and version of the record of a comparison.
SCHEMA: Final = "clothwright/widths/1"

#: A name that no cloth can have.
_NO_CLOTH: Final = ""


class Yardstick(StrEnum):
    """What candidates are ranked by: cost, or the area bought if a price is missing."""

    COST = "cost"
    AREA = "area"


@dataclass(frozen=True)
class Offer:
    """One candidate: its plan, or the reason why the order cannot be cut from it.

    With neither, the comparison was ended before this candidate was tried.
    """

    cloth: Cloth
    plan: Plan | None = None
    refusal: PanelTooLargeError | RollTooShortError | NotEnoughClothError | None = None

    @property
    def lays(self) -> tuple[ClothLay, ...]:
        """The lays on this candidate and on pieces of it that are there already."""
        return self.plan.lay.cloths if self.plan else ()

    @property
    def cost(self) -> Decimal | None:
        """Price of the cloth bought and of the pieces used; None without a plan or a price."""
        costs = [lay.cost for lay in self.lays]
        known = [cost for cost in costs if cost is not None]
        return sum(known, Decimal(0)) if costs and len(known) == len(costs) else None

    @property
    def buy_length(self) -> int:
        """Length bought, in grid units."""
        return sum(lay.buy_length for lay in self.lays)

    @property
    def area(self) -> int:
        """Cloth bought, square grid units, selvedges and ends included; 0 without a plan."""
        return self.buy_length * self.cloth.width


@dataclass(frozen=True)
class Comparison:
    """Candidates in place of the cloth ``replaced``, the cheapest first.

    Those without a plan come last, in the order they were given.
    """

    order: Order
    replaced: str
    ranked_by: Yardstick
    offers: tuple[Offer, ...]

    @property
    def best(self) -> Offer | None:
        """The candidate to buy."""
        return self.offers[0] if self.offers and self.offers[0].plan else None


def compare_rolls(  # noqa: PLR0913 - each is named by its caller
    order: Order,
    replaced: str,
    candidates: Sequence[Cloth],
    limits: Limits = DEFAULT_LIMITS,
    *,
    seed: int = 0,
    workers: int | None = None,
    observe: Callable[[ClothPanels, Progress], None] = unobserved,
    interrupted: Callable[[], bool] = uninterrupted,
) -> Comparison:
    """Lay everything that is cut from the cloth ``replaced`` on each candidate instead.

    ``limits`` apply to each candidate. The order's other cloths do not depend
    on which candidate is bought, so they are left out.

    Raises
    ------
    SeamError, UnprovenLayError
        As for `plan_order`. A candidate that is too narrow or too short is
        not an error.
    """
    offers = []
    for cloth in candidates:
        if interrupted():
            offers.append(Offer(cloth))
            continue
        try:
            plan = plan_order(
                _order_from(order, replaced, cloth),
                limits,
                seed=seed,
                workers=workers,
                observe=observe,
                interrupted=interrupted,
            )
            offers.append(Offer(cloth, plan))
        except (PanelTooLargeError, RollTooShortError, NotEnoughClothError) as refusal:
            offers.append(Offer(cloth, refusal=refusal))
    return _ranked(order, replaced, offers)


def _order_from(order: Order, replaced: str, cloth: Cloth) -> Order:
    """The part of an order that is cut from the cloth ``replaced``, cut from ``cloth`` instead.

    Panels of the same items that are cut from a third cloth are assigned no cloth.
    """

    def replacement_for(name: str) -> str:
        return cloth.name if name == replaced else _NO_CLOTH

    items = tuple(
        replace(
            item,
            cloth=replacement_for(item.cloth),
            panel_cloths={
                panel: replacement_for(name) for panel, name in item.panel_cloths.items()
            },
            liner=None if item.liner is None else replacement_for(item.liner),
        )
        for item in order.items
        if replaced in (item.cloth, item.liner, *item.panel_cloths.values())
    )
    return replace(order, cloths=(cloth,), items=items)


def _ranked(order: Order, replaced: str, offers: Sequence[Offer]) -> Comparison:
    planned = [offer for offer in offers if offer.plan]
    currencies = {offer.cloth.price.currency if offer.cloth.price else None for offer in planned}
    by_cost = len(currencies) == 1 and None not in currencies

    def paid(offer: Offer) -> tuple[Decimal, int]:
        return offer.cost if by_cost and offer.cost is not None else Decimal(0), offer.area

    rest = [offer for offer in offers if not offer.plan]
    yardstick = Yardstick.COST if by_cost else Yardstick.AREA
    return Comparison(order, replaced, yardstick, (*sorted(planned, key=paid), *rest))


def as_record(comparison: Comparison) -> dict[str, Any]:
    """A comparison as plain dictionaries, lists, texts and numbers; lengths in millimetres."""
    return {
        "schema": SCHEMA,
        "order": comparison.order.name,
        "cloth": comparison.replaced,
        "ranked_by": str(comparison.ranked_by),
        "rolls": [_offer_record(offer) for offer in comparison.offers],
    }


def _offer_record(offer: Offer) -> dict[str, Any]:
    cloth = offer.cloth
    record = {
        "name": cloth.name,
        "width_mm": to_mm(cloth.width),
        "usable_width_mm": to_mm(cloth.usable_width),
        "planned": offer.plan is not None,
    }
    if offer.lays:
        record |= _lays_record(offer)
    if offer.refusal:
        record["refused"] = [asdict(fault) for fault in offer.refusal.faults]
    return record


def _lays_record(offer: Offer) -> dict[str, Any]:
    price, cost, lays = offer.cloth.price, offer.cost, offer.lays
    paid = {"cost": float(cost), "currency": price.currency} if price and cost is not None else {}
    pieces = [lay.on.name for lay in lays if lay.on.length is not None]
    return {
        "used_length_mm": to_mm(sum(lay.used_length for lay in lays)),
        "buy_length_mm": to_mm(offer.buy_length),
        "bought_area_mm2": offer.area / GRID_PER_MM**2,
        **paid,
        **({"pieces_used": pieces} if pieces else {}),
        "efficiency": round(efficiency(*lays), 6),
        "lower_bound_mm": to_mm(sum(lay.lower_bound for lay in lays)),
        "proved_optimal": all(lay.proved_optimal for lay in lays),
    }
