"""Opens and creates shelf files, and puts what SQLite says about them into words.

A shelf file keeps a write-ahead log beside it while it is open, so that a
command that is killed at any moment leaves it whole. Whoever changes it holds
it alone from the first look to the last write.
"""

import os
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import Final

from nesting.errors import AccessError, Fault, OrderError
from nesting.shelf.tables import APPLICATION_ID, VERSION, bring_up_to_date, version_of

#: Seconds to wait for another command that changes the shelf.
PATIENCE: Final = 10.0

_SPACE: Final = "make room on the disk, then try again"
_BACKUP: Final = "take the latest copy that you have of it"

#: What went wrong and what to do, by the beginning of SQLite's name for it.
_CAUSES: Final = {
    "SQLITE_BUSY": ("another command is changing it", "try again when that has ended"),
    "SQLITE_LOCKED": ("another command is changing it", "try again when that has ended"),
    "SQLITE_READONLY": (
        "it, or its folder, may not be written",
        "allow it, or copy the file to another folder",
    ),
    "SQLITE_PERM": ("it may not be used", "check its permissions"),
    "SQLITE_AUTH": ("it may not be used", "check its permissions"),
    "SQLITE_CANTOPEN": ("it cannot be opened", "check the permissions of the file and its folder"),
    "SQLITE_FULL": ("the disk is full, so nothing was changed", _SPACE),
    "SQLITE_IOERR": ("the disk cannot be read or written", f"check it, and {_SPACE}"),
    "SQLITE_CORRUPT": ("it is damaged", _BACKUP),
}


@contextmanager
def read_shelf(path: Path) -> Iterator[sqlite3.Connection]:
    """Open a shelf to look at it; what is seen is of one moment.

    Raises
    ------
    AccessError
        When it cannot be opened or read.
    OrderError
        When the file is no shelf, or one of a newer version.
    """
    with _opened(path) as shelf:
        if version_of(shelf) < VERSION:
            _migrate(shelf)
        shelf.execute("BEGIN")
        yield shelf
        shelf.execute("ROLLBACK")


@contextmanager
def change_shelf(path: Path) -> Iterator[sqlite3.Connection]:
    """Open a shelf to change it: all changes together, or none if an error is raised.

    Raises as `read_shelf`, and an `AccessError` where it cannot be written.
    """
    with _opened(path, writing=True) as shelf:
        shelf.execute("BEGIN IMMEDIATE")
        try:
            bring_up_to_date(shelf)
            yield shelf
            shelf.execute("COMMIT")
        except BaseException:
            with suppress(sqlite3.Error):  # some errors have ended the transaction already
                shelf.execute("ROLLBACK")
            raise


def create_shelf(path: Path) -> None:
    """Create an empty shelf unless the file is there; it appears whole.

    Raises
    ------
    AccessError
        When it cannot be written.
    """
    if path.exists():
        return
    try:
        with tempfile.TemporaryDirectory(prefix=f".{path.name}.", dir=path.parent) as folder:
            fresh = Path(folder, path.name)
            with _in_words(path), closing(sqlite3.connect(fresh, isolation_level=None)) as shelf:
                shelf.execute(f"PRAGMA application_id = {APPLICATION_ID}")
                shelf.execute("PRAGMA journal_mode = WAL")
                _migrate(shelf)
            _put_in_place(fresh, path)
    except AccessError:
        raise
    except OSError as error:
        msg = f"{path}: cannot be created: {error.strerror or error}; check the name of its folder"
        raise AccessError(msg) from error


def _put_in_place(fresh: Path, path: Path) -> None:
    """Give the file its name; another command may have been quicker with its own."""
    try:
        os.link(fresh, path)
    except FileExistsError:
        return
    except (OSError, NotImplementedError):  # a file system without links
        if not path.exists():
            fresh.rename(path)


@contextmanager
def _opened(path: Path, *, writing: bool = False) -> Iterator[sqlite3.Connection]:
    if not path.is_file():
        msg = f"{path}: there is no such shelf; clothwright stock add creates one"
        raise AccessError(msg)
    mine = os.access in os.supports_effective_ids
    if writing and not os.access(path, os.W_OK, effective_ids=mine):
        raise _unusable(path, *_CAUSES["SQLITE_READONLY"])
    with _in_words(path):
        address = f"{path.resolve().as_uri()}?mode=rw"
        shelf = sqlite3.connect(address, uri=True, timeout=PATIENCE, isolation_level=None)
        with closing(shelf):
            _must_be_shelf(shelf, path)
            shelf.execute("PRAGMA foreign_keys = ON")
            yield shelf


def _must_be_shelf(shelf: sqlite3.Connection, path: Path) -> None:
    if shelf.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
        raise _no_shelf(path)
    version = version_of(shelf)
    if version > VERSION:
        rule = f"must be a shelf of version {VERSION} or older"
        remedy = "use the newer clothwright that wrote it"
        raise OrderError([Fault(str(path), rule, f"version {version}", remedy)])


def _no_shelf(path: Path) -> OrderError:
    remedy = "check its name; clothwright stock add creates a new shelf"
    return OrderError([Fault(str(path), "must be a shelf that clothwright wrote", "", remedy)])


def _migrate(shelf: sqlite3.Connection) -> None:
    shelf.execute("BEGIN IMMEDIATE")
    bring_up_to_date(shelf)
    shelf.execute("COMMIT")


@contextmanager
def _in_words(path: Path) -> Iterator[None]:
    """Raise what SQLite says about a file as an error that says what to do."""
    try:
        yield
    except sqlite3.Error as error:
        name = getattr(error, "sqlite_errorname", None) or ""
        if name.startswith("SQLITE_NOTADB"):
            raise _no_shelf(path) from error
        for beginning, (cause, remedy) in _CAUSES.items():
            if name.startswith(beginning):
                raise _unusable(path, cause, remedy) from error
        raise


def _unusable(path: Path, cause: str, remedy: str) -> AccessError:
    msg = f"{path}: the shelf cannot be used: {cause}; {remedy}"
    return AccessError(msg)
