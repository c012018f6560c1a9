"""Books lays: what was cut leaves the shelf and what is left over comes to it, all or nothing."""

import json
import sqlite3
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from nesting.cloth.stock import Flaw
from nesting.errors import Fault, WorkError
from nesting.geometry.outline import Outline
from nesting.geometry.transforms import shifted
from nesting.shelf.file import change_shelf
from nesting.shelf.journal import Movement, next_revision, note, now, today
from nesting.shelf.lay_record import LayRecord, UsedPiece
from nesting.shelf.piece import Piece, ShelfPiece
from nesting.shelf.rows import flaws_text, insert
from nesting.shelf.stocktaking import take_away, there

#: Length and width of remnants by the names of their cloth and of the piece that they come from.
Remnants = Mapping[tuple[str, str], Sequence[tuple[int, int]]]


@dataclass(frozen=True)
class Booked:
    """What a booking did to the shelf: pieces shortened (as they are now), gone, and new."""

    shortened: tuple[ShelfPiece, ...]
    gone: tuple[ShelfPiece, ...]
    new: tuple[ShelfPiece, ...]


def book(path: Path, lay: LayRecord, remnants: Remnants) -> Booked:
    """Book a lay.

    A piece of the shelf without an outline is cut off behind its last panel and
    keeps its number if what is left is long enough to stay; every other piece
    is gone. Its price falls with its length. Remnants are paid already.

    Raises
    ------
    WorkError
        When the lay is booked already, or a piece is no longer as it was when
        the lay was planned; the shelf is then as before.
    """
    with change_shelf(path) as shelf:
        booking = _begin(shelf, lay)
        taken = [(used, _piece_of(shelf, used)) for used in lay.pieces]
        faults = [_change(used, piece) for used, piece in taken if not _as_planned(used, piece)]
        if faults:
            raise WorkError(faults)
        shortened, gone, new = list[ShelfPiece](), list[ShelfPiece](), list[ShelfPiece]()
        for used, piece in taken:
            if piece and used.cut_off < used.length:
                shortened.append(_shorten(shelf, piece, used.cut_off, booking))
            elif piece:
                take_away(shelf, piece, booking)
                gone.append(piece)
            for size in remnants.get((used.cloth, used.name), ()):
                new.append(_offer(shelf, _remnant(used, piece, size), booking))
    return Booked(tuple(shortened), tuple(gone), tuple(new))


def _begin(shelf: sqlite3.Connection, lay: LayRecord) -> int:
    """The number of a new booking, unless the same lay stands booked."""
    key = (str(lay.folder), lay.digest)
    standing = "SELECT at FROM bookings WHERE folder = ? AND digest = ? AND undone IS NULL"
    booked = shelf.execute(standing, key).fetchone()
    if booked:
        remedy = "if the order is cut once more, lay it into another folder with --out"
        when = booked[0].replace("T", " ").replace("Z", " UTC")
        raise WorkError([Fault(str(lay.folder), "this lay is booked already", when, remedy)])
    found = shelf.execute(
        "INSERT INTO bookings (folder, digest, at) VALUES (?, ?, ?)", (*key, now())
    )
    return int(found.lastrowid or 0)


def _piece_of(shelf: sqlite3.Connection, used: UsedPiece) -> ShelfPiece | None:
    return there(shelf, used.on_shelf[0]) if used.on_shelf else None


def _as_planned(used: UsedPiece, piece: ShelfPiece | None) -> bool:
    """Whether a piece that comes from the shelf is there as the lay knew it."""
    if used.on_shelf is None:
        return True
    if piece is None:
        return False
    known = (used.on_shelf[1], used.cloth, used.length, used.width)
    return known == (piece.revision, piece.piece.cloth, piece.piece.length, piece.piece.width)


def _change(used: UsedPiece, piece: ShelfPiece | None) -> Fault:
    """A piece that is not as the lay knew it."""
    remedy = "lay the order again with the shelf as it is now"
    place = f"{used.name}, {used.cloth}"
    if piece is None:
        return Fault(place, "is no longer on the shelf", "", remedy)
    if used.on_shelf and piece.revision != used.on_shelf[1]:
        return Fault(
            place, "has changed since the lay was planned", f"it is {piece.name} now", remedy
        )
    rule = "is another piece than the lay was planned on"
    remedy = "check that --stock names the shelf that the order was laid with"
    return Fault(place, rule, f"here it is {piece.piece.cloth} of another size", remedy)


