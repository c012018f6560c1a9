"""Small orders are solved to proven optimality, and nothing false is proved."""

import math
import random

import pytest
from brute_force import shortest_strip
from hypothesis import given, settings
from hypothesis import strategies as st
from layout_rules import broken_rules, used_length
from strategies import box, problems
from tiny_optima import shortest_length

from nesting.geometry.outline import Outline
from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.cpsat.whole_orders import WholeOrders, solve_rectangles
from nesting.packing.cpsat.windows import RectangleWindows
from nesting.packing.engine import Attempt
from nesting.packing.running import Limits, uninterrupted
from nesting.packing.solver import first_layout, solve
from nesting.packing.stage import Stage
from nesting.units import MM

TURNS = {False: (0,), True: (0, 90)}

sizes = st.tuples(st.integers(1, 9), st.integers(1, 8))


def order(width, rectangles, *, quarter_turns=False, gap=0, unit=MM):
    """One piece of each rectangle; equal ones are one shape."""
    kinds = list(dict.fromkeys(rectangles))
    shapes = tuple(Shape(box(a * unit, b * unit), TURNS[quarter_turns]) for a, b in kinds)
    pieces = tuple(Piece(kinds.index(each)) for each in rectangles)
    return Problem(width * unit, shapes, pieces, gap * unit)


def drawn(seed, pieces):
    """Width and sizes of a random order of rectangles."""
    draw = random.Random(1000 * pieces + seed)
    width = draw.randint(8, 12)
    return width, [(draw.randint(1, 9), draw.randint(1, 8)) for _ in range(pieces)]


def cut(seed, length, width, pieces):
    """A rectangle cut by straight cuts from edge to edge, its parts shuffled."""
    draw = random.Random(seed)
    parts = [(length, width)]
    while len(parts) < pieces:
        a, b = parts.pop(parts.index(max(parts, key=lambda part: part[0] * part[1])))
        if a > b:
            at = draw.randint(1, a - 1)
            parts += [(at, b), (a - at, b)]
        else:
            at = draw.randint(1, b - 1)
            parts += [(a, at), (a, b - at)]
    draw.shuffle(parts)
    return parts


def solved(problem, steps=16):
    """The solution, after its layout has been checked with another library."""
    solution = solve(problem, Limits(seconds=None, steps=steps))
    assert broken_rules(solution.layout) == []
    assert solution.lower_bound <= used_length(solution.layout)
    return solution


# --- Rectangles ---------------------------------------------------------------------------


@given(st.integers(1, 4), st.data(), st.booleans())
@settings(deadline=None, max_examples=20)
def test_brute_force_agrees_with_trying_every_place_on_the_grid(pieces, data, turns):
    width = data.draw(st.integers(2, 5))
    side = st.tuples(st.integers(1, 4), st.integers(1, min(4, width)))
    rectangles = data.draw(st.lists(side, min_size=pieces, max_size=pieces))
    problem = order(width, rectangles, quarter_turns=turns, unit=1)
    assert shortest_strip(width, rectangles, quarter_turns=turns) == shortest_length(problem)


@given(st.integers(8, 12), st.lists(sizes, min_size=1, max_size=5), st.booleans())
@settings(deadline=None, max_examples=20)
def test_orders_of_up_to_five_rectangles_are_as_short_as_brute_force_finds(width, rects, turns):
    solution = solved(order(width, rects, quarter_turns=turns))
    assert solution.proved_optimal
    best = shortest_strip(width, rects, quarter_turns=turns) * MM
    assert used_length(solution.layout) == solution.lower_bound == best


# Seeds that brute force answers within about a second.
@pytest.mark.parametrize("turns", [False, True])
@pytest.mark.parametrize(("pieces", "seed"), [(6, 7), (7, 1), (7, 3), (8, 0), (8, 4), (8, 7)])
def test_orders_of_up_to_eight_rectangles_are_too(pieces, seed, turns):
    width, rects = drawn(seed, pieces)
    solution = solved(order(width, rects, quarter_turns=turns))
    assert solution.proved_optimal
    best = shortest_strip(width, rects, quarter_turns=turns) * MM
    assert used_length(solution.layout) == solution.lower_bound == best


