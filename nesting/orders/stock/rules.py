"""What must hold for a piece of cloth and for its splices, widths, price and names.

As in `nesting.orders.rules`, each rule looks only at values that are valid on
their own. Lengths in tables are millimetres.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from nesting.cloth.naming import file_name
from nesting.cloth.stock import ROLL
from nesting.errors import Fault
from nesting.orders.cloth_tables import StockTable
from nesting.orders.entries import Entry, is_misspelt
from nesting.orders.places import line_of
from nesting.units import format_length, to_grid

#: Most characters of a file's name, of the 255 that file systems allow.
_LONGEST_FILE: Final = 200

_CHECK: Final = "check the numbers and their units"
_BOX: Final = ("length", "width", "widths")


def form_faults(piece: Entry) -> Iterator[Fault]:
    """A piece has a length or an outline; what does not go with them."""
    if "outline" in piece.table:
        for key in _BOX:
            if key in piece.table:
                rule = "does not go with an outline, which says how large the piece is"
                yield piece.fault(key, rule, "take one of the two out")
    elif "length" not in piece.table and not any(
        is_misspelt(piece, StockTable, key) for key in ("length", "outline")
    ):
        remedy = 'add length = "3.2 m", or the outline of the piece'
        yield piece.fault("length", "is missing: a piece has a length or an outline", remedy)
    if piece.sound.get("unit") and not isinstance(piece.table.get("outline"), str):
        yield piece.fault("unit", "has no effect without a drawing", "take it out")


def size_faults(piece: Entry, cloth: Entry, units: str) -> Iterator[Fault]:
    """A piece without an outline that leaves no cloth between its ends or selvedges."""
    length, end = piece.sound.get("length"), cloth.sound.get("end_allowance")
    if length and end and to_grid(length) - 2 * to_grid(end) < 1:
        rule = f"must be longer than both end allowances of {_shown(end, units)}"
        yield piece.fault("length", rule, _CHECK)
    widths = [width for width in (width_of(piece, cloth), *_each_width(piece)) if width is not None]
    if widths and any(key in piece.table for key in ("selvedge", "width", "widths")):
        yield from _selvedge_faults(piece, min(widths), selvedge_of(piece, cloth), units)


def outline_faults(
    piece: Entry, bounds_mm: tuple[float, float, float, float], units: str
) -> Iterator[Fault]:
    """An outline that is narrower than its selvedges."""
    width = bounds_mm[3] - bounds_mm[1]
    yield from _selvedge_faults(piece, width, piece.sound.get("selvedge"), units)


def _selvedge_faults(
    piece: Entry, width: float, selvedge: float | None, units: str
) -> Iterator[Fault]:
    if selvedge and to_grid(width) - 2 * to_grid(selvedge) < 1:
        found = f"{_shown(width, units)} wide, each selvedge {_shown(selvedge, units)}"
        rule = f"must leave some cloth between both selvedges: the piece is {found}"
        key = next(key for key in ("selvedge", "width", "widths") if key in piece.table)
        yield piece.fault(key, rule, "give the selvedge of one edge, and " + _CHECK)


def width_of(piece: Entry, cloth: Entry) -> float | None:
    """Its own width or that of the cloth; None if it is unknown."""
    found: float | None = piece.sound.get("width", cloth.sound.get("width"))
    return cloth.sound.get("width") if found is None else found


def selvedge_of(piece: Entry, cloth: Entry) -> float | None:
    """Its own selvedge, none for an outline, or that of the cloth; None if it is unknown."""
    if "selvedge" in piece.table:
        return piece.sound.get("selvedge")
    return 0.0 if "outline" in piece.table else cloth.sound.get("selvedge")


def width_faults(piece: Entry, cloth: Entry, units: str) -> Iterator[Fault]:
    """Measured widths out of order, beyond the piece, or wider than it."""
    measured = _widths(piece)
    if any(b <= a for (a, _), (b, _) in pairwise(measured)):
        yield piece.fault("widths", "must go along the piece, each place once", "put them in order")
    length, width = piece.sound.get("length"), width_of(piece, cloth)
    beyond = [at for at, _ in measured if length is not None and at > length]
    if beyond:
        rule = f"{_shown(beyond[0], units)} along is beyond the piece, which is "
        yield piece.fault("widths", rule + f"{_shown(length or 0, units)} long", _CHECK)
    wide = [each for _, each in measured if width is not None and to_grid(each) > to_grid(width)]
    if wide:
        rule = f"{_shown(wide[0], units)} is wider than the piece, which is "
        yield piece.fault("widths", rule + f"{_shown(width or 0, units)} wide", _CHECK)


def _each_width(piece: Entry) -> Iterator[float]:
    return (width for _, width in _widths(piece))


def _widths(piece: Entry) -> Sequence[tuple[float, float]]:
    """The widths that are measured, if the piece may have any."""
    return () if "outline" in piece.table else piece.sound.get("widths") or ()


def splice_faults(piece: Entry, ends: tuple[float, float] | None, units: str) -> Iterator[Fault]:
    """Splices out of order, or not between the ``ends`` of the piece."""
    splices = piece.sound.get("splices") or ()
    if any(b <= a for a, b in pairwise(splices)):
        yield piece.fault("splices", "must go along the piece, each once", "put them in order")
    beyond = [at for at in splices if ends and not ends[0] < at < ends[1]]
    if beyond and ends:
        where = f"from {_shown(ends[0], units)} to {_shown(ends[1], units)}"
        rule = f"must lie between the ends of the piece, which goes {where}"
        yield piece.fault("splices", f"{_shown(beyond[0], units)} {rule}", _CHECK)


def price_faults(piece: Entry, cloth: Entry) -> Iterator[Fault]:
    """A price in no currency; one that lacks beside the cloth's price is reported there."""
    said = ("currency", "price_per_metre", "price_per_yard")
    if "price" in piece.table and not any(key in cloth.table for key in said):
        remedy = 'add price_per_metre or price_per_yard to the cloth, and currency = "EUR" or like'
        yield piece.fault("price", "has no currency: the cloth does not name one", remedy)


