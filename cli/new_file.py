"""A single file that a command writes, whole or not at all."""

from pathlib import Path

from nesting.errors import AccessError


def write_new(file: Path, contents: bytes) -> None:
    """Write a file that is not there yet, whole or not at all.

    Raises
    ------
    AccessError
        When it is there, or cannot be written.
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
        msg = f"{file} exists already and is left as it is: name another file, or move it away"
        raise AccessError(msg) from None
    except OSError as error:
        msg = f"{file} cannot be written: {error.strerror or error}: name another file"
        raise AccessError(msg) from None
