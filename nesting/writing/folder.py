"""Writes a folder of results as a whole or not at all.

The files are written to a hidden folder beside the target, which then
replaces the target in one step (by exchanging names where the system can).
A run that is killed before that step leaves the previous folder as it was.

A hidden file in the folder, ``.clothwright``, lists the files that this
program wrote there. A folder is replaced only if it is absent, empty or has
such a list. Listed files that are not written again are removed; all other
files are kept, and a file that is not in the list is never overwritten.
"""

import os
import shutil
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from nesting.errors import AccessError
from nesting.writing.exchange import put_in_place, recover

#: The hidden file that lists what this program wrote to a folder, one name per line.
LIST_NAME = ".clothwright"

#: How the line of the list begins that tells the order; no file is called so.
_ORDER = "order: "


def write_whole(folder: Path, files: Mapping[str, bytes], order: Path | None = None) -> None:
    """Write all of these files to ``folder``, or none of them.

    Missing parent folders are created. Files that other programs or people
    put into the folder are kept. The list of files also tells which ``order`` they
    come from (`order_of`).

    Raises
    ------
    AccessError
        When the folder may not be replaced, or cannot be written.
    """
    target = _replaceable_path(folder, files)
    with _access_errors(folder), _staging_folder(target) as staging:
        fresh = staging / "fresh"
        _carry_over(target, fresh)
        names = "".join(f"{name}\n" for name in sorted(files))
        names += f"{_ORDER}{order.resolve()}\n" if order else ""
        for name, data in (*files.items(), (LIST_NAME, names.encode())):
            _write(fresh / name, data)
        _flush(fresh)
        put_in_place(fresh, target)
        _flush(target.parent)


def order_of(folder: Path) -> Path | None:
    """The order file that a folder was written for, if its list tells one."""
    told = (line for line in _listed(folder) if line.startswith(_ORDER))
    return next((Path(line.removeprefix(_ORDER)) for line in told), None)


def check_folder(folder: Path, names: Iterable[str] = ()) -> None:
    """Check that ``write_whole`` could write to a folder, before any work is done.

    Nothing is left behind, not even parent folders.

    Raises
    ------
    AccessError
        When ``write_whole`` would raise it.
    """
    target = _replaceable_path(folder, names)
    with _access_errors(folder):
        nearest = next(parent for parent in target.parents if parent.exists())
        with tempfile.TemporaryDirectory(prefix=".", dir=nearest):
            pass


def _replaceable_path(folder: Path, names: Iterable[str]) -> Path:
    """Resolved path of a folder; refuses one that this program may not create or replace."""
    with _access_errors(folder):
        target = folder.resolve()
        recover(target)
        if target.exists() and not target.is_dir():
            _refuse(folder, "it is a file, not a folder")
        if Path.cwd().is_relative_to(target):
            _refuse(folder, "it is or contains your current folder, which cannot be replaced")
        present = set(os.listdir(target)) if target.exists() else set()
        if present and LIST_NAME not in present:
            _refuse(folder, "it is not empty and was not made by clothwright")
        strangers = sorted((present - _listed(target)) & set(names))
        if strangers:
            names_taken = ", ".join(strangers)
            _refuse(folder, f"it has files with these names that are not ours: {names_taken}")
    return target


def _refuse(folder: Path, reason: str) -> None:
    msg = f"{folder}: {reason}; name a new or empty folder, or move what is there"
    raise AccessError(msg)


def _listed(target: Path) -> set[str]:
    """Names of what this program wrote to the folder, the list included."""
    try:
        text = (target / LIST_NAME).read_text(encoding="utf-8", errors="replace")
    except FileNotFoundError:
        return {LIST_NAME}
    return {LIST_NAME, *text.splitlines()}


@contextmanager
def _access_errors(folder: Path) -> Iterator[None]:
    """Raise system errors as an `AccessError` that says what to do."""
    try:
        yield
    except AccessError:
        raise
    except OSError as error:
        where = f" ({error.filename})" if error.filename else ""
        reason = f"{error.strerror or error}{where}"
        denied = isinstance(error, PermissionError)  # on Windows also where a file is open
        close = "close the programs that have files of it open, or " if denied else ""
        msg = f"{folder}: cannot be written: {reason}; {close}name another folder"
        raise AccessError(msg) from error


@contextmanager
def _staging_folder(target: Path) -> Iterator[Path]:
    """A hidden folder beside the target, removed at the end in any case."""
    target.parent.mkdir(parents=True, exist_ok=True)
    staging = Path(tempfile.mkdtemp(prefix=f".{target.name}.", dir=target.parent))
    try:
        yield staging
    finally:
        shutil.rmtree(staging, ignore_errors=True)


def _carry_over(target: Path, fresh: Path) -> None:
    """Create the fresh folder with the target's files that this program did not write.

    Files are linked, not copied, so that changes made to them meanwhile are not lost.
    """
    if not target.exists():
        fresh.mkdir()
        return
    ours = _listed(target)

    def unwanted(directory: str, names: list[str]) -> set[str]:
        return ours & set(names) if Path(directory) == target else set()

    shutil.copytree(target, fresh, symlinks=True, ignore=unwanted, copy_function=_link)


def _link(source: str, destination: str) -> None:
    try:
        os.link(source, destination, follow_symlinks=False)
    except (OSError, NotImplementedError):  # a file system or a Python without such links
        shutil.copy2(source, destination, follow_symlinks=False)


def _write(path: Path, data: bytes) -> None:
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _flush(folder: Path) -> None:
    """Flush the names in a folder to disk, where the system can."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
