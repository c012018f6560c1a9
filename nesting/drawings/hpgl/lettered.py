"""Reads the texts of a plot, which are strokes: each must be one of the letters, to scale."""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from nesting.drawings.hpgl.letters import CAPITALS, PITCH, STROKES

Point = tuple[int, int]

#: Letters by their strokes.
_LETTERS: Final = {frozenset(strokes): letter for letter, strokes in STROKES.items()}

#: How far a point may be off the grid of its letter, in plotter units: both it and the
#: start of the text are rounded.
_OFF: Final = 1.5

#: Stands for strokes that are no letters.
UNREADABLE: Final = "(letters that cannot be read)"


@dataclass
class StrokedText:
    """The strokes of a text that starts at a point: its height in plotter units, its angle."""

    start: Point
    height: float
    angle: float
    strokes: list[Sequence[Point]] = field(default_factory=list)

    def read(self) -> tuple[str, tuple[float, float]]:
        """The text and its middle, in plotter units.

        Strokes that are no letters are `UNREADABLE`, which no text of a lay is.
        """
        try:
            text = self._letters()
        except ValueError:
            return UNREADABLE, self.start
        return text, self._middle((len(text) * PITCH - 1) / 2)

    def _letters(self) -> str:
        cells: dict[int, set[tuple[Point, ...]]] = defaultdict(set)
        for stroke in self.strokes:
            placed = [self._on_grid(point) for point in stroke]
            cell = min(x for x, _ in placed) // PITCH
            cells[cell].add(tuple((x - cell * PITCH, y) for x, y in placed))
        count = max(cells, default=-1) + 1
        letters = [_LETTERS.get(frozenset(cells.get(i, ()))) for i in range(count)]
        text = "".join(letter for letter in letters if letter is not None)
        if len(text) != len(letters) or min(cells, default=0) < 0:
            raise ValueError(self.start)
        return text

    def _on_grid(self, point: Point) -> Point:
        cos, sin = math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle))
        dx, dy = point[0] - self.start[0], point[1] - self.start[1]
        unit = self.height / CAPITALS
        x, y = (dx * cos + dy * sin) / unit, (dy * cos - dx * sin) / unit
        if max(abs(x - round(x)), abs(y - round(y))) * unit > _OFF:
            raise ValueError(point)
        return round(x), round(y)

    def _middle(self, along: float) -> tuple[float, float]:
        cos, sin = math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle))
        unit = self.height / CAPITALS
        up = CAPITALS / 2
        return (
            self.start[0] + unit * (along * cos - up * sin),
            self.start[1] + unit * (along * sin + up * cos),
        )
