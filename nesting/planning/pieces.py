"""Panels laid on the pieces of a cloth that are there, and on what is bought.

Prices and areas suggest which pieces to use and which shade each item is cut
from (`nesting.packing.cpsat.assignment`). The pieces of a shade are then laid end to
end as one strip, on which the packer moves panels from piece to piece. Where it
needs more cloth than was thought, the question is asked again with less room.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from nesting.cloth.cloth import Cloth
from nesting.cloth.stock import ClothPiece
from nesting.layouts.cutting_list import packing_problem
from nesting.layouts.piece_strip import strip_of
from nesting.packing.cpsat.assignment import Assignment, assign
from nesting.packing.solver import first_layout
from nesting.packing.stage import Stage
from nesting.planning.cloth_panels import ClothPanels
from nesting.planning.lots import PanelLots
from nesting.planning.piece_answer import Answer, Part, answer
from nesting.planning.run import Run
from nesting.planning.shortage import no_answer, too_little

#: Questions that are asked, and the share of the search that each answer gets. The best
#: answer is improved with what is left.
_QUESTIONS: Final = 4
_SHARE: Final = 0.15

#: How much better than a quick lay panels are thought to fill a piece, and the most that they do.
_BETTER: Final = 1.06
_FULLEST: Final = 0.98

#: How much less room a piece is thought to have after an answer that needed more cloth, and
#: what counts as more.
_LESS: Final = 0.94
_NEARLY: Final = 1.02


def lay_on_pieces(cut: ClothPanels, run: Run) -> Answer:
    """Lay the panels of a cloth on its pieces, where the whole costs least.

    Raises
    ------
    NotEnoughClothError
        When the panels do not fit on the pieces that are there.
    """
    lots = PanelLots(cut)
    answers: list[Answer] = []
    spent = 0.0
    for parts, filled in _questions(lots, answers):
        answers.append(answer(cut, parts, run.part(_SHARE, spent)))
        spent += _SHARE
        thought = sum(part.thought_to_buy(filled) for part in parts)
        if not answers[-1].lacking and answers[-1].bought <= _NEARLY * thought:
            break
    if not answers:
        raise too_little(lots)
    best = min(answers, key=lambda one: one.rank)
    best = answer(cut, best.parts, run.part(1.0 - spent, spent), best.outcomes)
    if best.lacking:
        raise no_answer(cut.cloth, best)
    return best


def _questions(
    lots: PanelLots, answers: Sequence[Answer]
) -> Iterator[tuple[tuple[Part, ...], float]]:
    """What to lay on which pieces, each with the share of them that it is thought to fill."""
    cloth = lots.cut.cloth
    pieces = _in_order(cloth)
    filled = min(_FULLEST, _BETTER * _filled_quickly(lots))
    asked: list[Assignment] = []
    for _ in range(_QUESTIONS):
        assignment = assign(lots.lots, lots.grounds(pieces, filled))
        if assignment is None:
            break
        if assignment not in asked:
            asked.append(assignment)
            yield _parts(lots, pieces, assignment), filled
        filled *= _LESS
    if all(one.lacking for one in answers):
        yield from _last_questions(lots, pieces, asked)


def _last_questions(
    lots: PanelLots, pieces: Sequence[ClothPiece], asked: Sequence[Assignment]
) -> Iterator[tuple[tuple[Part, ...], float]]:
    """All of the cloth as the least wasteful lay needs it; the roll that is bought alone."""
    every = assign(lots.lots, lots.grounds(pieces, 1.0))
    if every is not None and every not in asked:
        yield _parts(lots, pieces, every), 1.0
    if lots.cut.cloth.may_buy:
        roll = [lots.cut.cloth.roll]
        alone = assign(lots.lots, lots.grounds(roll, 1.0))
        if alone is not None:
            yield _parts(lots, roll, alone), 1.0


def _in_order(cloth: Cloth) -> tuple[ClothPiece, ...]:
    """The pieces, the shorter ones first and the roll that is bought last."""
    endless = float("inf")
    return tuple(
        sorted(cloth.pieces, key=lambda p: (endless if p.length is None else p.length, p.name))
    )


def _filled_quickly(lots: PanelLots) -> float:
    """The share of a roll that panels fill in a quick lay, as wide as the widest piece."""
    cloth = lots.cut.cloth
    widest = max(cloth.pieces, key=lambda piece: cloth.on(piece).usable_width)
    perfect = replace(cloth, width=widest.width, selvedge=widest.selvedge, flaws=())
    strip = strip_of(perfect, [perfect.roll])
    stage = Stage(packing_problem(strip, lots.copies))
    return lots.cut.area2 / (2 * stage.used_length(first_layout(stage)) * strip.width)


def _parts(
    lots: PanelLots, pieces: Sequence[ClothPiece], assignment: Assignment
) -> tuple[Part, ...]:
    found = []
    for shade, cuts in lots.cut_from(assignment).items():
        used = [pieces[index] for index in assignment.used if pieces[index].shade == shade]
        reach = sum(cut.panel.cut.length + cut.panel.cut.height for cut in cuts)
        found.append(Part(strip_of(lots.cut.cloth, used, reach), cuts))
    return tuple(found)
