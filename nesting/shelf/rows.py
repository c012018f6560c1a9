"""Pieces as rows of the tables, and back."""

import json
import sqlite3
from collections.abc import Iterable
from typing import Any, Final

from nesting.cloth.stock import Flaw
from nesting.geometry.outline import Outline
from nesting.shelf.piece import Piece, ShelfPiece

#: The beginning of every question for pieces; `shelf_piece` reads its rows.
SELECT: Final = """SELECT pieces.number, pieces.revision, cloths.name, length, width, selvedge,
    outline, holes, flaws, shade, place, price, currency, since
    FROM pieces JOIN cloths ON cloths.number = pieces.cloth"""


def shelf_piece(row: tuple[Any, ...]) -> ShelfPiece:
    """The piece of a row that begins with the columns of `SELECT`."""
    number, revision, cloth, length, width, selvedge, *others = row
    outline, holes, flaws, shade, place, price, currency, since = others
    piece = Piece(
        cloth,
        length,
        width,
        selvedge,
        _outline(json.loads(outline)) if outline else None,
        tuple(_outline(ring) for ring in _list(holes)),
        tuple(
            Flaw(_outline(flaw["outline"]), flaw["what"], flaw["minor"]) for flaw in _list(flaws)
        ),
        shade,
        place,
        price,
        currency,
        since,
    )
    return ShelfPiece(number, revision, piece)


def insert(shelf: sqlite3.Connection, piece: Piece) -> int:
    """Store a new piece, and its cloth if that is new; its number."""
    name = (piece.cloth,)
    shelf.execute("INSERT INTO cloths (name) VALUES (?) ON CONFLICT DO NOTHING", name)
    cloth = shelf.execute("SELECT number FROM cloths WHERE name = ?", name).fetchone()[0]
    values = {
        "cloth": cloth,
        "length": piece.length,
        "width": piece.width,
        "selvedge": piece.selvedge,
        "outline": json.dumps(piece.outline.points) if piece.outline else None,
        "holes": json.dumps([hole.points for hole in piece.holes]),
        "flaws": flaws_text(piece.flaws),
        "shade": piece.shade,
        "place": piece.place,
        "price": piece.price,
        "currency": piece.currency,
        "since": piece.since,
    }
    marks = ", ".join(f":{key}" for key in values)
    found = shelf.execute(f"INSERT INTO pieces ({', '.join(values)}) VALUES ({marks})", values)
    return int(found.lastrowid or 0)


def flaws_text(flaws: Iterable[Flaw]) -> str:
    """Flaws as they are stored."""
    return json.dumps(
        [{"outline": each.outline.points, "what": each.what, "minor": each.minor} for each in flaws]
    )


def _list(text: str) -> list[Any]:
    return [] if text == "[]" else list(json.loads(text))


def _outline(ring: Iterable[Iterable[int]]) -> Outline:
    return Outline(tuple((x, y) for x, y in ring))
