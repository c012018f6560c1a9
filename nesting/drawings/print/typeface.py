"""The typeface of printed pages: Noto Sans, embedded so that every printer has it.

It has Latin, Greek and Cyrillic letters. Other letters are spelled in plain
Latin ones, and pages say so.
"""

import unicodedata
from collections.abc import Iterable, Iterator
from functools import cache, lru_cache
from importlib.resources import as_file, files

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from nesting.drawings.ascii_names import ascii_text
from nesting.drawings.drawing import one_line

#: The name of the typeface in the PDF writer.
NAME = "NotoSans"

#: Height of its capitals as a share of the font size (OS/2 table: 714 of 1000).
CAPITALS = 0.714

#: Distance of two lines of text over the height of capitals.
LEADING = 1.7

#: Text is not made smaller than this to fit a box (mm).
_LEAST = 0.8

_PACKAGE = "fontpkg_noto_sans"
_FILE = "files/NotoSans[wdth,wght].ttf"


@cache
def load() -> TTFont:
    """Register the typeface with the PDF writer, once, and return it."""
    with as_file(files(_PACKAGE).joinpath(_FILE)) as path:
        face = TTFont(NAME, str(path))
    pdfmetrics.registerFont(face)
    return face


def width(text: str, height: float) -> float:
    """Length of a line of text whose capitals have a height."""
    return float(load().stringWidth(printable(text), height / CAPITALS))


@lru_cache(maxsize=4096)
def printable(text: str) -> str:
    """The text on one line, in letters that the typeface has."""
    composed = unicodedata.normalize("NFC", one_line(text))
    known = load().face.charToGlyph
    if all(ord(letter) in known for letter in composed):
        return composed
    return "".join(c if ord(c) in known else ascii_text(c) for c in composed)


def respellings(names: Iterable[str]) -> dict[str, str]:
    """Names that pages show in other letters, each with its spelling there."""
    shown = {name: printable(name) for name in names}
    return {
        name: other
        for name, other in shown.items()
        if other != unicodedata.normalize("NFC", one_line(name))
    }


def spelling_notes(names: Iterable[str]) -> tuple[str, ...]:
    """A sentence for each name that pages show in other letters."""
    return tuple(
        f'In PDFs "{one_line(name)}" is written "{other}": their typeface lacks some letters.'
        for name, other in respellings(names).items()
    )


def shortened(text: str, height: float, room: float) -> str:
    """The text, or, if it is longer than ``room``, as much of it as fits and ``…``."""
    if width(text, height) <= room:
        return text
    end = len(text)
    while end and width(text[:end].rstrip() + "…", height) > room:
        end -= 1
    return text[:end].rstrip() + "…"


def wrapped(text: str, height: float, room: float) -> list[str]:
    """The text in lines no longer than ``room``; a longer word is divided."""
    lines: list[str] = []
    for word in _words(text, height, room):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width(longer, height) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def _words(text: str, height: float, room: float) -> Iterator[str]:
    """The words of a text, those longer than ``room`` in pieces that are not."""
    for word in text.split():
        rest = word
        while width(rest, height) > room and len(rest) > 1:
            fits = (n for n in range(len(rest) - 1, 1, -1) if width(rest[:n], height) <= room)
            end = next(fits, 1)
            yield rest[:end]
            rest = rest[end:]
        yield rest


def fitted(text: str, greatest: float, room: float, tall: float) -> tuple[float, list[str]]:
    """Height of capitals, at most ``greatest``, and lines at which a text fills no more than a box.

    Lines are ``LEADING`` heights apart.
    """
    height, lines = greatest, wrapped(text, greatest, room)
    while height > _LEAST and (1 + LEADING * (len(lines) - 1)) * height > tall:
        height *= 0.95
        lines = wrapped(text, height, room)
    return height, lines
