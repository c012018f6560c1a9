"""A folder of results that appears whole or not at all.

The files are written into a hidden folder beside the target and take its
place in one step (an exchange of names where the system has one). A run
that is killed before that step leaves the previous folder as it was.

A hidden file in the folder, ``.clothwright``, lists what was written there.
Only a folder that is absent, empty or has such a list is replaced. Files of
the list that are not written again go; whatever else lies in the folder is
carried over. A file is never overwritten that is not in the list.
"""

import os
import shutil
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from nesting.errors import AccessError
from nesting.writing.exchange import put_in_place, recover

#: The hidden file that lists, one a line, what this program wrote into a folder.
LIST_NAME = ".clothwright"


def write_whole(folder: Path, files: Mapping[str, bytes]) -> None:
    """Make ``folder`` hold these files, all of them or none.

    Missing parents are made. What other programs or people put into a folder
    of ours is kept.

    Raises
    ------
    AccessError
        When the folder is not ours to replace, or cannot be written.
    """
    target = _checked(folder, files)
    with _explained(folder), _staging(target) as staging:
        fresh = staging / "fresh"
        _carry_over(target, fresh)
        names = "".join(f"{name}\n" for name in sorted(files))
        for name, data in (*files.items(), (LIST_NAME, names.encode())):
            _write(fresh / name, data)
        _flush(fresh)
        put_in_place(fresh, target)
        _flush(target.parent)


def check_folder(folder: Path, names: Iterable[str] = ()) -> None:
    """Find out before any work is done whether ``write_whole`` could write there.

    Nothing is left behind, not even parents.

    Raises
    ------
    AccessError
        As ``write_whole`` would.
    """
    target = _checked(folder, names)
    with _explained(folder):
        nearest = next(parent for parent in target.parents if parent.exists())
        with tempfile.TemporaryDirectory(prefix=".", dir=nearest):
            pass


def _checked(folder: Path, names: Iterable[str]) -> Path:
    """The folder's real path, when it is ours to make or to replace."""
    with _explained(folder):
        target = folder.resolve()
        recover(target)
        if target.exists() and not target.is_dir():
            _refuse(folder, "it is a file, not a folder")
        if Path.cwd().is_relative_to(target):
            _refuse(folder, "it holds the folder you are working in, which cannot be replaced")
        present = set(os.listdir(target)) if target.exists() else set()
        if present and LIST_NAME not in present:
            _refuse(folder, "it is not empty and was not made by clothwright")
        strangers = sorted((present - _listed(target)) & set(names))
        if strangers:
            _refuse(folder, f"it holds files of yours with the names {', '.join(strangers)}")
    return target


def _refuse(folder: Path, reason: str) -> None:
    msg = f"{folder}: {reason}; name a new or empty folder, or move what is there"
    raise AccessError(msg)


def _listed(target: Path) -> set[str]:
    """What this program wrote into the folder, its list included."""
    try:
        text = (target / LIST_NAME).read_text(encoding="utf-8", errors="replace")
    except FileNotFoundError:
        return {LIST_NAME}
    return {LIST_NAME, *text.splitlines()}


@contextmanager
def _explained(folder: Path) -> Iterator[None]:
    """Turn what the system says into an error that tells what to do."""
    try:
        yield
    except AccessError:
        raise
    except OSError as error:
        where = f" ({error.filename})" if error.filename else ""
        reason = f"{error.strerror or error}{where}"
        msg = f"{folder}: cannot be written: {reason}; name another folder"
        raise AccessError(msg) from error


@contextmanager
def _staging(target: Path) -> Iterator[Path]:
    """A hidden folder beside the target, gone at the end however that comes."""
    target.parent.mkdir(parents=True, exist_ok=True)
    staging = Path(tempfile.mkdtemp(prefix=f".{target.name}.", dir=target.parent))
    try:
        yield staging
    finally:
        shutil.rmtree(staging, ignore_errors=True)


def _carry_over(target: Path, fresh: Path) -> None:
    """Start the fresh folder with what is in the target and not of our writing.

    Files are linked, not copied, so that a change made meanwhile is not lost.
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
    except OSError:  # a file system without links
        shutil.copy2(source, destination, follow_symlinks=False)


def _write(path: Path, data: bytes) -> None:
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _flush(folder: Path) -> None:
    """Have the names in a folder reach the disk, where the system can do that."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