@pytest.mark.parametrize("turns", [False, True])
@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("pieces", [7, 8])
def test_a_rectangle_that_was_cut_up_is_put_together_again(pieces, seed, turns):
    # Nothing is left over in 30 x 20, so nothing can be shorter than 30.
    rectangles = cut(seed, 30, 20, pieces)
    assert sum(a * b for a, b in rectangles) == 30 * 20
    solution = solved(order(20, rectangles, quarter_turns=turns))
    assert used_length(solution.layout) == solution.lower_bound == 30 * MM
    assert solution.proved_optimal


def test_the_unit_of_length_does_not_matter():
    # 5 x 3 upright beside 4 x 3 leaves room for nothing else: in odd sizes too.
    width, rects = drawn(1, 6)
    best = shortest_strip(width, rects, quarter_turns=True)
    for unit in (1, 7, 2_540):
        solution = solved(order(width, rects, quarter_turns=True, unit=unit))
        assert solution.proved_optimal
        assert used_length(solution.layout) == best * unit


# --- Rectangles with a gap ----------------------------------------------------------------


@given(
    st.integers(3, 6),
    st.lists(st.tuples(st.integers(1, 3), st.integers(1, 3)), min_size=2, max_size=3),
    st.integers(1, 2),
    st.booleans(),
)
@settings(deadline=None, max_examples=15)
def test_with_a_gap_bound_and_length_hold_the_true_optimum_between_them(width, rects, gap, turns):
    problem = order(width, rects, quarter_turns=turns, gap=gap, unit=1)
    solution = solved(problem)
    # Corner to corner the gap is round, so every place on the grid is tried.
    best = shortest_length(problem)
    assert solution.lower_bound <= best <= used_length(solution.layout)
    if solution.proved_optimal:
        assert used_length(solution.layout) == best
    # Counting the gap as part of the box does no better.
    assert used_length(solution.layout) <= shortest_strip(
        width, rects, quarter_turns=turns, gap=gap
    )


@pytest.mark.parametrize("turns", [False, True])
@pytest.mark.parametrize("seed", [4, 7])
def test_six_rectangles_with_a_gap_are_no_longer_than_boxes_with_it(seed, turns):
    width, rects = drawn(seed, 6)
    solution = solved(order(width, rects, quarter_turns=turns, gap=1))
    boxes = shortest_strip(width, rects, quarter_turns=turns, gap=1) * MM
    assert solution.lower_bound <= used_length(solution.layout) <= boxes


def test_rows_with_a_gap_are_proved():
    # Two rows of three: 3 x 4 + 2 gaps of 1 along, 2 x 5 + 1 across.
    solution = solved(order(11, [(4, 5)] * 6, gap=1))
    assert solution.proved_optimal
    assert used_length(solution.layout) == 14 * MM


def test_a_round_corner_keeps_a_layout_of_boxes_from_being_called_optimal():
    # 10 x 10 twice on a strip of 24, 5 apart: one above the other they would need 25. Corner
    # to corner, 3 along and 4 across, they are 5 apart: 23 long. Boxes with a gap need 25.
    solution = solved(order(24, [(10, 10)] * 2, gap=5))
    assert solution.lower_bound <= 23 * MM
    assert used_length(solution.layout) >= 23 * MM
    assert solution.proved_optimal == (used_length(solution.layout) == 23 * MM)


def test_where_no_corner_matters_a_layout_with_a_gap_is_proved():
    # On a strip of 20 there is no room across for less than the whole gap along.
    solution = solved(order(20, [(10, 11)] * 2, gap=5))
    assert solution.proved_optimal
    assert used_length(solution.layout) == 25 * MM


# --- Other outlines -----------------------------------------------------------------------


@given(problems(most=3, reach=4, turns=(0, 180)))
@settings(deadline=None, max_examples=25)
def test_two_or_three_small_outlines_are_as_short_as_the_grid_allows(problem):
    solution = solved(problem)
    assert solution.proved_optimal
    assert used_length(solution.layout) == solution.lower_bound == shortest_length(problem)


