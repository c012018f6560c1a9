"""The lays of each cloth of an order: on a roll that is bought, or on the pieces that are there."""

import time
from collections.abc import Sequence
from dataclasses import dataclass

from nesting.errors import NotEnoughClothError
from nesting.layouts.cutting_list import cutting_list, packing_problem, placed_panels
from nesting.layouts.lay import ClothLay
from nesting.layouts.piece_strip import strip_of
from nesting.packing.processes.side_by_side import solve_side_by_side
from nesting.packing.running import NoLayoutError
from nesting.planning.cloth_panels import ClothPanels
from nesting.planning.pieces import lay_on_pieces
from nesting.planning.run import Run, Search


@dataclass(frozen=True)
class Laid:
    """The lays of one cloth, one for each of its pieces that is used."""

    lays: tuple[ClothLay, ...]
    search: Search


def lay_cloths(every: Sequence[ClothPanels], run: Run) -> tuple[Laid, ...]:
    """Lay the panels of each cloth, those of cloths that are only bought at the same time.

    Raises
    ------
    NotEnoughClothError
        When panels do not fit on the pieces of cloths of which no more may be bought.
    """
    bought = [cut for cut in every if _is_only_bought(cut)]
    laid = dict(zip(map(_name, bought), _on_rolls(bought, run), strict=True))
    short = []
    for cut in every:
        if not _is_only_bought(cut):
            try:
                laid[_name(cut)] = _on_pieces(cut, run)
            except NotEnoughClothError as error:
                short.append(error)
    if short:
        raise NotEnoughClothError.of(short)
    return tuple(laid[_name(cut)] for cut in every)


def _name(cut: ClothPanels) -> str:
    return cut.cloth.name


def _is_only_bought(cut: ClothPanels) -> bool:
    return cut.cloth.pieces == (cut.cloth.roll,)


def _on_rolls(cuts: Sequence[ClothPanels], run: Run) -> list[Laid]:
    if not cuts:
        return []
    strips = [strip_of(cut.cloth, [cut.cloth.roll]) for cut in cuts]
    lists = [cutting_list(cut.panels) for cut in cuts]
    outcomes = solve_side_by_side(
        list(map(packing_problem, strips, lists)),
        run.limits,
        seed=run.seed,
        workers=run.workers,
        observe=lambda index, progress: run.observe(cuts[index], progress),
        interrupted=run.interrupted,
        executor=run.executor,
    )
    laid = []
    for cut, strip, copies, solution in zip(cuts, strips, lists, outcomes, strict=True):
        if isinstance(solution, NoLayoutError):  # never: these strips have no length
            raise solution
        (placed,) = placed_panels(strip, copies, solution.layout)
        bound, proved = solution.lower_bound, solution.proved_optimal
        lay = ClothLay(cut.cloth, cut.panels, placed, bound, proved)
        effort = (solution.steps, solution.seconds, solution.interrupted)
        laid.append(Laid((lay,), Search(_name(cut), *effort)))
    return laid


def _on_pieces(cut: ClothPanels, run: Run) -> Laid:
    started = time.perf_counter()
    best = lay_on_pieces(cut, run)
    seconds = time.perf_counter() - started
    return Laid(best.lays, Search(_name(cut), best.steps, seconds, run.interrupted()))
