"""An answer to a packing problem: where every piece lies."""

from dataclasses import dataclass
from functools import cached_property

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

    @cached_property
    def start(self) -> int:
        """Position along the strip from which the used length is counted."""
        return self.problem.start_of(min(place.x for place in self.placements))

    @cached_property
    def used_length(self) -> int:
        """Greatest x of all pieces less the least one, or less 0 if the problem is anchored."""
        ends = [self.outline(index).bounds[2] for index in range(len(self.placements))]
        return max(ends) - self.start

    def outline(self, index: int) -> Outline:
        """Outline of one piece where it lies on the strip."""
        place = self.placements[index]
        shape = self.problem.shapes[self.problem.pieces[index].shape]
        return outline_at(shape.outline, place.turn, place.x, place.y)
