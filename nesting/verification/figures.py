"""Whether the figures of a record follow from its outlines and rules."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

import shapely

from nesting.tolerances import STATED_AREA, STATED_MM, STATED_RATIO
from nesting.verification.claims import Claim, at
from nesting.verification.costs import buy_length, check_costs, costs
from nesting.verification.findings import Finding, Rule, finding

Json = Mapping[str, Any]


def check_figures(claim: Claim, cloth: Json) -> Iterator[Finding]:
    """Findings about the figures that the record states for one cloth and its pieces."""
    usable = claim.rules.width - 2 * claim.rules.selvedge
    yield from _roll_width(claim)
    yield from _length(claim, cloth, "usable_width_mm", usable, Rule.USABLE_WIDTH)
    yield from _places(claim, cloth)
    yield from _areas(claim, cloth)
    yield from check_costs(claim, cloth) if claim.pieces else _cost(claim, cloth)
    used = sum(part.used_length for part in claim.parts)
    if used <= 0:
        return
    bought = sum(buy_length(part) for part in claim.parts)
    yield from _length(claim, cloth, "used_length_mm", used, Rule.USED_LENGTH)
    yield from _length(claim, cloth, "buy_length_mm", bought, Rule.BUY_LENGTH)
    yield from _efficiency(claim, cloth)
    yield from _bound(claim, cloth, used)
    if claim.pieces:
        yield from _pieces(claim, cloth)


def _roll_width(claim: Claim) -> Iterator[Finding]:
    rules = claim.rules
    for piece in claim.pieces:
        if piece.is_bought:
            where = f"{claim.cloth}, {piece.name}"
            yield from _stated(where, piece.width, rules.width, "width_mm", Rule.ROLL_WIDTH)
            yield from _stated(
                where, piece.selvedge, rules.selvedge, "selvedge_mm", Rule.ROLL_WIDTH
            )


def _pieces(claim: Claim, cloth: Json) -> Iterator[Finding]:
    for part, entry in zip(claim.parts, cloth["pieces"], strict=True):
        where = f"{claim.cloth}, {part.piece.name}"
        yield from _stated(
            where, entry["used_length_mm"], part.used_length, "used_length_mm", Rule.USED_LENGTH
        )
        if part.piece.is_bought:
            yield from _stated(
                where, entry["buy_length_mm"], buy_length(part), "buy_length_mm", Rule.BUY_LENGTH
            )


def _efficiency(claim: Claim, cloth: Json) -> Iterator[Finding]:
    area = sum(one.polygon.area for one in claim.laid)
    in_use = sum(part.piece.usable(part.start, part.span[1]).area for part in claim.parts)
    if in_use > 0:
        yield from _ratio(claim, cloth, "efficiency", area / in_use, Rule.EFFICIENCY)


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


def _bound(claim: Claim, cloth: Json, used: float) -> Iterator[Finding]:
    bound = cloth["lower_bound_mm"]
    detail = f"bound {bound:.2f} mm, used {used:.2f} mm"
    if bound > used + STATED_MM:
        yield finding(Rule.BOUND, f"{claim.cloth}: lower_bound_mm", detail)
    elif cloth["proved_optimal"] and used > bound + 2 * STATED_MM:
        yield finding(Rule.PROVED, f"{claim.cloth}: proved_optimal", detail)
    yield from _ratio(claim, cloth, "gap_to_bound", used / bound - 1, Rule.GAP_TO_BOUND)


def _cost(claim: Claim, cloth: Json) -> Iterator[Finding]:
    """Findings about the cost in a record of version 1, where one roll is bought."""
    price, cost = cloth.get("price_per_metre"), cloth.get("cost")
    if price is None and cost is None:
        return
    name = f"{claim.cloth}: cost"
    if price is None or cost is None:
        missing = "price_per_metre" if price is None else "cost"
        yield finding(Rule.COST, name, f"{missing} is missing")
        return
    bought = buy_length(claim.parts[0]) if claim.laid else cloth["buy_length_mm"]
    right = costs(price, bought)
    if Decimal(str(cost)) not in right:
        yield finding(Rule.COST, name, f"{cost} stated, {min(right)} for {bought:.2f} mm")


def _length(claim: Claim, cloth: Json, key: str, true: float, rule: Rule) -> Iterator[Finding]:
    yield from _stated(claim.cloth, cloth[key], true, key, rule)


def _stated(where: str, stated: float, true: float, key: str, rule: Rule) -> Iterator[Finding]:
    if abs(stated - true) > STATED_MM:
        detail = f"{stated:.2f} mm stated, {true:.2f} mm found"
        yield finding(rule, f"{where}: {key}", detail)


def _ratio(claim: Claim, cloth: Json, key: str, true: float, rule: Rule) -> Iterator[Finding]:
    if abs(cloth[key] - true) > STATED_RATIO:
        yield finding(rule, f"{claim.cloth}: {key}", f"{cloth[key]:.6f} stated, {true:.6f} found")
