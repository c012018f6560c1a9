"""Options that several commands share, and the rules for their values.

Numbers arrive as text, so that wrong ones are reported like wrong numbers in an
order: all together, each with its rule, its value and what to do.
"""

import math
import os
from dataclasses import dataclass, replace
from decimal import Decimal
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

from nesting.errors import Fault, OrderError, written
from nesting.exporters.formats import LAY_DEFAULTS, LAY_FORMATS, Format

if TYPE_CHECKING:
    from nesting.exporters.marking.table import Separator
    from nesting.layouts.mirroring import Face
    from nesting.packing.running import Limits

_SECONDS: Final = 20.0
_MOST_SECONDS: Final = 86_400  # a day
_MOST_STEPS: Final = 10**9
_MOST_SEED: Final = 2**31 - 1
_MOST_WORKERS: Final = 256

OrderFile = Annotated[Path, typer.Argument(metavar="ORDER", help="The order, a TOML file.")]
Out = Annotated[
    Path | None,
    typer.Option("--out", metavar="DIR", help="Folder to write to.  [default: beside the order]"),
]
Seconds = Annotated[
    str | None,
    typer.Option("--seconds", metavar="S", help="Search time per cloth.  [default: 20]"),
]
Steps = Annotated[
    str | None,
    typer.Option("--steps", metavar="N", help="Search N steps instead of seconds (repeatable)."),
]
Seed = Annotated[
    str | None,
    typer.Option("--seed", metavar="N", help="Seed of the random choices.  [default: 0]"),
]
Workers = Annotated[
    str | None,
    typer.Option("--workers", metavar="N", help="Processes that search.  [default: all cores]"),
]
LayFormats = Annotated[
    str,
    typer.Option("--formats", metavar="LIST", help=f"What to write: {', '.join(LAY_FORMATS)}."),
]
LAY_FORMATS_DEFAULT: Final = ",".join(LAY_DEFAULTS)
MarkedFace = Annotated[
    str,
    typer.Option(
        "--face",
        metavar="WAY",
        help="How the cloth lies while it is marked by hand: up, or down (mirrors marking-out).",
    ),
]
CsvSeparator = Annotated[
    str,
    typer.Option(
        "--csv-separator",
        metavar="SIGN",
        help='Between the cells of marking-out.csv: ",", or ";" (then decimals have commas).',
    ),
]
StockFile = Annotated[
    Path | None,
    typer.Option(
        "--stock", metavar="FILE", help="A shelf (clothwright stock): use its pieces too."
    ),
]
Quiet = Annotated[bool, typer.Option("--quiet", help="Show only faults: no progress, no summary.")]
Json = Annotated[
    bool, typer.Option("--json", help="Write only the result, as JSON, to standard output.")
]

Units = Annotated[
    str, typer.Option("--units", metavar="UNIT", help="Unit of the lengths shown: mm, cm or in.")
]


@dataclass(frozen=True)
class Search:
    """How long to search, with which seed and how many workers."""

    limits: "Limits"
    seed: int
    workers: int


def read_search(
    seconds: str | None, steps: str | None, seed: str | None, workers: str | None
) -> Search:
    """Read the options of a search.

    Raises
    ------
    OrderError
        With every option whose value is wrong.
    """
    from nesting.packing.running import Limits

    faults: list[Fault] = []
    if seconds is not None and steps is not None:
        faults.append(Fault("--seconds, --steps", "only one may be given", "both", _ONE))
    time = _SECONDS if seconds is None else _seconds(seconds, faults)
    count = None if steps is None else _whole("--steps", steps, 1, _MOST_STEPS, faults)
    start = 0 if seed is None else _whole("--seed", seed, 0, _MOST_SEED, faults)
    many = _cores() if workers is None else _whole("--workers", workers, 1, _MOST_WORKERS, faults)
    if faults:
        raise OrderError(faults)
    limits = Limits(seconds=time if count is None else None, steps=count)
    return Search(limits, start, many)


_ONE: Final = "--seconds limits the time; with --steps a run can be repeated exactly"


def _seconds(text: str, faults: list[Fault]) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not 0 < value <= _MOST_SECONDS:
        rule = f"must be a number of seconds above 0 and at most {_MOST_SECONDS}"
        faults.append(Fault("--seconds", rule, written(text), "for example --seconds 60"))
    return value


def _whole(name: str, text: str, least: int, most: int, faults: list[Fault]) -> int:
    value = int(text) if text.isascii() and text.isdigit() and len(text) < 12 else -1
    if not least <= value <= most:
        rule = f"must be a whole number from {least} to {most}"
        faults.append(Fault(name, rule, written(text), f"for example {name} {max(least, 2)}"))
    return value


def _cores() -> int:
    """How many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def read_length(option: str, text: str, units: str) -> float:
    """Read a length in millimetres; a bare number is in ``units``.

    Raises
    ------
    OrderError
        When it is not a length; the faults name the option.
    """
    from nesting.orders.lengths import parse_length

    try:
        return parse_length(Decimal(text) if is_bare(text) else text, units)
    except OrderError as error:
        raise OrderError([replace(fault, place=option) for fault in error.faults]) from error


def is_bare(text: str) -> bool:
    """Whether a length has no unit of its own, so that it is in the order's."""
    return text.isascii() and text.replace(".", "", 1).isdecimal()


def read_formats(text: str, known: tuple[Format, ...]) -> tuple[Format, ...]:
    """Read a list of formats such as ``dxf,pdf``; each is taken once.

    Raises
    ------
    OrderError
        With every name that is not known here.
    """
    names = [name.strip().lower() for name in text.split(",")]
    faults = [_unknown_format(name, known) for name in names if name not in known]
    if faults:
        raise OrderError(faults)
    return tuple(dict.fromkeys(map(Format, names)))


def _unknown_format(name: str, known: tuple[Format, ...]) -> Fault:
    swapped = [each for each in known if sorted(each) == sorted(name)]
    near = swapped or get_close_matches(name, known, 1, cutoff=0.5)
    advice = f"did you mean {near[0]}? " if near else ""
    return Fault(
        "--formats",
        "must be formats that this command writes, with commas between",
        written(name),
        f"{advice}known are {', '.join(known)}",
    )


def read_face(text: str) -> "Face":
    """Read which way the right side of the cloth faces while it is marked.

    Raises
    ------
    OrderError
        When it is neither up nor down.
    """
    from nesting.layouts.mirroring import Face

    if text not in tuple(Face):
        raise OrderError([Fault("--face", "must be up or down", written(text), "--face down")])
    return Face(text)


def read_separator(text: str) -> "Separator":
    """Read what stands between the cells of a table.

    Raises
    ------
    OrderError
        When it is neither a comma nor a semicolon.
    """
    from nesting.exporters.marking.table import Separator

    if text not in tuple(Separator):
        rule, remedy = 'must be "," or ";"', '--csv-separator ";"'
        raise OrderError([Fault("--csv-separator", rule, written(text), remedy)])
    return Separator(text)


def read_units(text: str) -> str:
    """Read the unit in which lengths are shown.

    Raises
    ------
    OrderError
        When it is not mm, cm or in.
    """
    if text not in ("mm", "cm", "in"):
        rule = "must be mm, cm or in"
        raise OrderError([Fault("--units", rule, written(text), "for example --units in")])
    return text
