"""What the commands of the shelf show: pieces as a table, their worth, what a booking did."""

from collections import Counter
from collections.abc import Sequence
from typing import Final

from cli.screen import columns, say
from nesting.shelf.booking import Booked
from nesting.shelf.labels import size
from nesting.shelf.piece import ShelfPiece, in_money
from nesting.units import format_length

#: Most new pieces that are shown one by one.
_MOST_SHOWN: Final = 20


def tell_added(pieces: Sequence[ShelfPiece], units: str) -> None:
    """Say which pieces came to the shelf."""
    for piece in pieces[:_MOST_SHOWN]:
        say(f"{piece.name}: {piece.piece.cloth}, {size(piece, units)}")
    if len(pieces) > _MOST_SHOWN:
        say(f"and {len(pieces) - _MOST_SHOWN} more, up to {pieces[-1].name}")


def shelf_table(pieces: Sequence[ShelfPiece], units: str) -> str:
    """Pieces as a table; columns that say nothing are left out."""
    rows = [("number", "cloth", "length", "width", "", "shade", "place", "worth", "", "since")]
    for each in pieces:
        piece = each.piece
        marks = [*(["shaped"] if piece.outline else []), *(["flaws"] if piece.flaws else [])]
        priced = piece.price is not None
        rows.append((
            each.label, piece.cloth, format_length(piece.length, units),
            format_length(piece.width, units), ", ".join(marks), piece.shade, piece.place,
            str(in_money(piece.price)) if priced else "-",
            (piece.currency or "") if priced else "", piece.since,
        ))  # fmt: skip
    used = [i for i in range(len(rows[0])) if any(row[i] for row in rows[1:])]
    right = {i for i, column in enumerate(used) if column in (0, 2, 3, 7)}
    return columns(([row[i] for i in used] for row in rows), right=right)


def shelf_total(pieces: Sequence[ShelfPiece]) -> str:
    """How many pieces there are, and what they are worth in each currency."""
    worth = Counter[str]()
    for each in pieces:
        worth[each.piece.currency or ""] += each.piece.price or 0
    sums = [f"{in_money(cents)} {code}" for code, cents in sorted(worth.items()) if code and cents]
    unknown = sum(each.piece.price is None for each in pieces)
    told = [f"worth {' and '.join(sums)}" if sums else ""]
    told.append(f"{unknown} without a price" if unknown else "")
    return "; ".join([counted(len(pieces)), *filter(None, told)])


def counted(many: int) -> str:
    """A number of pieces in words."""
    return "1 piece" if many == 1 else f"{many} pieces"


def tell_booked(booked: Booked, units: str) -> None:
    """Say what a booking did, and which pieces need a new label."""
    rows = [("shorter", each) for each in booked.shortened]
    rows += [*(("gone", each) for each in booked.gone), *(("new", each) for each in booked.new)]
    table = [(what, each.label, each.piece.cloth, size(each, units)) for what, each in rows]
    say(
        columns(table) if table else "the lay took nothing from the shelf and leaves nothing for it"
    )
    labels = [each.label for each in (*booked.shortened, *booked.new)]
    if labels:
        say(f"new labels: {' '.join(labels)}")
