"""Lays again what was spoiled after cutting has begun, and moves as little else as it can.

What is cut already lies still. Lost panels are tried on what is left of the same
cloth, first with everything else where it is, then with some of the panels that are
not cut yet; then on other pieces of the same shade, and at last on cloth that is
bought.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from nesting.cloth.cloth import Nap
from nesting.cloth.stock import ClothPiece
from nesting.layouts.cutting_list import PanelCopy, packing_problem, placed_panels
from nesting.layouts.fit import fits_piece
from nesting.layouts.lay import Again, ClothLay, PlacedPanel
from nesting.layouts.layout import Layout
from nesting.layouts.measures import area2_for_panels
from nesting.layouts.piece_strip import strip_of
from nesting.layouts.problem import Problem, Shape
from nesting.packing.running import Limits, NoLayoutError, Progress
from nesting.packing.solver import solve
from nesting.planning.cloth_panels import ClothPanels
from nesting.planning.damage import Damaged
from nesting.planning.run import Run
from nesting.planning.shortage import no_room_again

#: How many of the panels that are not cut yet are tried elsewhere, one number after the other.
_MOVED: Final = (0, 2, 4, 8, 16, 32)

#: Share of the search that each question gets, and the one that buys cloth.
_SHARE: Final = 0.06
_LAST_SHARE: Final = 0.6

#: How much more densely panels are thought to lie after they have moved, as a factor.
_DENSER: Final = 1.03


@dataclass(frozen=True)
class _Question:
    """Panels to lay on pieces of one shade, of which the last may be bought as long as needed."""

    pieces: tuple[ClothPiece, ...]
    again: tuple[PlacedPanel, ...]

    @property
    def buys(self) -> bool:
        return self.pieces[-1].length is None


def recut(
    cut: ClothPanels, damaged: Sequence[Damaged], filled: float, run: Run
) -> tuple[tuple[ClothLay, ...], Again]:
    """The lays of a cloth after its lost panels have found other places.

    ``cut.cloth`` has all pieces that may be used, those that panels lie on left out.
    Panels ``filled`` such a share of their cloth before.

    Raises
    ------
    NotEnoughClothError
        When lost panels fit nowhere.
    """
    lays = {each.lay.on.name: each.lay for each in damaged}
    movable = {each.lay.on.name for each in damaged if each.may_move}
    moved: list[PlacedPanel] = []
    for shade in dict.fromkeys(each.lay.on.shade for each in damaged if each.lost):
        lost = tuple(p for each in damaged if each.lay.on.shade == shade for p in each.lost)
        uncut = _uncut(lays[name] for name in movable if lays[name].on.shade == shade)
        questions = _questions(cut, lays, (lost, uncut), shade, _DENSER * filled)
        moved += _place_again(cut, lays, questions, len(lost), run)
    labels = tuple(placed.label for each in damaged for placed in each.lost)
    again = Again(labels, tuple(sorted(placed.label for placed in moved)))
    return tuple(_bounded(lay) for lay in lays.values() if lay.placed), again


def _place_again(
    cut: ClothPanels,
    lays: dict[str, ClothLay],
    questions: Iterator[_Question],
    lost: int,
    run: Run,
) -> list[PlacedPanel]:
    """Place lost panels, the first of each question; return others that lie elsewhere now."""
    best: NoLayoutError | None = None
    for question in questions:
        try:
            placed = _answered(cut, lays, question, run)
        except NoLayoutError as short:
            best = short
            continue
        others = {each.label: each for each in question.again[lost:]}
        return _put(cut, lays, question, placed, others)
    raise no_room_again(cut.cloth, best)


def _questions(
    cut: ClothPanels,
    lays: dict[str, ClothLay],
    panels: tuple[tuple[PlacedPanel, ...], tuple[PlacedPanel, ...]],
    shade: str,
    fullest: float,
) -> Iterator[_Question]:
    """What to try, one after the other, for the lost panels and those that are not cut yet.

    Panels that move are not thought to fill more than the ``fullest`` share of their cloth.
    """
    lost, uncut = panels
    here = tuple(lay.on for lay in lays.values() if lay.on.shade == shade)
    for number in _MOVED:
        if not number or number < 2 * len(uncut):
            question = _Question(here, (*lost, *uncut[:number]))
            if _may_hold(cut, lays, question, fullest if number else 1.0):
                yield question
    there = sorted(
        (piece for piece in cut.cloth.stock if piece.shade == shade),
        key=lambda piece: piece.length or 0,
    )
    if there and _may_hold(cut, lays, _Question((*here, *there), lost), 1.0):
        yield _Question((*here, *there), lost)
    roll = cut.cloth.roll
    if cut.cloth.may_buy and roll.shade == shade:
        yield _Question((*here, *there, roll), lost)


def _uncut(lays: Iterable[ClothLay]) -> tuple[PlacedPanel, ...]:
    """Panels that are not cut yet, those that lie last first."""
    found = (placed for lay in lays for placed in lay.placed if not placed.is_cut)
    return tuple(sorted(found, key=lambda placed: (-placed.outline.bounds[2], placed.label)))


def _may_hold(
    cut: ClothPanels, lays: dict[str, ClothLay], question: _Question, fullest: float
) -> bool:
    """Whether each panel is no larger than some piece, and all fill no more than such a share."""
    moving = {placed.label for placed in question.again}
    free = 0.0
    for piece in question.pieces:
        own = cut.cloth.on(piece)
        length = (piece.length or 0) - 2 * own.end_allowance
        free += fullest * area2_for_panels(own, piece, length)
        if piece.name in lays:
            still = (p for p in lays[piece.name].placed if p.label not in moving)
            free -= sum(placed.panel.cut.area2 for placed in still)
    needed = sum(placed.panel.cut.area2 for placed in question.again)
    return needed <= free and all(
        any(fits_piece(placed.panel, cut.cloth, piece) for piece in question.pieces)
        for placed in question.again
    )


def _answered(
    cut: ClothPanels, lays: dict[str, ClothLay], question: _Question, run: Run
) -> tuple[tuple[PlacedPanel, ...], ...]:
    """Where the panels lie on each piece; the first lay that fits will do if nothing is bought."""
    moving = {placed.label for placed in question.again}
    still = {
        name: [placed.outline for placed in lay.placed if placed.label not in moving]
        for name, lay in lays.items()
    }
    cuts = tuple(PanelCopy(each.panel, each.copy, each.part) for each in question.again)
    reach = sum(each.panel.cut.length + each.panel.cut.height for each in question.again)
    strip = strip_of(cut.cloth, question.pieces, reach, still)
    problem = _pointing(packing_problem(strip, cuts), question, lays)
    layout = _solved(problem, _part(run, question), cut, question)
    return placed_panels(strip, cuts, layout)


def _part(run: Run, question: _Question) -> Run:
    """The share of the search that a question gets; one panel on a roll is laid at once."""
    if question.buys and len(question.again) == 1:
        return replace(run, limits=Limits(None, 0))
    return run.part(_LAST_SHARE if question.buys else _SHARE, 0.0)


def _solved(problem: Problem, run: Run, cut: ClothPanels, question: _Question) -> Layout:
    reached = False

    def observe(progress: Progress) -> None:
        nonlocal reached
        reached = problem.length is not None and progress.used_length <= problem.length
        run.observe(cut, progress)

    return solve(
        problem,
        run.limits,
        seed=run.seed,
        workers=run.workers if question.buys else 1,
        observe=observe,
        interrupted=lambda: reached or run.interrupted(),
    ).layout


def _pointing(problem: Problem, question: _Question, lays: dict[str, ClothLay]) -> Problem:
    """The problem in which panels point as those of the same copy do that lie still."""
    ways = _ways(question, lays)
    shapes, pieces, bodies = list(problem.shapes), [], list(problem.bodies)
    for piece, placed in zip(problem.pieces, question.again, strict=True):
        way = ways.get((placed.panel.item, placed.copy))
        if piece.bundle is None or way is None:
            pieces.append(piece)
            continue
        shape = problem.shapes[piece.shape]
        turns = tuple(turn for turn in shape.turns if turn // 180 == way)
        pieces.append(replace(piece, shape=len(shapes)))
        bodies = [
            replace(body, open_to=body.open_to | {len(shapes)})
            if piece.shape in body.open_to
            else body
            for body in bodies
        ]
        shapes.append(Shape(shape.outline, turns))
    return replace(problem, shapes=tuple(shapes), pieces=tuple(pieces), bodies=tuple(bodies))


def _ways(question: _Question, lays: dict[str, ClothLay]) -> dict[tuple[str, int], int]:
    """The way that each copy of an item points on up-and-down cloth, by what lies still."""
    moving = {placed.label for placed in question.again}
    return {
        (placed.panel.item, placed.copy): placed.turn // 180
        for lay in lays.values()
        if lay.cloth.nap is Nap.UP_AND_DOWN
        for placed in lay.placed
        if placed.label not in moving
    }


def _put(
    cut: ClothPanels,
    lays: dict[str, ClothLay],
    question: _Question,
    placed: Sequence[Sequence[PlacedPanel]],
    others: dict[str, PlacedPanel],
) -> list[PlacedPanel]:
    """Put panels on their pieces in ``lays``; return those of the others that lie elsewhere."""
    moving = {each.label for each in question.again}
    was_on = {each.label: name for name, lay in lays.items() for each in lay.placed}
    moved = []
    for name, lay in lays.items():
        left = tuple(each for each in lay.placed if each.label not in moving)
        lays[name] = replace(lay, placed=left)
    for piece, here in zip(question.pieces, placed, strict=True):
        found = []
        for each in here:
            before = others.get(each.label)
            same = (
                before is not None
                and was_on[each.label] == piece.name
                and ((before.x, before.y, before.turn) == (each.x, each.y, each.turn))
            )
            found.append(replace(each, is_new=not same))
            if before is not None and not same:
                moved.append(each)
        if found:
            lay = lays.get(piece.name) or ClothLay(
                cut.cloth.on(piece), cut.panels, (), 1, proved_optimal=False, piece=piece
            )
            lays[piece.name] = replace(lay, placed=(*lay.placed, *found))
    return moved


def _bounded(lay: ClothLay) -> ClothLay:
    """The lay with a bound from the area of its panels."""
    area2 = sum(placed.panel.cut.area2 for placed in lay.placed)
    bound = -(-area2 // (2 * lay.cloth.usable_width))
    return replace(lay, lower_bound=bound, proved_optimal=False)
