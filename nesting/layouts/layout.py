"""An answer to a packing problem: where every piece lies."""

from dataclasses import dataclass

from nesting.geometry.outline import Outline
from nesting.geometry.transforms import outline_at
from nesting.layouts.problem import Problem


@dataclass(frozen=True, slots=True)
class Placement:
    """Turn of a piece and the least corner of its turned outline, grid units."""

    turn: int
    x: int
    y: int


@dataclass(frozen=True)
class Layout:
    """Placements of all pieces of a problem, in the order of its pieces."""

    problem: Problem
    placements: tuple[Placement, ...]

    def outline(self, index: int) -> Outline:
        """Outline of one piece where it lies."""
        place = self.placements[index]
        shape = self.problem.shapes[self.problem.pieces[index].shape]
        return outline_at(shape.outline, place.turn, place.x, place.y)
