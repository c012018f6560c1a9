"""Writes a single new file as a whole or not at all."""

from pathlib import Path

from nesting.errors import AccessError


def write_new(file: Path, contents: bytes) -> None:
    """Write a file that does not exist yet, as a whole or not at all.

    Raises
    ------
    AccessError
        When it exists or cannot be written.
    """
    try:
        with file.open("xb") as stream:
            try:
                stream.write(contents)
                stream.flush()
            except BaseException:
                file.unlink()
                raise
    except FileExistsError:
        msg = f"{file} already exists and was not changed: give another name, or move it away"
        raise AccessError(msg) from None
    except OSError as error:
        msg = f"{file} cannot be written: {error.strerror or error}: give another name"
        raise AccessError(msg) from None
