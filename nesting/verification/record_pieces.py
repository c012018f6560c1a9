"""Reads the pieces of cloth that a layout record names."""

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

import shapely

from nesting.cloth.stock import ROLL
from nesting.errors import Fault
from nesting.tolerances import STATED_MM
from nesting.verification.cloth_piece import Piece, Spot

Json = Mapping[str, Any]


def pieces_of(cloth: Json) -> tuple[Piece, ...]:
    """The pieces of a cloth; none in version 1, where everything lies on a roll."""
    return tuple(map(_piece, cloth.get("pieces", ())))


def piece_faults(cloth: Json, place: str) -> Iterator[Fault]:
    """Faults of the pieces of one cloth that no key shows alone."""
    names = Counter(piece["name"] for piece in cloth["pieces"])
    if not names:
        yield Fault(f"{place}.pieces", "must have at least one piece")
    for name in (name for name, count in names.items() if count > 1):
        yield Fault(f"{place}.pieces", "must not give two pieces the same name", ascii(name))
    for index, piece in enumerate(cloth["pieces"]):
        yield from _contradictions(piece, f"{place}.pieces[{index}]")
    for index, entry in enumerate(cloth["placements"]):
        if entry["piece"] not in names:
            rule = "must be the name of a piece of its cloth"
            yield Fault(f"{place}.placements[{index}].piece", rule, ascii(entry["piece"]))


def _contradictions(piece: Json, place: str) -> Iterator[Fault]:
    bought = piece["length_mm"] is None
    if bought is not (piece["name"] == ROLL):
        rule = f'must be null for the piece named "{ROLL}", which is bought, and for no other'
        yield Fault(f"{place}.length_mm", rule, str(piece["length_mm"]))
    if bought and piece.get("buy_length_mm") is None:
        yield Fault(f"{place}.buy_length_mm", "is missing")
    if not bought and piece.get("buy_length_mm") is not None:
        rule = "applies only to the roll that is bought"
        yield Fault(f"{place}.buy_length_mm", rule, str(piece["buy_length_mm"]))
    if 2 * (piece.get("selvedge_mm") or 0) >= piece["width_mm"]:
        rule = "must leave usable cloth between them"
        yield Fault(f"{place}.selvedge_mm", rule, str(piece["selvedge_mm"]))
    yield from _outside(piece, place)


def _outside(piece: Json, place: str) -> Iterator[Fault]:
    """Faults of an edge that is not as long and wide as its piece, and of holes outside it."""
    if piece.get("outline_mm") is None:
        if piece.get("holes_mm"):
            yield Fault(f"{place}.holes_mm", "applies only to a piece with an outline")
        return
    edge = shapely.Polygon(piece["outline_mm"])
    box = (0.0, 0.0, piece["length_mm"] or 0.0, piece["width_mm"])
    if any(abs(one - other) > STATED_MM for one, other in zip(edge.bounds, box, strict=True)):
        rule = "must begin at (0, 0) and be as long and wide as its piece"
        least_x, least_y, most_x, most_y = edge.bounds
        found = f"from ({least_x:.2f}, {least_y:.2f}) to ({most_x:.2f}, {most_y:.2f})"
        yield Fault(f"{place}.outline_mm", rule, found)
    around = edge.buffer(STATED_MM, join_style="mitre")
    for index, hole in enumerate(piece.get("holes_mm") or ()):
        if not around.covers(shapely.Polygon(hole)):
            yield Fault(f"{place}.holes_mm[{index}]", "must lie inside the outline")


def _piece(piece: Json) -> Piece:
    edge = piece.get("outline_mm")
    return Piece(
        name=piece["name"],
        width=piece["width_mm"],
        length=piece["length_mm"],
        selvedge=piece.get("selvedge_mm") or 0.0,
        outline=None if edge is None else shapely.Polygon(edge),
        holes=tuple(map(shapely.Polygon, piece.get("holes_mm") or ())),
        widths=tuple((x, width) for x, width in piece.get("widths_mm") or ()),
        splices=tuple(piece.get("splices_mm") or ()),
        shade=piece.get("shade") or "",
        price=piece.get("price"),
        spots=tuple(map(_spot, piece.get("flaws") or ())),
    )


def _spot(flaw: Json) -> Spot:
    return Spot(shapely.Polygon(flaw["outline_mm"]), flaw["what"], flaw["minor"])
