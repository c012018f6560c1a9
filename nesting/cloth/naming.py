"""File names made from names of cloths."""

import re
import unicodedata
from typing import Final

#: Names that Windows keeps for devices, so that no file may have them, whatever its ending
#: (Microsoft Learn, "Naming Files, Paths, and Namespaces"; M).
_DEVICE: Final = re.compile("con|prn|aux|nul|(com|lpt)[0-9]")


def file_name(cloth_name: str) -> str:
    """The cloth's name in lower case, with ``-`` for everything but letters and digits.

    Letters and digits of every script stay. Accented ones are composed first
    (Unicode normal form C), so that one name gives one file name everywhere.
    A name that Windows keeps for a device follows ``cloth-``: ``cloth-con``.
    """
    composed = unicodedata.normalize("NFC", cloth_name).lower()
    name = "".join(c if c.isalpha() or c.isdecimal() else "-" for c in composed)
    return f"cloth-{name}" if _DEVICE.fullmatch(name) else name
