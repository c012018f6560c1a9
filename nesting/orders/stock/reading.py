"""Reads the stock and the flaws of one cloth, with everything that is wrong with them."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from nesting.cloth.stock import ClothPiece, Flaw
from nesting.errors import Fault, OrderError
from nesting.orders.cloth_tables import MOST_FLAWS, MOST_PIECES, FlawTable, StockTable
from nesting.orders.entries import Entry, read_entry, read_nested
from nesting.orders.stock import flaws, rules
from nesting.orders.stock.flaws import Extent
from nesting.sentences import Sentence, in_unit
from nesting.units import to_grid

if TYPE_CHECKING:
    from nesting.orders.stock.drawn import DrawnPiece


@dataclass(frozen=True)
class _Piece:
    """One ``[[cloth.stock]]`` table, its flaws, and its outline if it has a sound one."""

    table: Entry
    flaws: tuple[Entry, ...]
    drawn: "DrawnPiece | None"


@dataclass(frozen=True)
class Stock:
    """The tables of what is there of a cloth and of the flaws of its roll, as they were read."""

    cloth: Entry
    flaws: tuple[Entry, ...]
    pieces: tuple[_Piece, ...]

    @property
    def tables(self) -> list[Entry]:
        """The table of each piece."""
        return [piece.table for piece in self.pieces]

    def roll_flaws(self) -> tuple[Flaw, ...]:
        """The flaws of the roll that is bought, if all tables are sound."""
        return tuple(flaws.flaw_of(flaw) for flaw in self.flaws)

    def cloth_pieces(self) -> tuple[ClothPiece, ...]:
        """The pieces that are there, if all tables are sound."""
        return tuple(_cloth_piece(piece, self.cloth) for piece in self.pieces)


def read_stock(cloth: Entry, units: str | None, folder: Path) -> tuple[Stock, list[Fault]]:
    """Read the nested tables of a cloth whose own table is read, and judge them.

    Paths of drawings are relative to ``folder``.
    """
    on_roll, faults = _read_flaws(cloth, units)
    tables, wrong = read_nested(cloth, "stock", MOST_PIECES)
    faults += wrong
    faults += rules.buying_faults(cloth, tables)
    width = cloth.sound.get("width")
    if units and width:
        roll = Extent(cloth.sound.get("roll_length"), width)
        faults += _flaw_faults(on_roll, roll, units)
    pieces = []
    for table in tables:
        piece, wrong = _read_piece(table, cloth, units, folder)
        pieces.append(piece)
        faults += wrong
    return Stock(cloth, tuple(on_roll), tuple(pieces)), faults


def _read_piece(
    table: Entry, cloth: Entry, units: str | None, folder: Path
) -> tuple[_Piece, list[Fault]]:
    faults = read_entry(table, StockTable, units, folder)
    faults += [*rules.form_faults(table), *rules.price_faults(table, cloth)]
    on_piece, wrong = _read_flaws(table, units)
    faults += wrong
    drawn = None
    if units:
        try:
            drawn = _drawn(table)
        except OrderError as error:
            faults += [_of_the_outline(table, fault, units) for fault in error.faults]
        faults += _piece_faults(table, cloth, drawn, units)
        where = drawn or _extent(table, cloth)
        faults += _flaw_faults(on_piece, where, units) if where else []
    return _Piece(table, tuple(on_piece), drawn), faults


def _read_flaws(table: Entry, units: str | None) -> tuple[list[Entry], list[Fault]]:
    entries, faults = read_nested(table, "flaw", MOST_FLAWS)
    for flaw in entries:
        faults += [*read_entry(flaw, FlawTable, units), *flaws.form_faults(flaw)]
    return entries, faults


def _drawn(table: Entry) -> "DrawnPiece | None":
    """The outline that a table gives or names; raises an `OrderError` if it is none."""
    outline = table.sound.get("outline")
    if outline is None:
        return None
    from nesting.orders.stock import drawn  # noqa: PLC0415 - most orders need no geometry

    if isinstance(outline, Path):
        return drawn.drawn_in_file(outline, table.sound.get("unit"))
    return drawn.drawn_by_points(outline)


def _of_the_outline(table: Entry, fault: Fault, units: str) -> Fault:
    """A fault of an outline, reported for the key that gives or names it."""
    rule = Sentence("{}: {}", (fault.place, fault.rule)) if fault.place else fault.rule
    if fault.value:
        rule = Sentence("{}: {}", (rule, fault.value))
    return table.fault("outline", in_unit(rule, units), in_unit(fault.remedy, units))


def _piece_faults(
    table: Entry, cloth: Entry, drawn: "DrawnPiece | None", units: str
) -> Iterator[Fault]:
    if drawn:
        left, _, right, _ = drawn.bounds_mm
        yield from rules.outline_faults(table, drawn.bounds_mm, units)
        yield from rules.splice_faults(table, (left, right), units)
    elif "outline" not in table.table:
        length = table.sound.get("length")
        yield from rules.size_faults(table, cloth, units)
        yield from rules.width_faults(table, cloth, units)
        yield from rules.splice_faults(table, (0.0, length) if length else None, units)


def _extent(table: Entry, cloth: Entry) -> Extent | None:
    """Where flaws may lie on a piece without an outline; None if its size is unknown."""
    length, width = table.sound.get("length"), rules.width_of(table, cloth)
    return Extent(length, width) if length and width and "outline" not in table.table else None


def _flaw_faults(entries: list[Entry], on: "Extent | DrawnPiece", units: str) -> Iterator[Fault]:
    """Flaws off their piece; those whose own form is wrong are reported already."""
    for flaw in entries:
        keys = ("outline",) if "outline" in flaw.table else ("at", "size")
        if all(flaw.sound.get(key) for key in keys) and not any(flaws.form_faults(flaw)):
            yield from flaws.place_faults(flaw, on, units)


def _cloth_piece(piece: _Piece, cloth: Entry) -> ClothPiece:
    """The piece of sound tables, on the grid."""
    sound, drawn = piece.table.sound, piece.drawn
    edge, holes = drawn.on_grid if drawn else (None, ())
    outline = drawn.at_origin(edge) if drawn and edge else None
    start = drawn.origin[0] if drawn else 0
    return ClothPiece(
        name=sound["name"],
        width=outline.height if outline else to_grid(rules.width_of(piece.table, cloth) or 0),
        length=outline.length if outline else to_grid(sound["length"]),
        selvedge=to_grid(rules.selvedge_of(piece.table, cloth) or 0),
        outline=outline,
        holes=tuple(drawn.at_origin(hole) for hole in holes) if drawn else (),
        widths=tuple((to_grid(at), to_grid(wide)) for at, wide in sound["widths"] or ()),
        splices=tuple(to_grid(at) - start for at in sound["splices"] or ()),
        shade=sound["shade"],
        price=sound["price"],
        flaws=tuple(flaws.flaw_of(flaw, drawn) for flaw in piece.flaws),
    )
