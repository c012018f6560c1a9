"""File names made from names of cloths."""

import unicodedata


def file_name(cloth_name: str) -> str:
    """The cloth's name in lower case, with ``-`` for everything but letters and digits.

    Letters and digits of every script stay. Accented ones are composed first
    (Unicode normal form C), so that one name gives one file name everywhere.
    """
    composed = unicodedata.normalize("NFC", cloth_name).lower()
    return "".join(c if c.isalpha() or c.isdecimal() else "-" for c in composed)
