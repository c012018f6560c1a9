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
        """Where along the strip its used length begins."""
        return self.problem.start_of(min(place.x for place in self.placements))

    @cached_property
    def used_length(self) -> int:
        """Greatest x of all pieces, from the least on or, where its place counts, from 0 on."""
        ends = [self.outline(index).bounds[2] for index in range(len(self.placements))]
        return max(ends) - self.start

    def outline(self, index: int) -> Outline:
        """Outline of one piece where it lies."""
        place = self.placements[index]
        shape = self.problem.shapes[self.problem.pieces[index].shape]
        return outline_at(shape.outline, place.turn, place.x, place.y)
