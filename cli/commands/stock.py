"""``stock``: rolls and remnants on the shelf."""

import re
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Final

import typer

from cli.new_file import write_new
from cli.options import Json, Quiet, read_length, read_units
from cli.reading import about
from cli.screen import ExitStatus, json_text, say
from nesting.errors import Fault, OrderError, WorkError, written

if TYPE_CHECKING:
    from collections.abc import Sequence

    from nesting.shelf.piece import Piece, ShelfPiece
    from nesting.shelf.stocktaking import Wanted

stock = typer.Typer(
    help="Rolls and remnants on the shelf.",
    no_args_is_help=True,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)

Shelf = Annotated[
    Path, typer.Option("--stock", metavar="FILE", help="The file that the shelf is kept in.")
]
Units = Annotated[
    str,
    typer.Option(
        "--units",
        metavar="UNIT",
        help="Unit of lengths without one, and of those shown: mm, cm, in.",
    ),
]
Numbers = Annotated[
    list[str] | None,
    typer.Argument(metavar="NUMBER...", help="Pieces by number, as on their labels: 17 or 17.2."),
]
OfCloth = Annotated[
    str | None, typer.Option("--cloth", metavar="NAME", help="Only pieces of this cloth.")
]

_LABEL: Final = re.compile(r"(?:shelf )?([1-9][0-9]{0,11})(?:\.([1-9][0-9]{0,11}))?")


def _described(metavar: str, text: str) -> Any:
    return typer.Option(metavar=metavar, help=text)


@stock.command("add")
def add_pieces(
    shelf: Shelf,
    file: Annotated[
        Path | None,
        typer.Argument(metavar="FILE.csv", help="Many pieces: a table with a first row of names."),
    ] = None,
    *,
    cloth: Annotated[str | None, _described("NAME", "The cloth, as orders call it.")] = None,
    length: Annotated[str | None, _described("L", "Along the roll.")] = None,
    width: Annotated[str | None, _described("W", "Across it, selvedges included.")] = None,
    selvedge: Annotated[
        str | None, _described("S", "Of one edge.  [default: the cloth's in the order]")
    ] = None,
    shade: Annotated[str | None, _described("TEXT", "Shade lot.")] = None,
    place: Annotated[str | None, _described("TEXT", "Where it lies.")] = None,
    price: Annotated[
        str | None, _described("N", "Of the whole piece; 0 if it is paid already.")
    ] = None,
    currency: Annotated[str | None, _described("CODE", "Three letters (ISO 4217).")] = None,
    outline: Annotated[
        str | None, _described("FILE", "DXF or SVG drawing of an offcut or a hide, with its holes.")
    ] = None,
    drawing_unit: Annotated[
        str | None, _described("UNIT", "Of a drawing that states none: mm, cm, m or in.")
    ] = None,
    flaw: Annotated[
        list[str] | None,
        _described("LENGTHS", '"AT ALONG, AT ACROSS, ALONG, ACROSS" (repeatable).'),
    ] = None,
    since: Annotated[str | None, _described("DAY", "When it came.  [default: today]")] = None,
    units: Units = "cm",
    quiet: Quiet = False,
) -> ExitStatus:
    """Put a piece on the shelf, or all pieces of a table.

    The shelf's file is created if it is not there. A table has the columns
    cloth, length, width, selvedge, shade, place, price, currency, outline,
    drawing-unit, flaw and since, in any order; those that say nothing may be left out. If anything
    is wrong with one row, nothing is added.
    """
    said = {
        "cloth": cloth, "length": length, "width": width, "selvedge": selvedge, "shade": shade,
        "place": place, "price": price, "currency": currency, "outline": outline,
        "drawing-unit": drawing_unit, "flaw": ";".join(flaw) if flaw else None, "since": since,
    }  # fmt: skip
    given = {key: value for key, value in said.items() if value is not None}
    pieces = _pieces(file, given, read_units(units))
    from nesting.shelf.stocktaking import add

    added = add(shelf, pieces)
    if not quiet:
        from cli.shelf_lists import tell_added

        tell_added(added, units)
    return ExitStatus.DONE


def _pieces(file: Path | None, given: dict[str, str], unit: str) -> "tuple[Piece, ...]":
    if file is not None:
        if given:
            rule = "does not go with a table, which describes its pieces"
            faults = [
                Fault(f"--{key}", rule, written(value), "leave it out")
                for key, value in given.items()
            ]
            raise OrderError(faults)
        from nesting.shelf.list_file import read_list

        with about(file):
            return read_list(file, unit)
    from nesting.shelf.described import Description

    described = Description(given, unit, lambda key: f"--{key}")
    piece = described.piece()
    if piece is None:
        raise OrderError(described.faults)
    return (piece,)


