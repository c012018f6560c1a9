"""Compares the pieces of cloth that a layout record names with those of its order."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

import shapely

from nesting.cloth.cloth import Cloth
from nesting.cloth.stock import BOUGHT
from nesting.tolerances import STATED_MM
from nesting.verification.cloth_piece import Piece, piece_of, roll_of
from nesting.verification.findings import Finding, Rule, finding
from nesting.verification.record_pieces import pieces_of

Json = Mapping[str, Any]

#: How the names of pieces from a shelf begin.
_SHELF: Final = "shelf "

#: What to do about a piece that is not as in the order.
_AGAIN: Final = "lay the order again, or correct it"

#: Keys of a piece in a record, and their fields here, that are one value each.
_VALUES: Final = {
    "width_mm": "width",
    "selvedge_mm": "selvedge",
    "length_mm": "length",
    "shade": "shade",
    "price": "price",
}

#: Those of them that the roll has from its cloth, whose rules are compared by themselves.
_OF_CLOTH: Final = ("width_mm", "selvedge_mm")

#: Keys and fields that are lists of numbers.
_LISTS: Final = {"widths_mm": "widths", "splices_mm": "splices"}


def check_pieces(cloth: Json, asked: Cloth, *, again: bool = False) -> Iterator[Finding]:
    """Findings about pieces that the order does not have, or has otherwise.

    A record of version 1 names none: everything lies on the roll that is bought.
    A plan made ``again`` after cutting has begun may have more flaws, and lies on
    what was bought for the first one.
    """
    stock = {piece.name: piece for piece in asked.stock}
    for found in pieces_of(cloth) or (roll_of(cloth["width_mm"], cloth["selvedge_mm"]),):
        where = f"{asked.name}, {found.name}"
        if found.is_bought and not asked.may_buy:
            yield _differs(Rule.MAY_BUY, where, "panels lie on cloth that would be bought")
        elif found.is_bought:
            yield from _piece(where, found, piece_of(asked.roll), again=again)
        elif again and found.name.startswith(BOUGHT):
            roll = piece_of(asked.roll)
            own = replace(roll, length=found.length, price=found.price)
            yield from _piece(where, found, own, again=True)
        elif found.name in stock:
            yield from _piece(where, found, piece_of(stock[found.name]), again=again)
        else:
            detail = "the order has no such piece of this cloth"
            if found.name.startswith(_SHELF):
                detail += " (a piece of a shelf, if it is still there, is known by --stock FILE)"
            yield _differs(Rule.PIECE_WANTED, where, detail)


def _differs(rule: Rule, where: str, detail: str) -> Finding:
    return finding(rule, where, f"{detail}: {_AGAIN}")


def _piece(where: str, found: Piece, asked: Piece, *, again: bool) -> Iterator[Finding]:
    if again:
        found = replace(found, spots=found.spots[: len(asked.spots)])
    for key, detail in _differences(found, asked):
        yield _differs(Rule.PIECE_AS_ORDERED, f"{where}: {key}", detail)


def _differences(found: Piece, asked: Piece) -> Iterator[tuple[str, str]]:
    """Keys of a record in which a piece differs from that of the order, and how."""
    for key, field in _VALUES.items():
        there, wanted = getattr(found, field), getattr(asked, field)
        if not _same(there, wanted) and not (found.is_bought and key in _OF_CLOTH):
            yield key, f"{_shown(there)} in the record, {_shown(wanted)} in the order"
    for key, field in _LISTS.items():
        there, wanted = getattr(found, field), getattr(asked, field)
        if there != wanted:
            yield key, f"{[*there]} in the record, {[*wanted]} in the order"
    edges = [[piece.outline] if piece.outline else [] for piece in (found, asked)]
    yield from _figures("outline_mm", *edges)
    yield from _figures("holes_mm", found.holes, asked.holes)
    spots = found.spots, asked.spots
    yield from _figures("flaws", *([spot.polygon for spot in each] for each in spots))
    for index, (there, wanted) in enumerate(zip(*spots, strict=False)):
        if (there.what, there.minor) != (wanted.what, wanted.minor):
            shown = (f"{'minor ' if s.minor else ''}flaw {s.what!a}" for s in (there, wanted))
            yield f"flaws[{index}]", "{} in the record, {} in the order".format(*shown)


def _figures(
    key: str, found: Sequence[shapely.Polygon], asked: Sequence[shapely.Polygon]
) -> Iterator[tuple[str, str]]:
    """Differences of the outlines in two lists, which have the same order."""
    if len(found) != len(asked):
        yield key, f"{len(found)} in the record, {len(asked)} in the order"
        return
    for index, (one, other) in enumerate(zip(found, asked, strict=True)):
        off = shapely.hausdorff_distance(one.exterior, other.exterior)
        if off > STATED_MM:
            yield f"{key}[{index}]", f"up to {off:.2f} mm off that of the order"


def _same(one: object, other: object) -> bool:
    if isinstance(one, float | int) and isinstance(other, float | int):
        return abs(one - other) <= STATED_MM
    return one == other


def _shown(value: object) -> str:
    if value is None or value == "":
        return "none"
    return f"{value:.10g}" if isinstance(value, float) else str(value)
