"""The folder that a command writes: beside its order, or as ``--out`` names it."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from nesting.errors import AccessError


def beside(order_file: Path, what: str) -> Path:
    """Folder beside an order for what a command makes of it: ``nook-lay`` for ``nook.toml``."""
    return order_file.parent / f"{order_file.stem}-{what}"


def check_out(folder: Path) -> None:
    """Find out before any work is done whether the folder can be written.

    Raises
    ------
    AccessError
        When it cannot; it names the option as well.
    """
    from nesting.writing.folder import check_folder

    with _naming_the_option():
        check_folder(folder)


def write_out(folder: Path, files: Mapping[str, bytes]) -> None:
    """Make the folder hold these files, all of them or none.

    Raises
    ------
    AccessError
        When it cannot be written; it names the option as well.
    """
    from nesting.writing.folder import write_whole

    with _naming_the_option():
        write_whole(folder, files)


@contextmanager
def _naming_the_option() -> Iterator[None]:
    try:
        yield
    except AccessError as error:
        msg = f"{error}\n    --out DIR names the folder"
        raise AccessError(msg) from error
