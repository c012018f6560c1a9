"""What is cut from which pieces of a cloth: a question to the packer, and its answer."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from nesting.layouts.cutting_list import PanelCopy, packing_problem, placed_panels
from nesting.layouts.lay import ClothLay
from nesting.layouts.measures import area2_for_panels
from nesting.layouts.piece_strip import PieceStrip
from nesting.packing.processes.side_by_side import Outcome, solve_side_by_side
from nesting.packing.running import NoLayoutError, Solution
from nesting.planning.cloth_panels import ClothPanels
from nesting.planning.run import Run


@dataclass(frozen=True)
class Part:
    """What is cut from the pieces of one shade, laid end to end as a strip."""

    strip: PieceStrip
    cuts: tuple[PanelCopy, ...]

    def thought_to_buy(self, filled: float) -> float:
        """The length of the roll that is bought if panels fill such a share of the cloth."""
        needed = sum(cut.panel.cut.area2 for cut in self.cuts) / filled
        there = 0.0
        for stretch in self.strip.stretches:
            if stretch.last is None:
                return max(0.0, needed - there) / (2 * stretch.cloth.usable_width)
            length = stretch.last - stretch.first
            there += area2_for_panels(stretch.cloth, stretch.piece, length)
        return 0.0


@dataclass(frozen=True)
class Answer:
    """The parts of a plan, each with what the search came to."""

    cut: ClothPanels
    parts: tuple[Part, ...]
    outcomes: tuple[Outcome, ...]

    @property
    def lacking(self) -> int:
        """Length of strip that it is short of."""
        return sum(
            outcome.layout.used_length - outcome.length
            for outcome in self.outcomes
            if isinstance(outcome, NoLayoutError)
        )

    @property
    def lays(self) -> tuple[ClothLay, ...]:
        """The lays on the pieces that are used."""
        pairs = zip(self.parts, self.outcomes, strict=True)
        return tuple(lay for part, outcome in pairs for lay in self._lays(part, outcome))

    @property
    def steps(self) -> int:
        """Steps of the searches that found a lay."""
        return sum(each.steps for each in self.outcomes if isinstance(each, Solution))

    @property
    def bought(self) -> int:
        """Length used of the roll that is bought."""
        return sum(lay.used_length for lay in self.lays if lay.on.length is None)

    @property
    def rank(self) -> tuple[int, Decimal, int]:
        """What is short; what it costs (its length if no price is known); what is bought."""
        if self.lacking:
            return self.lacking, Decimal(0), 0
        costs = [lay.cost for lay in self.lays]
        known = [cost for cost in costs if cost is not None]
        lengths = Decimal(sum(lay.cloth_length for lay in self.lays))
        total = sum(known, Decimal(0)) if len(known) == len(costs) else lengths
        return 0, total, self.bought

    def _lays(self, part: Part, outcome: Outcome) -> Iterator[ClothLay]:
        placed = placed_panels(part.strip, part.cuts, outcome.layout)
        for stretch, here in zip(part.strip.stretches, placed, strict=True):
            if not here:
                continue
            area2 = sum(each.panel.cut.area2 for each in here)
            longest = max(min(p.panel.cut.length, p.panel.cut.height) for p in here)
            yield ClothLay(
                cloth=stretch.cloth,
                panels=self.cut.panels,
                placed=here,
                lower_bound=max(longest, -(-area2 // (2 * stretch.cloth.usable_width))),
                proved_optimal=False,
                piece=stretch.piece,
            )


def answer(
    cut: ClothPanels,
    parts: tuple[Part, ...],
    run: Run,
    before: Sequence[Outcome] | None = None,
) -> Answer:
    """Lay each part on its strip, beginning from what an earlier search came to."""
    outcomes = solve_side_by_side(
        [packing_problem(part.strip, part.cuts) for part in parts],
        run.limits,
        seed=run.seed,
        workers=run.workers,
        starts=[outcome.layout for outcome in before] if before else None,
        observe=lambda _index, progress: run.observe(cut, progress),
        interrupted=run.interrupted,
    )
    return Answer(cut, parts, outcomes)
