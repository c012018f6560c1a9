"""Output to the terminal: faults, columns, and exit statuses.

Results go to standard output, everything else to standard error.
"""

import json
import shutil
import sys
import textwrap
from collections.abc import Iterable, Sequence
from enum import IntEnum
from typing import Final

from nesting.errors import AccessError, ClothwrightError, Fault, FaultsError, OrderError

#: Most characters in a line of running text.
_WIDEST: Final = 100


class ExitStatus(IntEnum):
    """How a command ended."""

    DONE = 0
    FINDINGS = 1
    WRONG_ORDER = 2
    NO_ACCESS = 3
    OUR_FAULT = 70  # EX_SOFTWARE of BSD sysexits.h
    INTERRUPTED = 130  # 128 + SIGINT, as shells report it


def status_of(error: ClothwrightError) -> ExitStatus:
    """The exit status of a command that ends with an error."""
    if isinstance(error, AccessError):
        return ExitStatus.NO_ACCESS
    return ExitStatus.WRONG_ORDER if isinstance(error, OrderError) else ExitStatus.FINDINGS


def say(text: str) -> None:
    """Write one line of a result."""
    print(text)


def json_text(value: object) -> str:
    """A result as JSON, for other programs."""
    return json.dumps(value, ensure_ascii=False, indent=1, allow_nan=False)


def remark(text: str) -> None:
    """Write one line that is not part of the result."""
    print(text, file=sys.stderr, flush=True)


def complain(error: ClothwrightError) -> None:
    """Write every fault of an error, and what to do about each.

    The notes of the error (`BaseException.add_note`) name the file that it is about.
    """
    if not isinstance(error, FaultsError):
        remark(str(error))
        return
    source = ": ".join(getattr(error, "__notes__", ()))
    for fault in error.faults:
        remark(fault_text(fault, source))


def fault_text(fault: Fault, source: str = "") -> str:
    """A fault after its file and line, and what to do on the line below."""
    line = f"{source or 'line'}:{fault.line}" if fault.line is not None else source
    place, rule, value, remedy = fault.texts("mm")
    wrong = ": ".join(filter(None, (line, "" if place == source else place, rule, value)))
    return f"{wrong}\n    {remedy}" if remedy else wrong


def wrap(text: str, mark: str) -> str:
    """A paragraph after a mark, no wider than is easy to read."""
    width = min(_WIDEST, shutil.get_terminal_size().columns)
    return textwrap.fill(text, width, initial_indent=mark, subsequent_indent=" " * len(mark))


def columns(rows: Iterable[Sequence[str]], *, right: Iterable[int] = ()) -> str:
    """Rows of cells in aligned columns; those with indices in ``right`` are flush right."""
    table = [list(row) for row in rows]
    widths = [max(map(len, column)) for column in zip(*table, strict=True)]
    flush = set(right)
    return "\n".join(
        "  ".join(
            cell.rjust(width) if i in flush else cell.ljust(width)
            for i, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in table
    )