def _shorten(shelf: sqlite3.Connection, piece: ShelfPiece, cut: int, booking: int) -> ShelfPiece:
    """Take a length off the front of a piece."""
    old, number = piece.piece, piece.number
    rest = old.length - cut
    price = None if old.price is None else (2 * old.price * rest + old.length) // (2 * old.length)
    before = {
        "revision": piece.revision,
        "length": old.length,
        "price": old.price,
        "flaws": flaws_text(old.flaws),
    }
    flaws = [left for flaw in old.flaws if (left := _behind(flaw, cut))]
    shelf.execute(
        "UPDATE pieces SET revision = ?, length = ?, price = ?, flaws = ? WHERE number = ?",
        (next_revision(shelf, number), rest, price, flaws_text(flaws), number),
    )
    note(shelf, Movement.SHORTENED, number, booking, before)
    shortened = there(shelf, number)
    assert shortened is not None  # it was found in this transaction
    return shortened


def _behind(flaw: Flaw, cut: int) -> Flaw | None:
    """What is left of a flaw behind a cut, from which x runs anew; its box if it is cut through."""
    left, low, right, high = flaw.outline.bounds
    if right <= cut:
        return None
    if left < cut:
        return Flaw(rectangle(right - cut, high - low, low), flaw.what, flaw.minor)
    return Flaw(Outline(shifted(flaw.outline.points, -cut, 0)), flaw.what, flaw.minor)


def rectangle(length: int, width: int, low: int = 0) -> Outline:
    """A rectangle that begins at the cut end, ``low`` above the lower edge."""
    return Outline(((0, low), (length, low), (length, low + width), (0, low + width)))


def _remnant(used: UsedPiece, piece: ShelfPiece | None, size: tuple[int, int]) -> Piece:
    """A remnant as a piece; it has no selvedge, and looks like what it was cut from."""
    shade = piece.piece.shade if piece else used.shade
    return Piece(used.cloth, *size, 0, shade=shade, price=0, currency=used.currency, since=today())


def _offer(shelf: sqlite3.Connection, piece: Piece, booking: int) -> ShelfPiece:
    number = insert(shelf, piece)
    note(shelf, Movement.OFFERED, number, booking)
    return ShelfPiece(number, 1, piece)


def undo(path: Path) -> tuple[Path, int]:
    """Take the last booking back; its folder, and how many pieces changed.

    Raises
    ------
    WorkError
        When there is none, or a piece that it changed was moved again since.
    """
    with change_shelf(path) as shelf:
        last = "SELECT number, folder FROM bookings WHERE undone IS NULL ORDER BY number DESC"
        found = shelf.execute(last).fetchone()
        if not found:
            raise WorkError([Fault(str(path), "has no booking to take back")])
        booking, folder = found
        moves = shelf.execute(
            "SELECT piece, revision, what, before FROM journal WHERE booking = ? ORDER BY number",
            (booking,),
        ).fetchall()
        _must_be_last(shelf, moves, folder)
        for number, _, what, before in moves:
            old = json.loads(before) if what != Movement.OFFERED else {"there": 0}
            assignments = ", ".join(f"{column} = :{column}" for column in old)
            shelf.execute(
                f"UPDATE pieces SET {assignments} WHERE number = :number",
                {**old, "number": number},
            )
            note(shelf, Movement.UNDONE, number)
        shelf.execute("UPDATE bookings SET undone = ? WHERE number = ?", (now(), booking))
    return Path(folder), len(moves)


def _must_be_last(
    shelf: sqlite3.Connection, moves: list[tuple[int, int, str, str]], folder: str
) -> None:
    """Refuse if a piece of a booking is no longer as the booking left it."""
    faults = []
    for number, revision, what, _ in moves:
        there_now = int(what != Movement.REMOVED)
        state = shelf.execute("SELECT revision, there FROM pieces WHERE number = ?", (number,))
        if state.fetchone() != (revision, there_now):
            rule = "has been moved again since the booking, which cannot be taken back"
            faults.append(
                Fault(
                    f"piece {number}",
                    rule,
                    folder,
                    "count the shelf, and put it right with add and remove",
                )
            )
    if faults:
        raise WorkError(faults)