def buying_faults(cloth: Entry, stock: Sequence[Entry]) -> Iterator[Fault]:
    """Nothing to cut from, and flaws on a roll that is never bought."""
    if cloth.sound.get("may_buy") is False:
        if not cloth.table.get("stock"):
            remedy = "add what is there under [[cloth.stock]], or take may_buy out"
            yield cloth.fault("may_buy", "leaves nothing to cut from without stock", remedy)
        elif stock and cloth.table.get("flaw"):
            rule = "has no effect: it is on the roll that is bought, and may_buy is false"
            remedy = "write flaws of a piece as [[cloth.stock.flaw]] below it"
            yield cloth.fault("flaw", rule, remedy, "")


def name_faults(cloths: Sequence[Entry], pieces: Sequence[Sequence[Entry]]) -> Iterator[Fault]:
    """Pieces of one name, or whose files would have the name of another's.

    The files of a piece are named after the cloth and the piece.
    """
    named = [each for each in zip(cloths, pieces, strict=True) if "name" in each[0].sound]
    seen: dict[str, Entry] = {}
    for cloth, _ in named:
        seen.setdefault(file_name(cloth.sound["name"]), cloth)
    for cloth, stock in named:
        first = seen.setdefault(_files(cloth, ROLL), cloth) if stock else cloth
        if first is not cloth:
            yield cloth.fault("name", *_one_file(_files(cloth, ROLL), first))
        for piece in stock:
            if "name" in piece.sound:
                yield from _name_faults(piece, cloth, seen)


def _name_faults(piece: Entry, cloth: Entry, seen: dict[str, Entry]) -> Iterator[Fault]:
    name = piece.sound["name"]
    files = _files(cloth, name)
    first = seen.setdefault(files, piece)
    if len(files) > _LONGEST_FILE:
        rule = f"its files are named after cloth and piece, in {len(files)} characters, and"
        rule += f" may have {_LONGEST_FILE}"
        yield piece.fault("name", rule, "write shorter names")
    elif first is piece:
        return
    elif file_name(name) == ROLL:
        rule = f'"{ROLL}" is the name of the cloth that is bought'
        yield piece.fault("name", rule, "give the piece another name")
    elif first.sound["name"] == name and first.path[:2] == piece.path[:2]:
        rule = f"the name is taken by {_where(first)}"
        yield piece.fault("name", rule, "give each its own name")
    else:
        yield piece.fault("name", *_one_file(files, first))


def _one_file(files: str, first: Entry) -> tuple[str, str]:
    rule = f"its files would have the same name, {files}, as those of {_where(first)}"
    return rule, "let the names differ in a letter or a digit"


def _files(cloth: Entry, piece: str) -> str:
    return file_name(f"{cloth.sound['name']}-{piece}")


def _where(entry: Entry) -> str:
    line = line_of(entry.lines, (*entry.path, "name"))
    return f"{entry.title} on line {line}" if line else entry.title


def _shown(length_mm: float, units: str) -> str:
    return format_length(to_grid(length_mm), units)
