"""Panels laid on the pieces of a cloth that are there, and on what is bought.

Prices and areas suggest which pieces to use and which shade each item is cut
from (`nesting.packing.assignment`). The pieces of a shade are then laid end to
end as one strip, on which the packer moves panels from piece to piece. Where it
needs more cloth than was thought, the question is asked again with less room.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Final

from nesting.cloth.cloth import Cloth
from nesting.cloth.stock import ClothPiece
from nesting.errors import Fault, NotEnoughClothError
from nesting.geometry.outline import twice_area
from nesting.layouts.cutting_list import (
    PanelCopy,
    cutting_list,
    packing_problem,
    placed_panels,
)
from nesting.layouts.fit import fits_piece
from nesting.layouts.lay import ClothLay
from nesting.layouts.piece_strip import PieceStrip, strip_of
from nesting.packing.assignment import Assignment, Ground, Lot, assign
from nesting.packing.processes.side_by_side import solve_side_by_side
from nesting.packing.running import Limits, NoLayoutError, Progress, Solution
from nesting.packing.solver import first_layout
from nesting.packing.stage import Stage
from nesting.planning.cloth_panels import ClothPanels
from nesting.sentences import Lengths, Sentence
from nesting.units import GRID_PER_MM, to_mm

#: Questions that are asked, and the share of the search that each answer gets. The best
#: answer is improved with what is left.
_QUESTIONS: Final = 4
_SHARE: Final = 0.15

#: Share of a piece that panels are thought to fill, against that of a quick lay on a roll.
_FILLED: Final = 1.0

#: How much less room a piece is thought to have after an answer that needed more cloth.
_LESS: Final = 0.94
_NEARLY: Final = 1.02


@dataclass(frozen=True)
class _Part:
    """What is cut from the pieces of one shade."""

    strip: PieceStrip
    cuts: tuple[PanelCopy, ...]


@dataclass(frozen=True)
class _Answer:
    """The parts of a plan, each with its solution."""

    parts: tuple[_Part, ...]
    solutions: tuple[Solution, ...]
    lays: tuple[ClothLay, ...]

    @property
    def price(self) -> tuple[Decimal, int]:
        """What it costs (its length where no price is known), and how much is bought."""
        costs = [lay.cost for lay in self.lays]
        lengths = Decimal(sum(lay.cloth_length for lay in self.lays))
        known = [cost for cost in costs if cost is not None]
        total = sum(known, Decimal(0)) if len(known) == len(costs) else lengths
        return total, sum(lay.used_length for lay in self.lays if lay.on.length is None)


@dataclass(frozen=True)
class PieceLays:
    """The lays of one cloth on its pieces, and the solutions that they come from."""

    lays: tuple[ClothLay, ...]
    solutions: tuple[Solution, ...]


@dataclass(frozen=True)
class Runner:
    """How a search is run: see `nesting.planning.plan.plan_order`."""

    limits: Limits
    seed: int
    workers: int
    observe: Callable[[Progress], None]
    interrupted: Callable[[], bool]

    def part(self, share: float) -> "Runner":
        """The same with a share of the time, or of the steps."""
        seconds, steps = self.limits.seconds, self.limits.steps
        return replace(
            self,
            limits=Limits(
                None if seconds is None else seconds * share,
                None if steps is None else max(1, round(steps * share)),
            ),
        )
