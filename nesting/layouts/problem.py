"""One packing problem: shapes to be laid on a strip, frozen, on the integer grid.

The strip is the usable cloth: x >= 0 along the roll, 0 <= y <= ``width``
across it. The problem knows nothing of orders; a rule of the cloth enters as
data here (turns a shape may take, panels that must point the same way, clear
cloth between panels).
"""

from dataclasses import dataclass

from nesting.geometry.outline import Outline


@dataclass(frozen=True)
class Shape:
    """One outline with the turns it may take (degrees anticlockwise).

    The least corner of the outline at turn 0 is (0, 0).
    """

    outline: Outline
    turns: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Piece:
    """One copy of a shape that must be laid.

    Pieces of one ``bundle`` point the same way: either all are turned by
    less than 180 degrees, or all by 180 and more. None: no such rule.
    """

    shape: int
    bundle: int | None = None


@dataclass(frozen=True)
class Problem:
    """Pieces to be laid on a strip, as short as possible.

    ``gap`` is the clear cloth between any two pieces, not to the edges.
    """

    width: int
    shapes: tuple[Shape, ...]
    pieces: tuple[Piece, ...]
    gap: int = 0

    @property
    def area2(self) -> int:
        """Twice the area of all pieces, in square grid units."""
        return sum(self.shapes[piece.shape].outline.area2 for piece in self.pieces)
