"""pack(): bare outlines on a strip, without an order; checked, with a bound on the length."""

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from numbers import Integral, Real
from typing import Final

import numpy as np

from nesting.cloth.cloth import Nap
from nesting.errors import Fault, OrderError, PanelTooLargeError, written
from nesting.geometry.outline import Outline, rounded_outward
from nesting.geometry.rings import read_ring
from nesting.geometry.transforms import outline_at, shifted, turned
from nesting.layouts.layout import Layout
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.orders.rules import MOST_PANELS
from nesting.packing.running import Limits
from nesting.packing.solver import solve
from nesting.planning.plan import DEFAULT_LIMITS, must_be_proved
from nesting.units import GRID_PER_MM, LARGEST, points_to_mm, to_mm
from nesting.verification.checker import check_claim
from nesting.verification.claims import Claim, Laid, Rules, Wanted

#: (x, y) in millimetres, as a list of pairs, rows of an array or the like.
GivenPoints = Iterable[Sequence[float]]

#: The turns that exist, degrees anticlockwise.
_TURNS: Final = (0, 90, 180, 270)

#: Grid units by which a float may differ from a whole number and still count as that number.
_ROUNDING: Final = 1e-6


@dataclass(frozen=True, slots=True)
class PackedOutline:
    """One outline where it lies on the strip; lengths are millimetres.

    ``index`` is its position among the given outlines, from 0. To get the
    outline as it lies, turn the given one about the origin by ``turn`` degrees
    anticlockwise, then move it by (``x_mm``, ``y_mm``). ``ring_mm`` holds its
    corners as it lies, (x, y), anticlockwise: rounded outward to 0.01 mm,
    without points on a straight line.
    """

    index: int
    turn: int
    x_mm: float
    y_mm: float
    ring_mm: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Packing:
    """Outlines laid on a strip, checked by independent code; lengths are millimetres.

    x runs along the strip from 0 to ``used_length_mm``, y across it from 0 to
    its width. No lay of these outlines is shorter than ``lower_bound_mm``;
    ``proved_optimal`` is true if this one is as short as that. ``density`` is
    the area of the outlines as a share (0 to 1) of the strip used. ``placed``
    is in the order of the outlines, copies together.
    """

    placed: tuple[PackedOutline, ...]
    used_length_mm: float
    lower_bound_mm: float
    density: float
    proved_optimal: bool


def pack(  # noqa: PLR0913 - all but two are given by name
    outlines: Iterable[GivenPoints],
    width: float,
    *,
    quantities: Iterable[int] | None = None,
    turns: Iterable[int] = (0,),
    gap: float = 0.0,
    limits: Limits = DEFAULT_LIMITS,
    seed: int = 0,
    workers: int = 1,
) -> Packing:
    """Lay outlines on a strip of a given width, as short as can be found within ``limits``.

    An outline is a list of (x, y) in millimetres, clockwise or anticlockwise.
    ``quantities`` says how often each is laid (default: once). All may take
    the ``turns`` (of 0, 90, 180, 270 degrees anticlockwise) and none is
    mirrored. ``gap``, in millimetres, is left clear between any two, but not
    to the edges. Outlines are rounded outward to 0.01 mm, the gap up and the
    width down. With one worker, a seed and ``limits`` in steps the result is
    always the same. Further workers are processes, so a script needs the
    ``__main__`` guard of `multiprocessing`.

    Raises
    ------
    OrderError
        With every argument that is wrong; an outline is named by its index.
    PanelTooLargeError
        With every outline that is wider than the strip in all its turns.
    UnprovenLayError
        When the independent check finds fault with the result: a fault in the program.
    """
    task = _checked([*outlines], width, quantities, turns, gap)
    _must_fit(task)
    solution = solve(task.problem, limits, seed=seed, workers=workers)
    placed = tuple(_placed(task, solution.layout))
    must_be_proved(tuple(check_claim(_claim(task, placed))))
    used = max(x for one in placed for x, _ in one.ring_mm)
    return Packing(
        placed,
        used_length_mm=used,
        lower_bound_mm=to_mm(solution.lower_bound),
        density=task.area_mm2 / (used * to_mm(task.problem.width)),
        proved_optimal=solution.proved_optimal,
    )


@dataclass(frozen=True)
class _Task:
    """Outlines on the grid at their given places, how often each is laid, and the problem."""

    outlines: tuple[Outline, ...]
    quantities: tuple[int, ...]
    problem: Problem

    @property
    def indices(self) -> tuple[int, ...]:
        """The outline of each piece of the problem."""
        counted = enumerate(self.quantities)
        return tuple(index for index, quantity in counted for _ in range(quantity))

    @property
    def area_mm2(self) -> float:
        """Area of all pieces."""
        return self.problem.area2 / (2 * GRID_PER_MM**2)


def _checked(
    given: Sequence[GivenPoints],
    width: float,
    quantities: Iterable[int] | None,
    turns: Iterable[int],
    gap: float,
) -> _Task:
    """The task given by the arguments; raises an `OrderError` with every fault in them."""
    counts = (1,) * len(given) if quantities is None else (*quantities,)
    ways = tuple(dict.fromkeys(turns))
    faults = [
        *_length_faults("width", width, least=1),
        *_length_faults("gap", gap, least=0),
        *_turn_faults(ways),
        *_count_faults(counts, len(given)),
    ]
    outlines = []
    for index, points in enumerate(given):
        try:
            ring = read_ring(points, f"outlines[{index}]")
            outlines.append(Outline(rounded_outward(ring)))
        except OrderError as error:
            faults += error.faults
    if faults:
        raise OrderError(faults)
    problem = _problem(outlines, counts, tuple(map(int, ways)), width, gap)
    return _Task(tuple(outlines), counts, problem)


