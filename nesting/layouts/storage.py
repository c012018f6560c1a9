"""The layout file: the lays of an order as a JSON record that can be verified by itself.

Lengths are millimetres and areas square millimetres with two decimals;
ratios have six. All are finite JSON numbers. If no price is known, the keys
``price_per_metre``, ``cost`` and ``currency`` are absent, so that a missing
price is not read as a price of nothing. Only a panel whose grain is free has
the key ``any_grain``, and only a coated cloth ``coating``. ``choices`` holds
the numbers chosen where the order says "auto"; if there are none, the key is
absent.
"""

import json
from collections.abc import Iterable
from dataclasses import asdict
from typing import Any, Final

from nesting.cloth.cloth import Cloth, Coating
from nesting.layouts.lay import Choice, ClothLay, OrderLay, PlacedPanel
from nesting.layouts.measures import efficiency, gap_to_bound
from nesting.panels.panel import GrainRule, Panel
from nesting.units import GRID_PER_MM, M

#: Name and version of the record.
SCHEMA: Final = "clothwright/layout/1"

Record = dict[str, Any]


def as_record(lay: OrderLay) -> Record:
    """The lays of an order as plain dictionaries, lists, text and numbers."""
    return {
        "schema": SCHEMA,
        "order": lay.order,
        "seed": lay.seed,
        **_choices(lay.choices),
        "cloths": [_cloth_record(cloth_lay) for cloth_lay in lay.cloths],
    }


def to_json(record: Record) -> str:
    """The text of the layout file; equal records give equal text.

    Every choice, cloth, panel and placement begins on a line of its own. The
    strings replaced here cannot occur inside a text, since quotes and line
    ends are escaped there.
    """
    text = json.dumps(record, ensure_ascii=False, allow_nan=False)
    for opening in ('{"item": ', '{"name": ', '{"panel": '):
        text = text.replace(opening, "\n" + opening)
    return text.replace(", \n", ",\n") + "\n"


def _choices(choices: tuple[Choice, ...]) -> Record:
    return {"choices": [asdict(choice) for choice in choices]} if choices else {}


def _cloth_record(lay: ClothLay) -> Record:
    return {
        **_rules(lay.cloth),
        **_figures(lay),
        "panels": [_panel_record(panel) for panel in lay.panels],
        "placements": [_placement_record(placed) for placed in lay.placed],
    }


def _rules(cloth: Cloth) -> Record:
    return {
        "name": cloth.name,
        "width_mm": _mm(cloth.width),
        "selvedge_mm": _mm(cloth.selvedge),
        "usable_width_mm": _mm(cloth.usable_width),
        "nap": str(cloth.nap),
        "cross_grain": cloth.cross_grain,
        "gap_mm": _mm(cloth.gap),
        "end_allowance_mm": _mm(cloth.end_allowance),
        "buy_step_mm": _mm(cloth.buy_step),
        **({} if cloth.coating is Coating.NONE else {"coating": str(cloth.coating)}),
    }


def _figures(lay: ClothLay) -> Record:
    return {
        "used_length_mm": _mm(lay.used_length),
        "buy_length_mm": _mm(lay.buy_length),
        **_price(lay),
        "panel_area_mm2": round(lay.panel_area_mm2, 2),
        "efficiency": round(efficiency(lay), 6),
        "lower_bound_mm": _mm(lay.lower_bound),
        "gap_to_bound": round(gap_to_bound(lay), 6),
        "proved_optimal": lay.proved_optimal,
    }


def _price(lay: ClothLay) -> Record:
    price, cost = lay.cloth.price, lay.cost
    if price is None or cost is None:
        return {}
    return {
        "price_per_metre": float(price.amount * M / price.per),
        "cost": float(cost),
        "currency": price.currency,
    }


def _panel_record(panel: Panel) -> Record:
    free = {"any_grain": True} if panel.grain_rule is GrainRule.ANY else {}
    return {
        "panel": panel.name,
        "item": panel.item,
        "quantity": panel.copies,
        **free,
        "area_mm2": round(panel.cut.area_mm2, 2),
        "outline_mm": _ring_mm(panel.cut.points),
    }


def _placement_record(placed: PlacedPanel) -> Record:
    return {
        "panel": placed.panel.name,
        "item": placed.panel.item,
        "copy": placed.copy,
        "part": placed.part,
        "x_mm": _mm(placed.x),
        "y_mm": _mm(placed.y),
        "turn_deg": placed.turn,
        "mirrored": False,
        "outline_mm": _ring_mm(placed.outline.points),
    }


def _ring_mm(points: Iterable[tuple[int, int]]) -> list[list[float]]:
    return [[_mm(x), _mm(y)] for x, y in points]


def _mm(length: int) -> float:
    """Millimetres; a single rounded division, so the shortest text has two decimals at most."""
    return length / GRID_PER_MM
