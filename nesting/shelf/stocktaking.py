"""What comes to the shelf, what leaves it by hand, and what is there."""

import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from nesting.cloth.cloth import Cloth
from nesting.cloth.stock import ClothPiece
from nesting.errors import Fault, OrderError, WorkError, written
from nesting.shelf.file import change_shelf, create_shelf, read_shelf
from nesting.shelf.journal import Movement, next_revision, note
from nesting.shelf.piece import Piece, ShelfPiece
from nesting.shelf.rows import SELECT, insert, shelf_piece


@dataclass(frozen=True)
class Wanted:
    """Which pieces to show; empty text and 0 ask for nothing."""

    cloth: str = ""
    shade: str = ""
    place: str = ""
    at_least: int = 0


def add(path: Path, pieces: Iterable[Piece]) -> tuple[ShelfPiece, ...]:
    """Put pieces on a shelf, all or none; a new one is created if the file is not there.

    Raises
    ------
    AccessError
        When it cannot be written.
    OrderError
        When the file is no shelf.
    """
    create_shelf(path)
    with change_shelf(path) as shelf:
        added = []
        for piece in pieces:
            number = insert(shelf, piece)
            note(shelf, Movement.ADDED, number)
            added.append(ShelfPiece(number, 1, piece))
    return tuple(added)


def remove(path: Path, labels: Iterable[tuple[int, int | None]]) -> tuple[ShelfPiece, ...]:
    """Take pieces off the shelf, all or none, by number and, if it is known, revision.

    Raises
    ------
    WorkError
        When one of them is not on the shelf, or has another revision.
    """
    with change_shelf(path) as shelf:
        found, faults = list[ShelfPiece](), list[Fault]()
        for number, revision in labels:
            piece = there(shelf, number)
            if piece is None:
                faults.append(Fault(f"piece {number}", "is not on the shelf", "", _LIST))
            elif revision not in (None, piece.revision):
                rule = f"has changed since label {number}.{revision}"
                faults.append(Fault(f"piece {number}", rule, f"it is {piece.label} now", _LIST))
            else:
                found.append(piece)
        if faults:
            raise WorkError(faults)
        for piece in found:
            take_away(shelf, piece)
    return tuple(found)


#: Most pieces of a cloth that an order is offered, the largest: a plan uses few of them.
_OFFERED = 60

_LIST = "clothwright stock list shows what is there"


def take_away(shelf: sqlite3.Connection, piece: ShelfPiece, booking: int | None = None) -> None:
    """Take a piece off the shelf."""
    before = {"revision": piece.revision, "there": 1}
    values = (next_revision(shelf, piece.number), piece.number)
    shelf.execute("UPDATE pieces SET there = 0, revision = ? WHERE number = ?", values)
    note(shelf, Movement.REMOVED, piece.number, booking, before)


def there(shelf: sqlite3.Connection, number: int) -> ShelfPiece | None:
    """The piece with a number, if it is on the shelf."""
    row = shelf.execute(f"{SELECT} WHERE pieces.number = ? AND there = 1", (number,)).fetchone()
    return shelf_piece(row) if row else None


def find(path: Path, wanted: Wanted = Wanted()) -> tuple[ShelfPiece, ...]:
    """The pieces on a shelf, in the order of their cloths and numbers.

    Raises
    ------
    OrderError
        When the shelf has never had the cloth.
    """
    with read_shelf(path) as shelf:
        if wanted.cloth:
            _must_know(shelf, wanted.cloth)
        where = "there = 1 AND length >= :at_least"
        for key in ("cloth", "shade", "place"):
            if getattr(wanted, key):
                where += f" AND {'cloths.name' if key == 'cloth' else key} = :{key}"
        rows = shelf.execute(
            f"{SELECT} WHERE {where} ORDER BY cloths.name, pieces.number", vars(wanted)
        )
        return tuple(map(shelf_piece, rows))


def _must_know(shelf: sqlite3.Connection, cloth: str) -> None:
    from nesting.orders.values import nearest  # noqa: PLC0415 - only for a wrong name

    names = [name for (name,) in shelf.execute("SELECT name FROM cloths ORDER BY name")]
    if cloth not in names:
        listed = ", ".join(map(written, names[:20])) + (" and others" if len(names) > 20 else "")
        remedy = nearest(cloth, names) or f"the shelf has {listed or 'none yet'}"
        raise OrderError([Fault("--cloth", "no piece has ever been of it", written(cloth), remedy)])


def offered(path: Path, cloths: Sequence[Cloth]) -> dict[str, tuple[ClothPiece, ...]]:
    """What is on a shelf of each of some cloths, by name, for an order that may use it.

    A piece is named as in `ShelfPiece.name`. Pieces that are no wider than
    their selvedges are left out, and so are all but the 60 largest of a cloth.

    Raises
    ------
    OrderError
        When the price of a piece is in another currency than that of its cloth.
    """
    with read_shelf(path) as shelf:
        found = {cloth.name: _of(shelf, cloth) for cloth in cloths}
    faults = [
        _currency_fault(piece, cloth)
        for cloth in cloths
        for piece in found[cloth.name]
        if piece.piece.price and cloth.price and piece.piece.currency != cloth.price.currency
    ]
    if faults:
        raise OrderError(faults)
    return {cloth.name: _usable(found[cloth.name], cloth) for cloth in cloths}


def _of(shelf: sqlite3.Connection, cloth: Cloth) -> tuple[ShelfPiece, ...]:
    question = f"{SELECT} WHERE there = 1 AND cloths.name = ? ORDER BY pieces.number"
    return tuple(map(shelf_piece, shelf.execute(question, (cloth.name,))))


def _usable(pieces: Iterable[ShelfPiece], cloth: Cloth) -> tuple[ClothPiece, ...]:
    known = (piece.cloth_piece(cloth.selvedge) for piece in pieces)
    usable = [piece for piece in known if piece.width > 2 * piece.selvedge]
    largest = sorted(usable, key=lambda piece: -(piece.length or 0) * piece.width)[:_OFFERED]
    names = {piece.name for piece in largest}
    return tuple(piece for piece in usable if piece.name in names)


def _currency_fault(piece: ShelfPiece, cloth: Cloth) -> Fault:
    asked = cloth.price.currency if cloth.price else ""
    rule = f"must have its price in {asked}, as its cloth in the order"
    remedy = "remove the piece and add it with that currency, or change the order"
    return Fault(f"{piece.name}, {cloth.name}", rule, str(piece.piece.currency), remedy)