def _problem(
    outlines: Sequence[Outline],
    counts: Sequence[int],
    ways: tuple[int, ...],
    width: float,
    gap: float,
) -> Problem:
    """The packing problem: equal outlines share a shape, the width is rounded down, the gap up."""
    shapes: dict[Outline, int] = {}
    pieces = [
        Piece(shapes.setdefault(outline_at(outline, 0), len(shapes)))
        for outline, count in zip(outlines, counts, strict=True)
        for _ in range(count)
    ]
    return Problem(
        width=math.floor(width * GRID_PER_MM + _ROUNDING),
        shapes=tuple(Shape(outline, ways) for outline in shapes),
        pieces=tuple(pieces),
        gap=math.ceil(gap * GRID_PER_MM - _ROUNDING),
    )


def _length_faults(name: str, value: float, *, least: int) -> Iterator[Fault]:
    """Faults of a value that is not a number from ``least`` grid units to 1 km."""
    is_number = isinstance(value, Real) and not isinstance(value, bool)
    if not is_number or not to_mm(least) <= value <= to_mm(LARGEST):
        rule = f"must be a number of millimetres from {to_mm(least):g} to 1 km"
        yield Fault(name, rule, written(value), "check the number and its unit")


def _turn_faults(ways: tuple[int, ...]) -> Iterator[Fault]:
    if not ways or not set(ways) <= set(_TURNS):
        rule = f"must be one or more of {', '.join(map(str, _TURNS))} degrees"
        yield Fault("turns", rule, written(list(ways)), "give them like (0, 180)")


def _count_faults(counts: tuple[int, ...], outlines: int) -> Iterator[Fault]:
    if not outlines:
        yield Fault("outlines", "must hold at least one outline", "", "give an outline")
    if len(counts) != outlines:
        rule = "must hold one number for each outline"
        yield Fault(
            "quantities", rule, f"{len(counts)} for {outlines}", "give one for each outline"
        )
    wrong = [n for n in counts if isinstance(n, bool) or not isinstance(n, Integral) or n < 1]
    if wrong:
        rule = "must be whole numbers of 1 or more"
        yield Fault("quantities", rule, written(wrong), "leave out outlines that are not needed")
    elif sum(counts) > MOST_PANELS:
        rule = f"must not be more than {MOST_PANELS} in all"
        yield Fault("quantities", rule, str(sum(counts)), "pack them in several runs")


def _must_fit(task: _Task) -> None:
    """Refuse outlines that are wider than the strip in every allowed turn.

    Raises
    ------
    PanelTooLargeError
        With each of these outlines.
    """
    ways, width = task.problem.shapes[0].turns, task.problem.width
    needed = [
        min(outline.length if way % 180 else outline.height for way in ways)
        for outline in task.outlines
    ]
    faults = [
        _too_wide(f"outlines[{index}]", task.outlines[index], height, width)
        for index, height in enumerate(needed)
        if height > width
    ]
    if faults:
        raise PanelTooLargeError(faults)


def _too_wide(place: str, outline: Outline, needed: int, width: int) -> Fault:
    """The size of an outline that is too wide, and what would let it fit."""
    quarter = "allow a quarter turn, or " if min(outline.length, outline.height) <= width else ""
    return Fault(
        place,
        f"must fit the width of {to_mm(width):.2f} mm in an allowed turn",
        f"{to_mm(outline.length):.2f} mm along the strip, {to_mm(outline.height):.2f} mm across",
        f"{quarter}take a strip at least {to_mm(needed):.2f} mm wide",
    )


def _placed(task: _Task, layout: Layout) -> Iterator[PackedOutline]:
    """Every piece where a layout puts it, with the start of the lay at x = 0."""
    start = min(place.x for place in layout.placements)
    for index, place in zip(task.indices, layout.placements, strict=True):
        points = turned(task.outlines[index].points, place.turn)
        dx = place.x - start - min(x for x, _ in points)
        dy = place.y - min(y for _, y in points)
        yield PackedOutline(
            index,
            place.turn,
            to_mm(dx),
            to_mm(dy),
            points_to_mm(shifted(points, dx, dy)),
        )


def _claim(task: _Task, placed: Iterable[PackedOutline]) -> Claim:
    """The packing in the form that the independent check reads."""
    asked = zip(task.outlines, task.quantities, strict=True)
    wanted = {
        ("outline", str(index)): Wanted(
            ("outline", str(index)),
            np.array(outline.points) / GRID_PER_MM,
            quantity=count,
            items=count,
            any_grain=True,
        )
        for index, (outline, count) in enumerate(asked)
    }
    copies: Counter[int] = Counter()
    laid_outlines = []
    for one in placed:
        copies[one.index] += 1
        key, ring = ("outline", str(one.index)), np.array(one.ring_mm)
        laid_outlines.append(Laid(key, copies[one.index], 1, one.turn, ring))
    rules = Rules(
        width=to_mm(task.problem.width),
        selvedge=0.0,
        nap=Nap.EITHER_WAY,
        cross_grain=True,
        gap=to_mm(task.problem.gap),
        end_allowance=0.0,
        buy_step=to_mm(1),
    )
    return Claim("strip", rules, wanted, tuple(laid_outlines))
