"""The layout file: the lays of an order as a JSON record that can be verified by itself.

Lengths are millimetres and areas square millimetres with two decimals;
ratios have six. All are finite JSON numbers. If no price is known, the keys
``price_per_metre``, ``cost`` and ``currency`` are absent, so that a missing
price is not read as a price of nothing. Only a panel whose grain is free has
the key ``any_grain``, and only a coated cloth ``coating``; a panel is
``hidden`` if it says so, and of ``one_shade`` unless it says otherwise.
``choices`` holds the numbers chosen where the order says "auto"; if there are
none, the key is absent.

A cloth lists the ``pieces`` that panels lie on, each with the keys that apply
to it. Only what is bought has a length to buy, and only a piece with a price of
its own has ``price``. The figures of a cloth are the sums of its pieces.
"""

import json
from collections.abc import Iterable
from dataclasses import asdict
from typing import Any, Final

from nesting.cloth.cloth import Cloth, Coating
from nesting.cloth.stock import ClothPiece, Flaw
from nesting.layouts.lay import Again, Choice, ClothLay, OrderLay, PlacedPanel
from nesting.layouts.measures import efficiency, gap_to_bound
from nesting.panels.panel import GrainRule, Panel
from nesting.units import GRID_PER_MM, M

#: Name and version of the record.
SCHEMA: Final = "clothwright/layout/2"

Record = dict[str, Any]


def as_record(lay: OrderLay) -> Record:
    """The lays of an order as plain dictionaries, lists, text and numbers."""
    return {
        "schema": SCHEMA,
        "order": lay.order,
        "seed": lay.seed,
        **_choices(lay.choices),
        **_again(lay.again),
        "cloths": [_cloth_record(lays) for lays in lay.by_cloth],
    }


def to_json(record: Record) -> str:
    """The text of the layout file; equal records give equal text.

    Every choice, cloth, piece, panel and placement begins on a line of its own. The
    strings replaced here cannot occur inside a text, since quotes and line
    ends are escaped there.
    """
    text = json.dumps(record, ensure_ascii=False, allow_nan=False)
    for opening in ('{"item": ', '{"name": ', '{"panel": '):
        text = text.replace(opening, "\n" + opening)
    return text.replace(", \n", ",\n") + "\n"


def _choices(choices: tuple[Choice, ...]) -> Record:
    return {"choices": [asdict(choice) for choice in choices]} if choices else {}


def _again(again: Again | None) -> Record:
    if again is None:
        return {}
    reasons = (("spoiled", again.spoiled), ("moved", again.moved))
    return {"recut": [{"panel": one, "why": why} for why, labels in reasons for one in labels]}


def _cloth_record(lays: tuple[ClothLay, ...]) -> Record:
    return {
        **_rules(lays[0].cloth.as_sold),
        **_figures(lays),
        "pieces": [_piece_record(lay) for lay in lays],
        "panels": [_panel_record(panel) for panel in lays[0].panels],
        "placements": [
            _placement_record(placed, lay.on.name) for lay in lays for placed in lay.placed
        ],
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


def _figures(lays: tuple[ClothLay, ...]) -> Record:
    return {
        "used_length_mm": _mm(sum(lay.used_length for lay in lays)),
        "buy_length_mm": _mm(sum(lay.buy_length for lay in lays)),
        **_price(lays),
        "panel_area_mm2": round(sum(lay.panel_area_mm2 for lay in lays), 2),
        "efficiency": round(efficiency(*lays), 6),
        "lower_bound_mm": _mm(sum(lay.lower_bound for lay in lays)),
        "gap_to_bound": round(gap_to_bound(*lays), 6),
        "proved_optimal": all(lay.proved_optimal for lay in lays),
    }


def _price(lays: tuple[ClothLay, ...]) -> Record:
    """The price of the cloth, and the cost of all its pieces if it is known of each."""
    price, costs = lays[0].cloth.price, [lay.cost for lay in lays]
    known = [cost for cost in costs if cost is not None]
    rate = {"price_per_metre": float(price.amount * M / price.per)} if price else {}
    cost = {"cost": float(sum(known))} if len(known) == len(costs) else {}
    return {**rate, **cost, **({"currency": price.currency} if price else {})}


def _piece_record(lay: ClothLay) -> Record:
    """One piece of a cloth with those keys that apply to it."""
    piece, bought, edge = lay.on, lay.on.length is None, lay.on.outline
    return {
        "name": piece.name,
        "width_mm": _mm(piece.width),
        "length_mm": None if piece.length is None else _mm(piece.length),
        **({"selvedge_mm": _mm(piece.selvedge)} if piece.selvedge or not edge else {}),
        **_shape(piece),
        **({"shade": piece.shade} if piece.shade else {}),
        **({"flaws": [_flaw_record(flaw) for flaw in piece.flaws]} if piece.flaws else {}),
        **({"price": float(piece.price)} if piece.price is not None else {}),
        "used_length_mm": _mm(lay.used_length),
        **({"buy_length_mm": _mm(lay.buy_length)} if bought else {}),
        **({"cost": float(lay.cost)} if lay.cost is not None else {}),
    }


def _shape(piece: ClothPiece) -> Record:
    """What makes a piece another figure than a rectangle."""
    shape: Record = {}
    if piece.outline:
        shape["outline_mm"] = _ring_mm(piece.outline.points)
        shape["holes_mm"] = [_ring_mm(hole.points) for hole in piece.holes]
    if piece.widths:
        shape["widths_mm"] = _ring_mm(piece.widths)
    if piece.splices:
        shape["splices_mm"] = [_mm(x) for x in piece.splices]
    return shape


def _flaw_record(flaw: Flaw) -> Record:
    return {"outline_mm": _ring_mm(flaw.outline.points), "what": flaw.what, "minor": flaw.minor}


def _panel_record(panel: Panel) -> Record:
    free = {"any_grain": True} if panel.grain_rule is GrainRule.ANY else {}
    hidden = {"hidden": True} if panel.hidden else {}
    shades = {} if panel.one_shade else {"one_shade": False}
    return {
        "panel": panel.name,
        "item": panel.item,
        "quantity": panel.copies,
        **free,
        **hidden,
        **shades,
        "area_mm2": round(panel.cut.area_mm2, 2),
        "outline_mm": _ring_mm(panel.cut.points),
    }


def _placement_record(placed: PlacedPanel, piece: str) -> Record:
    return {
        "panel": placed.panel.name,
        "item": placed.panel.item,
        "copy": placed.copy,
        "part": placed.part,
        "piece": piece,
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
