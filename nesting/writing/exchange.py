"""Putting one folder in the place of another.

Linux can exchange two names in one step (renameat2(2), RENAME_EXCHANGE,
since kernel 3.15), so that every moment has either the old folder or the
new one in place. Where that is not to be had, the old folder steps aside
first, under a name by which ``recover`` finds it after a crash between.
"""

import ctypes
import os
from pathlib import Path

_RENAME_EXCHANGE = 2
_AT_FDCWD = -100


def put_in_place(fresh: Path, target: Path) -> None:
    """Give the folder ``fresh`` the name ``target``; what stood there is now ``fresh``.

    Both lie on one file system; ``target`` may be absent.
    """
    if not target.exists():
        fresh.rename(target)
    elif not _exchanged(fresh, target):
        _step_aside(fresh, target)


def recover(target: Path) -> None:
    """Put back a folder that had stepped aside when its run was killed."""
    aside = _aside(target)
    if aside.is_dir() and not target.exists():
        aside.rename(target)


def _exchanged(one: Path, other: Path) -> bool:
    """Exchange two names in one step; False where the system cannot."""
    try:
        renameat2 = ctypes.CDLL(None, use_errno=True).renameat2
    except (AttributeError, OSError, TypeError):
        return False
    here, there = os.fsencode(one), os.fsencode(other)
    return bool(renameat2(_AT_FDCWD, here, _AT_FDCWD, there, _RENAME_EXCHANGE) == 0)


def _step_aside(fresh: Path, target: Path) -> None:
    aside = _aside(target)
    target.rename(aside)
    try:
        fresh.rename(target)
    except OSError:
        aside.rename(target)
        raise
    aside.rename(fresh)


def _aside(target: Path) -> Path:
    return target.with_name(f".{target.name}.previous")
