"""Names in the 95 printable characters of ASCII, for formats that allow no others."""

import unicodedata
from collections.abc import Iterable

from anyascii import anyascii

from nesting.drawings.drawing import one_line

#: Replaces a character that has no plain spelling.
_UNKNOWN = "?"

#: German letters as they are spelled on a typewriter without them (DIN 5007-2; M).
_UMLAUTS = str.maketrans(
    {"ä": "ae", "ö": "oe", "ü": "ue", "Ä": "Ae", "Ö": "Oe", "Ü": "Ue", "ß": "ss"}
)


def ascii_text(text: str) -> str:
    """The text on one line, with all other letters spelled in plain ones."""
    composed = unicodedata.normalize("NFC", one_line(text)).translate(_UMLAUTS)
    return "".join(c if c.isascii() else _plain_letters(c) for c in composed)


def ascii_names(names: Iterable[str]) -> dict[str, str]:
    """A plain spelling for each name; different names stay different.

    A name that is already plain keeps its spelling. If others would become the
    same, all but the first get a number. The same names in the same order are
    always spelled the same way.
    """
    given = list(dict.fromkeys(names))
    spelled = {name: name for name in given if ascii_text(name) == name}
    taken = set(spelled)
    for name in given:
        if name not in spelled:
            spelled[name] = _unused(ascii_text(name), taken)
            taken.add(spelled[name])
    return {name: spelled[name] for name in given}


def ascii_notes(spelled: dict[str, str]) -> tuple[str, ...]:
    """Notes for the user: each name that the file spells differently, and how."""
    return tuple(
        f'"{one_line(name)}" is spelled "{plain}" where only plain letters are possible'
        for name, plain in spelled.items()
        if plain != name
    )


def _plain_letters(letter: str) -> str:
    plain = anyascii(letter)
    return plain if plain.isprintable() and plain.strip() else _UNKNOWN


def _unused(plain: str, taken: set[str]) -> str:
    name, number = plain, 1
    while name in taken:
        number += 1
        name = f"{plain} {number}"
    return name
