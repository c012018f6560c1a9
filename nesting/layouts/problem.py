"""A packing problem: shapes to be laid on a strip, frozen, on the integer grid.

The strip is the usable cloth: x >= 0 along the roll, 0 <= y <= ``width``
across it. The problem knows nothing about orders; rules of the cloth are data
here (turns a shape may take, panels that must point the same way, clear cloth
between panels). Whatever is not cloth is a body that lies still.
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
    less than 180 degrees, or all by 180 and more. None means no such rule.
    """

    shape: int
    bundle: int | None = None


@dataclass(frozen=True)
class Body:
    """Something that lies still on the strip: a flaw, a hole, a wall, panels already cut.

    ``outline`` is where it lies, in coordinates of the strip; it may reach
    beyond the strip, and bodies may overlap. The outside of a hide is given
    as bodies that cover it. ``clearance`` is the clear cloth between the body
    and every piece; the gap does not apply here, so with a clearance of 0
    pieces may touch the body. Shapes in ``open_to`` (indices) may lie over it.
    """

    outline: Outline
    clearance: int = 0
    open_to: frozenset[int] = frozenset()


@dataclass(frozen=True)
class Problem:
    """Pieces to be laid on a strip, as short as possible.

    ``gap`` is the clear cloth between any two pieces, but not to the edges or
    to bodies. ``length`` is the length of the strip (None: as much as is
    needed).
    """

    width: int
    shapes: tuple[Shape, ...]
    pieces: tuple[Piece, ...]
    gap: int = 0
    bodies: tuple[Body, ...] = ()
    length: int | None = None

    @property
    def is_anchored(self) -> bool:
        """Whether the position of a lay along the strip matters, not only its extent."""
        return bool(self.bodies)

    def start_of(self, least_x: int) -> int:
        """Where the used length is counted from in a lay whose pieces begin at ``least_x``."""
        return 0 if self.is_anchored else least_x

    @property
    def area2(self) -> int:
        """Twice the area of all pieces, in square grid units."""
        return sum(self.shapes[piece.shape].outline.area2 for piece in self.pieces)
