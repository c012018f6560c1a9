"""Summaries of a finished lay and of a comparison of rolls, in a few lines."""

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from cli.screen import columns, fault_text, wrap
from nesting.units import YD, M, format_length

if TYPE_CHECKING:
    from nesting.layouts.lay import ClothLay, OrderLay
    from nesting.planning.partial import LeftOut
    from nesting.planning.plan import Plan
    from nesting.purchasing import Comparison, Offer


def lay_summary(plan: "Plan", folder: Path) -> str:
    """Length to buy, cost and quality of each lay, facts about the items, and the folder."""
    return "\n".join([plan.order.name, _table(plan), *_facts(plan), f"the files are in {folder}"])


def _table(plan: "Plan") -> str:
    heads = ["cloth", "buy", "cost", "length", "fabric utilisation", "minimum (proved)"]
    rows = [_lay_row(lay, plan.order.units) for lay in plan.lay.cloths]
    total = _total(plan.lay.cloths)
    if len(rows) > 1 and total:
        rows.append(["total", "", total, "", "", ""])
    return columns([heads, *rows], right=range(1, 5))


def _lay_row(lay: "ClothLay", units: str) -> list[str]:
    from nesting.layouts.measures import efficiency
    from nesting.reports.wording import length_to_buy

    bought = lay.on.length is None
    return [
        lay.title,
        length_to_buy(lay.buy_length, units, lay.cloth.price) if bought else "from stock",
        cost_text(lay),
        format_length(lay.used_length, units),
        f"{100 * efficiency(lay):.1f} %",
        proof_text(lay, units),
    ]


def cost_text(lay: "ClothLay") -> str:
    """Cost with its currency, or a dash if no price is known."""
    price = lay.cloth.price
    return f"{lay.cost:.2f} {price.currency}" if price else "-"


def proof_text(lay: "ClothLay", units: str) -> str:
    """How much shorter the lay could still be, in words."""
    from nesting.layouts.measures import gap_to_bound

    bound = format_length(lay.lower_bound, units)
    if lay.proved_optimal:
        return f"{bound}; no plan is shorter"
    return f"{bound}; this plan is {100 * gap_to_bound(lay):.1f} % longer"


def _total(lays: tuple["ClothLay", ...]) -> str:
    """Cost of all cloths, or empty text unless all have a price in the same currency."""
    currencies = {lay.cloth.price.currency if lay.cloth.price else None for lay in lays}
    if len(currencies) != 1 or None in currencies:
        return ""
    return f"{sum((lay.cost or Decimal(0) for lay in lays), Decimal(0)):.2f} {currencies.pop()}"


def _facts(plan: "Plan") -> Iterator[str]:
    for item, made in zip(plan.order.items, plan.made, strict=True):
        for fact in made.facts:
            yield wrap(f"{item.name}: {fact.in_unit(plan.order.units)}", "- ")


def again_lines(lay: "OrderLay") -> Iterator[str]:
    """What is planned again after cutting has begun, and where it lies now."""
    if lay.again is None:
        return
    now = {placed.label: one for one in lay.cloths for placed in one.placed}
    for word, labels in (("again", lay.again.spoiled), ("moved", lay.again.moved)):
        for label in labels:
            yield f"{word}: {label}, on {now[label].cloth.name}, {now[label].on.name}"
    if not lay.again.moved:
        yield "nothing else was moved"


def left_out_lines(left_out: "tuple[LeftOut, ...]") -> Iterator[str]:
    """What did not fit on the cloth that is there."""
    for one in left_out:
        yield f"not laid, cloth is too little: {one.left} of {one.ordered} {one.item}"


def comparison_summary(comparison: "Comparison", folder: Path, *, own_prices: bool) -> str:
    """Rolls in the order of what the buyer pays, and reasons why some cannot be used."""
    lines = [f"{comparison.order.name}, {comparison.replaced}: {_how_ranked(comparison)}"]
    units, best = comparison.order.units, comparison.best
    if best:
        heads = ["roll", "buy", "area", "cost", "length", "fabric utilisation", "minimum (proved)"]
        rows = [_offer_row(each, units) for each in comparison.offers if each.lays]
        lines.append(columns([heads, *rows], right=range(1, 6)))
    if best and best.cloth.price and not own_prices:
        lines.append("every width has the price of the order's cloth; --rolls takes other prices")
    for offer in comparison.offers:
        if offer.refusal:
            lines.append(f"{offer.cloth.name}: cannot be used")
            lines += [fault_text(fault) for fault in offer.refusal.faults]
        elif not offer.plan:
            lines.append(f"{offer.cloth.name}: not laid, the comparison was ended before it")
    if best:
        lines.append(f"the files of the first roll are in {folder}")
    return "\n".join(lines)


def _how_ranked(comparison: "Comparison") -> str:
    from nesting.purchasing import Yardstick

    if not comparison.best:
        return "no lay plan on any roll"
    if comparison.ranked_by is Yardstick.COST:
        return "ranked by cost"
    return "ranked by the area bought, since not all rolls have a price in the same currency"


def _offer_row(offer: "Offer", units: str) -> list[str]:
    from nesting.layouts.measures import efficiency
    from nesting.reports.wording import length_to_buy

    unit, square = (YD, "yd²") if units == "in" else (M, "m²")
    lays, price = offer.lays, offer.cloth.price
    pieces = sum(lay.on.length is not None for lay in lays)
    name = f"{offer.cloth.name}, and {pieces} from stock" if pieces else offer.cloth.name
    return [
        name,
        length_to_buy(offer.buy_length, units, price),
        f"{offer.area / unit**2:.2f} {square}",
        f"{offer.cost:.2f} {price.currency}" if price and offer.cost is not None else "-",
        format_length(sum(lay.used_length for lay in lays), units),
        f"{100 * efficiency(*lays):.1f} %",
        proof_text(lays[0], units) if len(lays) == 1 else "-",
    ]
