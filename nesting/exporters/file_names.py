"""File names made from the names that people give to cloths."""

import unicodedata
from collections.abc import Iterable


def file_name(cloth_name: str) -> str:
    """The name in lower case with ``-`` for everything but letters and digits.

    Letters and digits of every script stay; accented ones are composed first
    (Unicode NFC), so that one name gives one file name on every system.
    """
    composed = unicodedata.normalize("NFC", cloth_name).lower()
    return "".join(c if c.isalpha() or c.isdecimal() else "-" for c in composed)


def file_names(cloth_names: Iterable[str]) -> tuple[str, ...]:
    """A file name for each cloth, all different: a second ``wool`` becomes ``wool-2``."""
    taken: set[str] = set()
    names = []
    for cloth_name in cloth_names:
        name = plain = file_name(cloth_name)
        count = 1
        while name in taken:
            count += 1
            name = f"{plain}-{count}"
        taken.add(name)
        names.append(name)
    return tuple(names)
