"""Whether the figures of a record follow from its outlines and rules."""

import math
from collections.abc import Iterator, Mapping
from decimal import ROUND_HALF_UP, Decimal
from typing import Any, Final

import shapely

from nesting.tolerances import STATED_AREA, STATED_MM, STATED_RATIO
from nesting.verification.claims import Claim, at
from nesting.verification.findings import Finding, Rule, finding

#: Steps of the grid in a millimetre: lengths to buy are counted in these.
_STEPS_PER_MM: Final = 100

#: A price with more digits was converted from another unit and is exact only to
#: the last of them.
_PRICE_DIGITS: Final = 12

Json = Mapping[str, Any]


def check_figures(claim: Claim, cloth: Json) -> Iterator[Finding]:
    """Findings about the figures that the record states for one cloth."""
    usable = claim.rules.width - 2 * claim.rules.selvedge
    yield from _length(claim, cloth, "usable_width_mm", usable, Rule.USABLE_WIDTH)
    yield from _places(claim, cloth)
    yield from _areas(claim, cloth)
    yield from _cost(claim, cloth)
    used = claim.used_length
    if used <= 0:
        return
    yield from _length(claim, cloth, "used_length_mm", used, Rule.USED_LENGTH)
    yield from _length(claim, cloth, "buy_length_mm", buy_length(claim), Rule.BUY_LENGTH)
    area = sum(one.polygon.area for one in claim.laid)
    yield from _ratio(claim, cloth, "efficiency", area / (used * usable), Rule.EFFICIENCY)
    yield from _bound(claim, cloth)


def buy_length(claim: Claim) -> float:
    """Least multiple of the buying step that covers the lay and its two end allowances."""
    return _buy_length(claim, claim.used_length)


def buy_lengths(claim: Claim) -> tuple[float, ...]:
    """Lengths to buy that count as right, since the outlines may be off by ``claim.within``."""
    used, off = claim.used_length, 2 * claim.within
    return tuple(
        dict.fromkeys(_buy_length(claim, length) for length in (used, used - off, used + off))
    )


def _buy_length(claim: Claim, used: float) -> float:
    rules = claim.rules
    needed = round((used + 2 * rules.end_allowance) * _STEPS_PER_MM)
    step = max(1, round(rules.buy_step * _STEPS_PER_MM))
    return math.ceil(needed / step) * step / _STEPS_PER_MM


def _places(claim: Claim, cloth: Json) -> Iterator[Finding]:
    for one, entry in zip(claim.laid, cloth["placements"], strict=True):
        place = f"{claim.cloth}: {one.name}"
        if entry["mirrored"]:
            yield finding(Rule.NOT_MIRRORED, place, f"stated as mirrored {at(one.ring[0])}")
        corner = one.ring.min(axis=0)
        stated = (entry["x_mm"], entry["y_mm"])
        if max(abs(corner - stated)) > STATED_MM:
            detail = f"({stated[0]:.2f}, {stated[1]:.2f}) mm stated, the outline's is {at(corner)}"
            yield finding(Rule.CORNER, place, detail)


def _areas(claim: Claim, cloth: Json) -> Iterator[Finding]:
    for entry in cloth["panels"]:
        name = f"{claim.cloth}: {entry['item']} / {entry['panel']}, area_mm2"
        yield from _area(name, entry["area_mm2"], shapely.Polygon(entry["outline_mm"]).area)
    total = sum(one.polygon.area for one in claim.laid)
    yield from _area(f"{claim.cloth}: panel_area_mm2", cloth["panel_area_mm2"], total)


def _area(name: str, stated: float, true: float) -> Iterator[Finding]:
    if abs(stated - true) > max(STATED_MM, STATED_AREA * true):
        yield finding(Rule.AREA, name, f"{stated:.2f} mm² stated, {true:.2f} mm² found")


def _bound(claim: Claim, cloth: Json) -> Iterator[Finding]:
    used, bound = claim.used_length, cloth["lower_bound_mm"]
    detail = f"bound {bound:.2f} mm, used {used:.2f} mm"
    if bound > used + STATED_MM:
        yield finding(Rule.BOUND, f"{claim.cloth}: lower_bound_mm", detail)
    elif cloth["proved_optimal"] and used > bound + 2 * STATED_MM:
        yield finding(Rule.PROVED, f"{claim.cloth}: proved_optimal", detail)
    yield from _ratio(claim, cloth, "gap_to_bound", used / bound - 1, Rule.GAP_TO_BOUND)


def _cost(claim: Claim, cloth: Json) -> Iterator[Finding]:
    price, cost = cloth.get("price_per_metre"), cloth.get("cost")
    if price is None and cost is None:
        return
    name = f"{claim.cloth}: cost"
    if price is None or cost is None:
        missing = "price_per_metre" if price is None else "cost"
        yield finding(Rule.COST, name, f"{missing} is missing")
        return
    bought = buy_length(claim) if claim.laid else cloth["buy_length_mm"]
    costs = _costs(Decimal(str(price)), Decimal(str(bought)))
    if Decimal(str(cost)) not in costs:
        yield finding(Rule.COST, name, f"{cost} stated, {min(costs)} for {bought:.2f} mm")


def _costs(price: Decimal, length_mm: Decimal) -> set[Decimal]:
    """Costs of a length that count as right: two where a converted price could round either way."""
    exact = price * length_mm / 1000
    slack = Decimal(0)
    if len(price.as_tuple().digits) > _PRICE_DIGITS:
        slack = exact * Decimal("1e-14")
    cent = Decimal("0.01")
    return {(exact + side).quantize(cent, ROUND_HALF_UP) for side in (-slack, slack)}


def _length(claim: Claim, cloth: Json, key: str, true: float, rule: Rule) -> Iterator[Finding]:
    if abs(cloth[key] - true) > STATED_MM:
        detail = f"{cloth[key]:.2f} mm stated, {true:.2f} mm found"
        yield finding(rule, f"{claim.cloth}: {key}", detail)


def _ratio(claim: Claim, cloth: Json, key: str, true: float, rule: Rule) -> Iterator[Finding]:
    if abs(cloth[key] - true) > STATED_RATIO:
        yield finding(rule, f"{claim.cloth}: {key}", f"{cloth[key]:.6f} stated, {true:.6f} found")
