"""Writes the folder of a command: beside its order, or the one that ``--out`` names."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from nesting.errors import AccessError


def beside(order_file: Path, what: str) -> Path:
    """Folder beside an order for the results of a command: ``nook-lay`` for ``nook.toml``."""
    return order_file.parent / f"{order_file.stem}-{what}"


def check_out(folder: Path) -> None:
    """Check that the folder can be written, before any work is done.

    Raises
    ------
    AccessError
        When it cannot; the message also names the option.
    """
    from nesting.writing.folder import check_folder

    with _naming_the_option():
        check_folder(folder)


def write_out(folder: Path, files: Mapping[str, bytes], order: Path | None = None) -> None:
    """Write all of these files, made from an order, to the folder, or none of them.

    Raises
    ------
    AccessError
        When it cannot be written; the message also names the option.
    """
    from nesting.writing.folder import write_whole

    with _naming_the_option():
        write_whole(folder, files, order)


@contextmanager
def _naming_the_option() -> Iterator[None]:
    try:
        yield
    except AccessError as error:
        msg = f"{error}\n    --out DIR names the folder"
        raise AccessError(msg) from error
