"""A lay read back from its record, with the panels that its order makes."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from nesting.cloth.cloth import Cloth
from nesting.cloth.stock import ClothPiece, Flaw
from nesting.geometry.outline import Outline
from nesting.layouts.lay import Choice, ClothLay, PlacedPanel
from nesting.orders.order import Order
from nesting.planning.cloth_panels import ClothPanels
from nesting.planning.order_panels import OrderPanels, make_order
from nesting.units import to_grid

Json = Mapping[str, Any]


def panels_of_record(record: Json, order: Order) -> OrderPanels:
    """The panels of an order, made with the choices of a record."""
    return make_order(order, (Choice(**choice) for choice in record.get("choices", ())))


def pieces_of_record(cloth: Json) -> tuple[ClothPiece, ...]:
    """The pieces that a record of version 2 names for one of its cloths."""
    return tuple(map(_piece, cloth["pieces"]))


def lays_of_record(cloth: Json, cut: ClothPanels) -> tuple[ClothLay, ...]:
    """The lays of one cloth of a record of version 2, which has been checked against its order."""
    known = {(panel.item, panel.name): panel for panel in cut.panels}
    lays = []
    for piece in pieces_of_record(cloth):
        placed = tuple(
            PlacedPanel(
                known[entry["item"], entry["panel"]],
                entry["copy"],
                entry["part"],
                round(entry["turn_deg"]),
                to_grid(entry["x_mm"]),
                to_grid(entry["y_mm"]),
            )
            for entry in cloth["placements"]
            if entry["piece"] == piece.name
        )
        bound, proved = to_grid(cloth["lower_bound_mm"]), cloth["proved_optimal"]
        lays.append(ClothLay(cut.cloth.on(piece), cut.panels, placed, bound, proved, piece))
    if len(lays) > 1:
        return tuple(map(_bounded_by_itself, lays))
    return tuple(lays)


def with_pieces_of_shelf(order: Order, record: Json, shelf: str) -> Order:
    """The order with those pieces of a record that came from a shelf, by how their names begin."""
    recorded = {cloth["name"]: pieces_of_record(cloth) for cloth in record["cloths"]}

    def more(cloth: Cloth) -> Iterator[ClothPiece]:
        here = {piece.name for piece in cloth.stock}
        for piece in recorded.get(cloth.name, ()):
            if piece.name.startswith(shelf) and piece.name not in here:
                yield piece

    cloths = (replace(cloth, stock=(*cloth.stock, *more(cloth))) for cloth in order.cloths)
    return replace(order, cloths=tuple(cloths))


def _bounded_by_itself(lay: ClothLay) -> ClothLay:
    """The lay of one piece of several, with a bound from the area of its own panels."""
    area2 = sum(placed.panel.cut.area2 for placed in lay.placed)
    bound = -(-area2 // (2 * lay.cloth.usable_width))
    return replace(lay, lower_bound=bound, proved_optimal=False)


def _piece(entry: Json) -> ClothPiece:
    length, price = entry["length_mm"], entry.get("price")
    return ClothPiece(
        name=entry["name"],
        width=to_grid(entry["width_mm"]),
        length=None if length is None else to_grid(length),
        selvedge=to_grid(entry.get("selvedge_mm") or 0),
        outline=_outline(entry["outline_mm"]) if entry.get("outline_mm") else None,
        holes=tuple(map(_outline, entry.get("holes_mm") or ())),
        widths=tuple((to_grid(x), to_grid(width)) for x, width in entry.get("widths_mm") or ()),
        splices=tuple(map(to_grid, entry.get("splices_mm") or ())),
        shade=entry.get("shade") or "",
        price=None if price is None else Decimal(str(price)),
        flaws=tuple(
            Flaw(_outline(flaw["outline_mm"]), flaw["what"], flaw["minor"])
            for flaw in entry.get("flaws") or ()
        ),
    )


def _outline(ring: Sequence[Sequence[float]]) -> Outline:
    return Outline(tuple((to_grid(x), to_grid(y)) for x, y in ring))
