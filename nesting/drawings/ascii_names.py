"""Names in the 95 printable characters of ASCII, for formats that hold no others."""

from collections.abc import Iterable

from anyascii import anyascii

from nesting.drawings.drawing import one_line

#: Stands for a character that has no plain spelling.
_UNKNOWN = "?"


def ascii_text(text: str) -> str:
    """The text on one line, each other letter spelled with plain ones."""
    return "".join(c if c.isascii() else _spelled(c) for c in one_line(text))


def ascii_names(names: Iterable[str]) -> dict[str, str]:
    """A plain spelling for each name; different names stay different.

    A name that is plain already keeps its spelling. Of others that would
    come to be the same, all but the first get a number. The same names in the
    same order are always spelled the same way.
    """
    given = list(dict.fromkeys(names))
    spelled = {name: name for name in given if ascii_text(name) == name}
    taken = set(spelled)
    for name in given:
        if name not in spelled:
            spelled[name] = _another(ascii_text(name), taken)
            taken.add(spelled[name])
    return {name: spelled[name] for name in given}


def respelled(spelled: dict[str, str]) -> tuple[str, ...]:
    """Notes for the user: each name that is spelled otherwise in the file, and how."""
    return tuple(
        f'"{one_line(name)}" is spelled "{plain}" where only plain letters can stand'
        for name, plain in spelled.items()
        if plain != name
    )


def _spelled(letter: str) -> str:
    plain = anyascii(letter)
    return plain if plain.isprintable() and plain.strip() else _UNKNOWN


def _another(plain: str, taken: set[str]) -> str:
    name, number = plain, 1
    while name in taken:
        number += 1
        name = f"{plain} {number}"
    return name