def pieces_of(width, *shapes, gap=0, bundle=None):
    return Problem(width, shapes, tuple(Piece(i, bundle) for i in range(len(shapes))), gap)


HALF = Outline(((0, 0), (800, 0), (0, 400)))
ELL = Outline(((0, 0), (600, 0), (600, 300), (300, 300), (300, 600), (0, 600)))
ARROW = Outline(((0, 0), (500, 0), (800, 200), (500, 400), (0, 400), (300, 200)))


@pytest.mark.parametrize(
    ("problem", "length"),
    [
        # Two right triangles, either way: one rectangle.
        (pieces_of(400, *[Shape(HALF, (0, 180))] * 2), 800),
        # Pointing one way they can only lie one behind the other; each is 800 long at its foot.
        (pieces_of(400, *[Shape(HALF, (0,))] * 2), 1_600),
        # Two rectangles of triangles.
        (pieces_of(400, *[Shape(HALF, (0, 180))] * 4), 1_600),
        # Arrows that point one way nest in each other: 800, and 500 for every further one.
        (pieces_of(400, *[Shape(ARROW, (0,))] * 3), 1_800),
        # An L, a square in its corner, and a strip below both.
        (
            pieces_of(
                900,
                Shape(
                    Outline(((0, 0), (600, 0), (600, 300), (300, 300), (300, 600), (0, 600))), (0,)
                ),
                Shape(box(300, 300), (0,)),
                Shape(box(600, 300), (0,)),
            ),
            600,
        ),
    ],
)
def test_orders_with_a_known_optimum_reach_it_and_are_proved(problem, length):
    solution = solved(problem)
    assert solution.proved_optimal
    assert used_length(solution.layout) == solution.lower_bound == length


def test_a_bundle_is_proved_with_its_rule():
    # The two triangles of one bundle may not turn against each other.
    solution = solved(pieces_of(400, *[Shape(HALF, (0, 180))] * 2, bundle=1))
    assert solution.proved_optimal
    assert used_length(solution.layout) == 1_600


@given(problems(most=3, reach=6, gaps=(1, 2, 3)))
@settings(deadline=None, max_examples=6)
def test_outlines_with_a_gap_are_never_proved_longer_than_they_need_be(problem):
    solution = solved(problem, steps=3)
    assert solution.lower_bound <= shortest_length(problem)


# --- Impossible orders, and where the proof comes from ------------------------------------


@pytest.mark.parametrize("turns", [False, True])
def test_an_order_that_cannot_fit_the_width_is_refused_and_never_proved(turns):
    with pytest.raises(ValueError, match="wider than the strip"):
        solve(order(10, [(4, 4), (11, 12)], quarter_turns=turns), Limits(seconds=None, steps=8))


#: Orders for which only CP-SAT's own bound is tight.
LOOSE = [(6, 1, True), (6, 2, False), (8, 4, True)]


@pytest.mark.parametrize(("pieces", "seed", "turns"), LOOSE)
def test_proof_comes_from_the_constraint_solver(monkeypatch, pieces, seed, turns):
    problem = order(*drawn(seed, pieces), quarter_turns=turns)
    assert solved(problem).proved_optimal
    for engine in (WholeOrders, RectangleWindows):
        monkeypatch.setattr(engine, "attempt", lambda *_: Attempt(None))
    without = solved(problem, steps=40)
    assert not without.proved_optimal
    assert without.lower_bound < used_length(without.layout)


def test_the_exact_search_alone_comes_to_the_proof_with_ever_more_work():
    width, rects = drawn(1, 6)
    stage = Stage(order(width, rects, quarter_turns=True))
    best = shortest_strip(width, rects, quarter_turns=True) * MM
    search = WholeOrders(stage, 0, uninterrupted, solve_rectangles)
    lay, proved = first_layout(stage), 1
    for _ in range(6):
        found, bound = search.attempt(lay, proved, math.inf)
        proved = max(proved, bound)
        assert proved <= best
        if found is not None:
            assert stage.is_valid(found)
            assert stage.used_length(found) <= stage.used_length(lay)
            lay = found
    assert stage.used_length(lay) == proved == best
