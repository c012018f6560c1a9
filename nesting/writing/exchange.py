"""Replaces one folder by another.

Linux can exchange two names in one step (renameat2(2), RENAME_EXCHANGE,
since kernel 3.15), so that either the old or the new folder is in place at
any moment. On other systems the old folder is renamed first, to a name by
which ``recover`` finds it if the program crashes between the two steps.
"""

import ctypes
import os
import shutil
from pathlib import Path

_RENAME_EXCHANGE = 2
_AT_FDCWD = -100


def put_in_place(fresh: Path, target: Path) -> None:
    """Rename the folder ``fresh`` to ``target``, and an existing ``target`` to ``fresh``.

    Both are on the same file system.
    """
    if not target.exists():
        fresh.rename(target)
    elif not _exchange(fresh, target):
        _replace_in_two_steps(fresh, target)


def recover(target: Path) -> None:
    """Finish what a killed run left half done: restore a folder that it set aside.

    Where its new folder is in place already, the old one is removed.
    """
    aside = _aside_path(target)
    if not aside.is_dir():
        return
    if target.exists():
        shutil.rmtree(aside)
    else:
        aside.rename(target)


def _exchange(one: Path, other: Path) -> bool:
    """Exchange two names in one step, and return whether the system could do so."""
    try:
        renameat2 = ctypes.CDLL(None, use_errno=True).renameat2
    except (AttributeError, OSError, TypeError):
        return False
    here, there = os.fsencode(one), os.fsencode(other)
    return bool(renameat2(_AT_FDCWD, here, _AT_FDCWD, there, _RENAME_EXCHANGE) == 0)


def _replace_in_two_steps(fresh: Path, target: Path) -> None:
    aside = _aside_path(target)
    target.rename(aside)
    try:
        fresh.rename(target)
    except OSError:
        aside.rename(target)
        raise
    aside.rename(fresh)


def _aside_path(target: Path) -> Path:
    return target.with_name(f".{target.name}.previous")
