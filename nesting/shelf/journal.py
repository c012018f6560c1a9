"""The journal of a shelf: every movement of a piece, with its time and its booking."""

import json
import sqlite3
from datetime import UTC, date, datetime
from enum import StrEnum
from typing import Any


class Movement(StrEnum):
    """What happened to a piece."""

    ADDED = "added"
    SHORTENED = "length taken off"
    REMOVED = "removed"
    OFFERED = "remnant offered"
    UNDONE = "undone"


def note(
    shelf: sqlite3.Connection,
    movement: Movement,
    number: int,
    booking: int | None = None,
    before: dict[str, Any] | None = None,
) -> None:
    """Write down a movement of a piece that has just been made.

    ``before`` holds the columns that it changed as they were.
    """
    shelf.execute(
        "INSERT INTO journal (at, what, piece, revision, booking, before)"
        " SELECT ?, ?, number, revision, ?, ? FROM pieces WHERE number = ?",
        (now(), movement, booking, before and json.dumps(before), number),
    )


def next_revision(shelf: sqlite3.Connection, number: int) -> int:
    """A revision that the piece never had, whatever was undone since."""
    highest = shelf.execute("SELECT max(revision) FROM journal WHERE piece = ?", (number,))
    return int(highest.fetchone()[0]) + 1


def now() -> str:
    """The time in UTC: ``2026-11-30T14:05:00Z``."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def today() -> str:
    """The day where the machine is: ``2026-11-30``."""
    return date.today().isoformat()
