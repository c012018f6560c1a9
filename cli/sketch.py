"""Small line drawings for the terminal, in braille dots.

A character has 2 × 4 dots (Unicode block 2800), which are about as far apart
across as down, so that a panel keeps its shape.
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

Point = tuple[float, float]

#: Bit of each dot in its character, by row and column from the upper left.
_BITS: Final = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
_BLANK: Final = 0x2800


def sketch(rings: Sequence[Sequence[Point]], dots_per_unit: float) -> list[str]:
    """Lines of text that show closed rings, x to the right and y up.

    The rings lie in the quadrant of positive x and y.
    """
    dots = {dot for ring in rings for dot in _dots(ring, dots_per_unit)}
    width, height = max(x for x, _ in dots) // 2 + 1, max(y for _, y in dots) // 4 + 1
    cells = [[_BLANK] * width for _ in range(height)]
    for x, y in dots:
        up = 4 * height - 1 - y
        cells[up // 4][x // 2] |= _BITS[up % 4][x % 2]
    return ["".join(map(chr, row)).rstrip(chr(_BLANK)) for row in cells]


def _dots(ring: Sequence[Point], scale: float) -> set[tuple[int, int]]:
    """Dots along a closed ring."""
    dots = set()
    for (x0, y0), (x1, y1) in pairwise([*ring, ring[0]]):
        steps = max(1, round(scale * max(abs(x1 - x0), abs(y1 - y0))))
        for i in range(steps + 1):
            x, y = x0 + (x1 - x0) * i / steps, y0 + (y1 - y0) * i / steps
            dots.add((round(x * scale), round(y * scale)))
    return dots