@stock.command("list")
def list_pieces(
    shelf: Shelf,
    cloth: OfCloth = None,
    shade: Annotated[str | None, _described("TEXT", "Only pieces of this shade lot.")] = None,
    place: Annotated[str | None, _described("TEXT", "Only pieces that lie there.")] = None,
    at_least: Annotated[
        str | None, typer.Option("--at-least", metavar="LENGTH", help="Only pieces so long.")
    ] = None,
    units: Units = "cm",
    as_json: Json = False,
) -> ExitStatus:
    """Show what is on the shelf, and what it is worth."""
    from nesting.shelf.stocktaking import find

    found = find(shelf, _wanted(cloth, shade, place, at_least, read_units(units)))
    if as_json:
        say(json_text([piece.record() for piece in found]))
    elif found:
        from cli.shelf_lists import shelf_table, shelf_total

        say(shelf_table(found, units))
        say(shelf_total(found))
    else:
        say("nothing on the shelf is as asked for")
    return ExitStatus.DONE


def _wanted(
    cloth: str | None, shade: str | None, place: str | None, at_least: str | None, unit: str
) -> "Wanted":
    from nesting.shelf.stocktaking import Wanted
    from nesting.units import to_grid

    long = to_grid(read_length("--at-least", at_least, unit)) if at_least else 0
    return Wanted(cloth or "", shade or "", place or "", long)


@stock.command("use")
def use_lay(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="Folder of the lay that was cut.")
    ],
    shelf: Shelf,
    units: Units = "cm",
    quiet: Quiet = False,
) -> ExitStatus:
    """Book a lay that was cut.

    Takes its lengths off the rolls of the shelf, takes away remnants that were
    used, and adds those that the lay leaves, as paid. If a piece has changed
    since the lay was planned, or if the lay is booked already, nothing changes.
    """
    unit = read_units(units)
    from nesting.planning.left_over import left_over
    from nesting.shelf.booking import book
    from nesting.shelf.lay_record import read_lay

    lay = read_lay(folder)
    booked = book(shelf, lay, left_over(lay))
    if not quiet:
        from cli.shelf_lists import tell_booked

        tell_booked(booked, unit)
    return ExitStatus.DONE


@stock.command("undo")
def undo_booking(shelf: Shelf, quiet: Quiet = False) -> ExitStatus:
    """Take the last booking back, unless one of its pieces was moved again since."""
    from nesting.shelf.booking import undo

    folder, moved = undo(shelf)
    if not quiet:
        from cli.shelf_lists import counted

        say(f"took back the booking of {folder}: {counted(moved)} as before")
    return ExitStatus.DONE


@stock.command("remove")
def remove_pieces(numbers: Numbers, shelf: Shelf, quiet: Quiet = False) -> ExitStatus:
    """Take pieces off the shelf that are sold, spoiled or were never there."""
    from nesting.shelf.stocktaking import remove

    gone = remove(shelf, _labels(numbers or []))
    if not quiet:
        for piece in gone:
            say(f"took {piece.name}, {piece.piece.cloth}, off the shelf")
    return ExitStatus.DONE


def _labels(numbers: list[str]) -> list[tuple[int, int | None]]:
    """Numbers with their revisions, where those are given."""
    found = {text: _LABEL.fullmatch(text.strip()) for text in numbers}
    faults = [
        Fault("NUMBER", "must be the number of a piece", written(text), "like 17 or 17.2")
        for text, match in found.items()
        if match is None
    ]
    if faults or not found:
        raise OrderError(faults or [Fault("NUMBER", "is missing", "", "like 17 or 17.2")])
    labels = {
        int(match[1]): int(match[2]) if match[2] else None for match in found.values() if match
    }
    return list(labels.items())


@stock.command("labels")
def print_labels(
    shelf: Shelf,
    numbers: Numbers = None,
    cloth: OfCloth = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out", metavar="FILE", help="PDF to write.  [default: beside the shelf, -labels.pdf]"
        ),
    ] = None,
    units: Units = "cm",
    quiet: Quiet = False,
) -> ExitStatus:
    """Print a label for each piece, or for some: number, cloth, size, shade, place and a code.

    A phone reads the code. The number behind the point rises when the piece
    changes, so that an old label is known by it.
    """
    unit = read_units(units)
    from nesting.shelf.labels import write_labels
    from nesting.shelf.stocktaking import find

    pieces = find(shelf, _wanted(cloth, None, None, None, unit))
    if numbers:
        pieces = _chosen(pieces, _labels(numbers))
    if not pieces:
        raise OrderError([Fault("NUMBER", "there is nothing to label", "", "add pieces first")])
    file = out or shelf.with_name(f"{shelf.stem}-labels.pdf")
    write_new(file, write_labels(pieces, unit))
    if not quiet:
        say(f"wrote {file} with {len(pieces)} label{'' if len(pieces) == 1 else 's'}")
    return ExitStatus.DONE


def _chosen(
    pieces: "Sequence[ShelfPiece]", labels: list[tuple[int, int | None]]
) -> "tuple[ShelfPiece, ...]":
    """The pieces with these numbers, whatever revision an old label tells."""
    known = {piece.number: piece for piece in pieces}
    faults = [
        Fault(f"piece {number}", "is not on the shelf", "", "clothwright stock list shows what is")
        for number, _ in labels
        if number not in known
    ]
    if faults:
        raise WorkError(faults)
    return tuple(known[number] for number, _ in labels)
