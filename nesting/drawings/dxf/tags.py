"""Entities of DXF as lines of text: group codes and their values alternate.

A yielded text may be several lines, with line ends between them.

This does without a library because one that makes an object of each vertex
takes seconds for a long lay.
"""

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from nesting.drawings.ascii_names import ascii_text

Point = tuple[float, float]

#: Most letters in a line of a comment, so that it can be read where the file is opened as text.
_COMMENT_LINE: Final = 72


def light_polyline(
    layer: str, bends: Sequence[tuple[float, ...]], handle: str, owner: str, *, closed: bool
) -> Iterator[str]:
    """An LWPOLYLINE of release R2000 with vertices (x, y, bulge)."""
    yield from ("0", "LWPOLYLINE", "5", handle, "330", owner, "100", "AcDbEntity", "8", layer)
    yield from ("100", "AcDbPolyline", "90", str(len(bends)), "70", str(int(closed)))
    for x, y, *bulge in bends:
        yield f"10\n{number(x)}\n20\n{number(y)}{_bulge(bulge)}"


def polyline(layer: str, bends: Iterable[tuple[float, ...]], *, closed: bool) -> Iterator[str]:
    """A POLYLINE of release 12 with vertices (x, y) or (x, y, bulge).

    A closed one does not repeat its first vertex.
    """
    yield from ("0", "POLYLINE", "8", layer, "66", "1", "70", str(int(closed)), *at((0.0, 0.0)))
    for x, y, *bulge in bends:
        place = f"10\n{number(x)}\n20\n{number(y)}\n30\n0.0"
        yield f"0\nVERTEX\n8\n{layer}\n{place}{_bulge(bulge)}"
    yield from ("0", "SEQEND", "8", layer)


def _bulge(bulge: Sequence[float]) -> str:
    return f"\n42\n{bulge[0]:.12g}" if any(bulge) else ""


def comments(sentences: Iterable[str]) -> Iterator[str]:
    """Comments (group code 999) in plain ASCII, which readers pass over."""
    for sentence in sentences:
        for part in textwrap.wrap(ascii_text(sentence), _COMMENT_LINE):
            yield from ("999", part)


def line(layer: str, start: Point, end: Point) -> Iterator[str]:
    """A LINE."""
    yield from ("0", "LINE", "8", layer, *at(start))
    yield from ("11", number(end[0]), "21", number(end[1]), "31", "0.0")


def point(layer: str, place: Point, z: float = 0.0) -> Iterator[str]:
    """A POINT."""
    yield from ("0", "POINT", "8", layer, *at(place, z))


def light_point(layer: str, place: Point, handle: str, owner: str) -> Iterator[str]:
    """A POINT of release R2000."""
    yield from ("0", "POINT", "5", handle, "330", owner, "100", "AcDbEntity", "8", layer)
    yield from ("100", "AcDbPoint", *at(place))


def text(layer: str, place: Point, height: float, words: str) -> Iterator[str]:
    """A TEXT that begins at a place."""
    yield from ("0", "TEXT", "8", layer, *at(place), "40", number(height), "1", words)


def at(place: Point, z: float = 0.0) -> tuple[str, ...]:
    """The tags of a place."""
    return "10", number(place[0]), "20", number(place[1]), "30", number(z)


def number(value: float) -> str:
    """A number with at most four decimals and always a point, as DXF writes real numbers."""
    return repr(round(float(value), 4))
