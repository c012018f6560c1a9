"""A banner for cloth that is marked on its wrong side."""

from collections.abc import Iterator

from nesting.drawings.print.page import Look, Mark, Point, Words, rectangle

#: The same words on every page and in every file.
FACE_DOWN = "FACE DOWN: mirrored, for marking on the wrong side"

_HEIGHT = 9.0


def banner(at: Point, width: float) -> Iterator[Mark]:
    """A dark band across the page from a least corner, 9 mm high, with the words in white."""
    x, y = at
    yield rectangle(x, y, width, _HEIGHT, Look(0.0, fill=0.15))
    yield Words((x + 4, y + _HEIGHT / 2), 4.2, FACE_DOWN, grey=1.0)
