"""The tables of a shelf file, and how a file of an older version becomes one of today.

`STEPS` build the tables one version after the other. A new file goes through
all of them, an older one through those that it lacks.
"""

import sqlite3
from typing import Final

#: What marks an SQLite file as a shelf: "clws" in ASCII.
APPLICATION_ID: Final = 0x636C7773

_FIRST: Final = (
    """CREATE TABLE cloths (
        number INTEGER PRIMARY KEY,
        name TEXT NOT NULL UNIQUE
    ) STRICT""",
    # Pieces that are gone stay in the table, so that the journal can name them.
    """CREATE TABLE pieces (
        number INTEGER PRIMARY KEY AUTOINCREMENT,
        revision INTEGER NOT NULL DEFAULT 1 CHECK (revision > 0),
        there INTEGER NOT NULL DEFAULT 1 CHECK (there IN (0, 1)),
        cloth INTEGER NOT NULL REFERENCES cloths (number),
        length INTEGER NOT NULL CHECK (length > 0),
        width INTEGER NOT NULL CHECK (width > 0),
        outline TEXT CHECK (outline IS NULL OR json_valid(outline)),
        holes TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(holes)),
        shade TEXT NOT NULL DEFAULT '',
        place TEXT NOT NULL DEFAULT '',
        price INTEGER CHECK (price >= 0),
        currency TEXT,
        since TEXT NOT NULL,
        CHECK (coalesce(price, 0) = 0 OR currency IS NOT NULL)
    ) STRICT""",
    "CREATE INDEX pieces_there ON pieces (cloth, length) WHERE there = 1",
    """CREATE TABLE bookings (
        number INTEGER PRIMARY KEY AUTOINCREMENT,
        folder TEXT NOT NULL,
        digest TEXT NOT NULL,
        at TEXT NOT NULL,
        undone TEXT
    ) STRICT""",
    "CREATE UNIQUE INDEX booked_once ON bookings (folder, digest) WHERE undone IS NULL",
    # `before` is what the piece was before the movement, for undoing it.
    """CREATE TABLE journal (
        number INTEGER PRIMARY KEY AUTOINCREMENT,
        at TEXT NOT NULL,
        what TEXT NOT NULL CHECK (what IN
            ('added', 'length taken off', 'removed', 'remnant offered', 'undone')),
        piece INTEGER NOT NULL REFERENCES pieces (number),
        revision INTEGER NOT NULL,
        booking INTEGER REFERENCES bookings (number),
        before TEXT CHECK (before IS NULL OR json_valid(before))
    ) STRICT""",
    "CREATE INDEX journal_by_piece ON journal (piece)",
    "CREATE INDEX journal_by_booking ON journal (booking) WHERE booking IS NOT NULL",
)

#: Pieces know their own selvedge and their flaws, and are found by their shade.
_SECOND: Final = (
    "ALTER TABLE pieces ADD COLUMN selvedge INTEGER CHECK (selvedge >= 0)",
    """ALTER TABLE pieces ADD COLUMN flaws TEXT NOT NULL DEFAULT '[]'
        CHECK (json_valid(flaws))""",
    "CREATE INDEX pieces_by_shade ON pieces (shade, place) WHERE there = 1",
)

STEPS: Final = (_FIRST, _SECOND)

#: Version of the tables that this program reads and writes.
VERSION: Final = len(STEPS)


def version_of(shelf: sqlite3.Connection) -> int:
    """Version of the tables in a file; 0 if it has none."""
    return int(shelf.execute("PRAGMA user_version").fetchone()[0])


def bring_up_to_date(shelf: sqlite3.Connection) -> None:
    """Take the steps that a file lacks, within the transaction that is open."""
    for version in range(version_of(shelf), VERSION):
        for statement in STEPS[version]:
            shelf.execute(statement)
        shelf.execute(f"PRAGMA user_version = {version + 1}")
