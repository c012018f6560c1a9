"""What the pieces of a cloth cost: lengths to buy, prices, sums."""

import math
from collections.abc import Iterator, Mapping
from decimal import ROUND_HALF_UP, Decimal
from typing import Any, Final

from nesting.verification.claims import Claim, Part
from nesting.verification.findings import Finding, Rule, finding

#: Steps of the grid in a millimetre: lengths to buy are counted in these.
_STEPS_PER_MM: Final = 100

#: A price with more digits was converted from another unit and is exact only to
#: the last of them.
_PRICE_DIGITS: Final = 12

Json = Mapping[str, Any]


def buy_length(part: Part) -> float:
    """Least multiple of the buying step that covers the lay and its two end allowances.

    Nothing is bought of a piece that is there already.
    """
    return _buy_length(part, part.used_length) if part.piece.is_bought else 0.0


def buy_lengths(part: Part) -> tuple[float, ...]:
    """Lengths to buy that count as right, since the outlines may be off by ``part.within``."""
    used, off = part.used_length, 2 * part.within
    return tuple(
        dict.fromkeys(_buy_length(part, length) for length in (used, used - off, used + off))
    )


def _buy_length(part: Part, used: float) -> float:
    rules = part.rules
    needed = round((used + 2 * rules.end_allowance) * _STEPS_PER_MM)
    step = max(1, round(rules.buy_step * _STEPS_PER_MM))
    return math.ceil(needed / step) * step / _STEPS_PER_MM


def costs(price_per_metre: float, length_mm: float) -> set[Decimal]:
    """Costs of a length that count as right: two where a converted price could round either way."""
    price = Decimal(str(price_per_metre))
    exact = price * Decimal(str(length_mm)) / 1000
    slack = Decimal(0)
    if len(price.as_tuple().digits) > _PRICE_DIGITS:
        slack = exact * Decimal("1e-14")
    cent = Decimal("0.01")
    return {(exact + side).quantize(cent, ROUND_HALF_UP) for side in (-slack, slack)}


def check_costs(claim: Claim, cloth: Json) -> Iterator[Finding]:
    """Findings about the cost of each piece, and about their sum.

    A cost is known where the piece or its cloth has a price.
    """
    stated = [entry.get("cost") for entry in cloth["pieces"]]
    price, cost, name = cloth.get("price_per_metre"), cloth.get("cost"), f"{claim.cloth}: cost"
    by_length = [part.piece.price is None for part in claim.parts]
    known = any(c is not None for c, by in zip(stated, by_length, strict=True) if by)
    if price is None and known:
        yield finding(Rule.COST, name, "price_per_metre is missing")
        return
    for part, entry in zip(claim.parts, cloth["pieces"], strict=True):
        yield from _piece_cost(claim, part, entry, price)
    total = None if None in stated else sum(Decimal(str(each)) for each in stated)
    if (None if cost is None else Decimal(str(cost))) != total:
        found = "is missing" if cost is None else f"{cost} stated"
        sum_up = "not known for each piece" if total is None else f"{total} for the pieces together"
        yield finding(Rule.COST, name, f"{found}, {sum_up}")


def _piece_cost(claim: Claim, part: Part, entry: Json, price: float | None) -> Iterator[Finding]:
    stated = entry.get("cost")
    if part.piece.price is not None:
        right = {Decimal(str(part.piece.price))}
    elif price is not None:
        right = costs(price, _paid_length(part, entry))
    else:
        return
    if stated is None or Decimal(str(stated)) not in right:
        found = "is missing" if stated is None else f"{stated} stated"
        where = f"{claim.cloth}, {part.piece.name}: cost"
        yield finding(Rule.PIECE_COST, where, f"{found}, {min(right)} found")


def _paid_length(part: Part, entry: Json) -> float:
    """Length that is paid for; of an empty lay what the record says."""
    if part.piece.length is not None:
        return part.piece.length
    return buy_length(part) if part.laid else float(entry["buy_length_mm"])
