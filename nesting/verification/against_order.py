"""Compares a layout record with its order: cloths, their rules, panels and quantities.

The panels of the order are made anew by the caller. Whether the lay itself is
right is judged from the record alone, elsewhere.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import shapely

from nesting.cloth.cloth import Cloth, Coating
from nesting.panels.panel import GrainRule, Panel
from nesting.tolerances import STATED_MM
from nesting.units import GRID_PER_MM, M
from nesting.verification.findings import Finding, Rule, finding
from nesting.verification.pieces_of_order import check_pieces

Json = Mapping[str, Any]

#: Share by which a number may be off: a price may have been converted from one by the yard.
_SAME: Final = 1e-9

#: What to do about a record that is not what its order asks for.
_AGAIN: Final = "lay the order again, or correct it"


@dataclass(frozen=True)
class Ordered:
    """A cloth of the order, and the panels that are cut from it."""

    cloth: Cloth
    panels: tuple[Panel, ...]


def check_against_order(
    record: Json, order_name: str, ordered: Sequence[Ordered]
) -> tuple[Finding, ...]:
    """Every way in which a layout record is not what its order asks for.

    ``record`` has the form of a layout record. Where none of its panels is of
    the order, that is the only finding.
    """
    found = {cloth["name"]: cloth for cloth in record["cloths"]}
    asked = {one.cloth.name: one for one in ordered}
    if not _keys(record["cloths"]) & {(p.item, p.name) for one in ordered for p in one.panels}:
        detail = f'no panel of "{record["order"]}" is one of "{order_name}"'
        return (_differs(Rule.SAME_ORDER, "the record", detail),)
    return (*_names(record, order_name), *_cloths(found, asked, again="recut" in record))


def _differs(rule: Rule, where: str, detail: str) -> Finding:
    return finding(rule, where, f"{detail}: {_AGAIN}")


def _keys(cloths: Sequence[Json]) -> set[tuple[str, str]]:
    return {(panel["item"], panel["panel"]) for cloth in cloths for panel in cloth["panels"]}


def _names(record: Json, order_name: str) -> Iterator[Finding]:
    if record["order"] != order_name:
        detail = f'it is of "{record["order"]}", the order is "{order_name}"'
        yield _differs(Rule.SAME_ORDER, "the record", detail)


def _cloths(
    found: Mapping[str, Json], asked: Mapping[str, Ordered], *, again: bool
) -> Iterator[Finding]:
    for name, one in asked.items():
        if name not in found:
            detail = f"{len(one.panels)} panels of the order are cut from it"
            yield _differs(Rule.CLOTH_THERE, name, detail)
            continue
        yield from _rules(found[name], one.cloth)
        yield from check_pieces(found[name], one.cloth, again=again)
        yield from _panels(found[name], one)
    for name in found:
        if name not in asked:
            yield _differs(Rule.CLOTH_WANTED, name, "nothing of the order is cut from it")


def _rules(cloth: Json, asked: Cloth) -> Iterator[Finding]:
    """Findings about the rules of a cloth, each by its key in the record."""
    for key, value in _rules_of(asked).items():
        there = cloth.get(key)
        if not _same(there, value):
            yield _differs(
                Rule.CLOTH_RULE,
                f"{asked.name}: {key}",
                f"{_shown(there)} in the record, {_shown(value)} in the order",
            )
    most = None if asked.roll_length is None else asked.roll_length / GRID_PER_MM
    if most is not None and cloth["buy_length_mm"] > most:
        detail = f"{cloth['buy_length_mm']:.2f} mm to buy, at most {most:.2f} mm in one piece"
        yield _differs(Rule.ROLL, asked.name, detail)


def _rules_of(cloth: Cloth) -> dict[str, object]:
    """The rules of a cloth by the keys and in the units of a record; None where it has none."""
    price = cloth.price
    return {
        "width_mm": cloth.width / GRID_PER_MM,
        "selvedge_mm": cloth.selvedge / GRID_PER_MM,
        "nap": str(cloth.nap),
        "cross_grain": cloth.cross_grain,
        "gap_mm": cloth.gap / GRID_PER_MM,
        "end_allowance_mm": cloth.end_allowance / GRID_PER_MM,
        "buy_step_mm": cloth.buy_step / GRID_PER_MM,
        "price_per_metre": None if price is None else float(price.amount * M / price.per),
        "currency": None if price is None else price.currency,
        "coating": None if cloth.coating is Coating.NONE else str(cloth.coating),
    }


def _same(one: object, other: object) -> bool:
    if isinstance(one, float | int) and isinstance(other, float | int):
        return abs(one - other) <= _SAME * max(1.0, abs(other))
    return one == other


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return "none" if value is None else f"{value:.10g}" if isinstance(value, float) else str(value)


def _panels(cloth: Json, one: Ordered) -> Iterator[Finding]:
    found = {(panel["item"], panel["panel"]): panel for panel in cloth["panels"]}
    asked = {(panel.item, panel.name): panel for panel in one.panels}
    for key, panel in asked.items():
        name = f"{one.cloth.name}: {panel.item} / {panel.name}"
        if key not in found:
            yield _differs(Rule.PANEL_THERE, name, f"needed {panel.copies} times")
            continue
        yield from _panel(name, found[key], panel)
    for item, panel_name in found:
        if (item, panel_name) not in asked:
            where = f"{one.cloth.name}: {item} / {panel_name}"
            yield _differs(Rule.PANEL_WANTED, where, "the order has no such panel")


def _panel(name: str, found: Json, asked: Panel) -> Iterator[Finding]:
    """Findings about one panel: how many, its outline, and how it may lie."""
    if found["quantity"] != asked.copies:
        detail = f"{found['quantity']} in the record, {asked.copies} in the order"
        yield _differs(Rule.QUANTITY, name, detail)
    for key, there, wanted in (
        ("any_grain", bool(found.get("any_grain")), asked.grain_rule is GrainRule.ANY),
        ("hidden", bool(found.get("hidden")), asked.hidden),
        ("one_shade", found.get("one_shade") is not False, asked.one_shade),
    ):
        if there is not wanted:
            detail = f"{key} is {_shown(there)} in the record, {_shown(wanted)} in the order"
            yield _differs(Rule.CLOTH_RULE, name, detail)
    off = _distance(
        found["outline_mm"], [(x / GRID_PER_MM, y / GRID_PER_MM) for x, y in asked.cut.points]
    )
    if off > STATED_MM:
        yield _differs(Rule.ORDERED_SHAPE, name, f"up to {off:.2f} mm off the panel of the order")


def _distance(found: Sequence[Sequence[float]], asked: Sequence[Sequence[float]]) -> float:
    """How far two outlines are apart: 0 for the same points, else between their lines."""
    if np.array_equal(np.asarray(found, float), np.asarray(asked, float)):
        return 0.0
    one, other = (shapely.LinearRing(ring) for ring in (found, asked))
    return float(shapely.hausdorff_distance(one, other))
