"""One packing problem: shapes to be laid on a strip, frozen, on the integer grid.

The strip is the usable cloth: x >= 0 along the roll, 0 <= y <= ``width``
across it. The problem knows nothing of orders; a rule of the cloth enters as
data here (turns a shape may take, panels that must point the same way, clear
cloth between panels). What is not cloth is a body that lies still.
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
class Body:
    """Something that lies still on the strip: a flaw, a hole, a wall, panels already cut.

    ``outline`` is where it lies, in coordinates of the strip; it may reach
    beyond the strip, and bodies may overlap. The outside of a hide is bodies
    that cover it. ``clearance`` is the clear cloth between it and every
    piece; a piece may touch a body without any, whatever the gap. Shapes
    (indices) to which it is ``open`` may lie over it.
    """

    outline: Outline
    clearance: int = 0
    open_to: frozenset[int] = frozenset()


@dataclass(frozen=True)
class Problem:
    """Pieces to be laid on a strip, as short as possible.

    ``gap`` is the clear cloth between any two pieces, not to the edges or to
    bodies. ``length`` is the most that there is of the strip (None: as much
    as is needed).
    """

    width: int
    shapes: tuple[Shape, ...]
    pieces: tuple[Piece, ...]
    gap: int = 0
    bodies: tuple[Body, ...] = ()
    length: int | None = None

    @property
    def is_anchored(self) -> bool:
        """Whether the place of a lay on the strip counts, not only its extent."""
        return bool(self.bodies)

    def start_of(self, least_x: int) -> int:
        """Where the used length of a lay whose pieces begin at ``least_x`` is counted from."""
        return 0 if self.is_anchored else least_x

    @property
    def area2(self) -> int:
        """Twice the area of all pieces, in square grid units."""
        return sum(self.shapes[piece.shape].outline.area2 for piece in self.pieces)
