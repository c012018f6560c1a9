"""File names made from names of cloths."""

import re
from typing import Final

from nesting.drawings.ascii_names import ascii_text

#: Names that Windows keeps for devices, so that no file may have them, whatever its ending
#: (Microsoft Learn, "Naming Files, Paths, and Namespaces"; M).
_DEVICE: Final = re.compile("con|prn|aux|nul|(com|lpt)[0-9]")


def file_name(cloth_name: str) -> str:
    """The cloth's name in lower case and plain letters, with ``-`` for all others.

    Machines that take a file from a stick often show no other letters: ä becomes
    ae, ß ss, and letters of other scripts their usual spelling.
    A name that Windows keeps for a device follows ``cloth-``: ``cloth-con``.
    """
    plain = ascii_text(cloth_name).lower()
    name = "".join(c if c.isalpha() or c.isdecimal() else "-" for c in plain)
    return f"cloth-{name}" if _DEVICE.fullmatch(name) else name
