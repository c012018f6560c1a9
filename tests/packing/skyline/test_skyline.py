"""Skyline search: valid lays, the compiled rule as documented, repeatable, never longer."""

import math
from unittest.mock import patch

import numpy as np
import plain_skyline
import pytest
from brute_force import shortest_strip
from hypothesis import given, settings
from hypothesis import strategies as st
from layout_rules import broken_rules, used_length
from strategies import QUARTERS, box

from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.skyline import kernels, search
from nesting.packing.skyline.search import RULES, Skyline, SkylineSearch
from nesting.packing.stage import Stage

ENDLESS = 2**60


@st.composite
def rectangle_problems(draw, most=9, reach=30, gaps=(0, 0, 1, 3)):
    """Rectangles on a strip that is wide enough for each of them in its first turn."""
    side = st.integers(1, reach)
    kinds = draw(st.lists(st.tuples(side, side), min_size=1, max_size=most))
    turns = draw(st.sampled_from([(0,), (0, 180), (0, 90), QUARTERS]))
    width = draw(st.integers(max(height for _, height in kinds), 3 * reach))
    shapes = tuple(Shape(box(*kind), turns) for kind in kinds)
    pieces = draw(st.lists(st.sampled_from(range(len(kinds))), min_size=1, max_size=most))
    return Problem(width, shapes, tuple(map(Piece, pieces)), draw(st.sampled_from(gaps)))


def bound_of(problem):
    return -(-problem.area2 // (2 * problem.width))


def sides(skyline):
    """Length and height of every way of every rectangle, grown by the gap."""
    size, ways = skyline.rectangles
    return [each[:count].tolist() for each, count in zip(size, ways, strict=True)]


def listed(arrangement):
    return [each.tolist() for each in (arrangement.pose, arrangement.x, arrangement.y)]


@given(rectangle_problems(), st.randoms(use_true_random=False))
@settings(deadline=None, max_examples=60)
def test_every_fill_is_lawful_and_lays_every_piece(problem, random):
    stage = Stage(problem)
    order = np.array(random.sample(range(len(stage.choices)), len(stage.choices)))
    filled = Skyline(stage).fill(order)
    assert (filled.x >= 0).all()
    assert broken_rules(stage.layout(filled)) == []


@given(
    rectangle_problems(),
    st.randoms(use_true_random=False),
    st.sampled_from(RULES),
    st.integers(1, 90),
    st.one_of(st.just(ENDLESS), st.integers(0, 400)),
)
@settings(deadline=None, max_examples=150)
def test_the_compiled_rule_lays_as_its_plain_twin(problem, random, rule, limit, most):
    skyline = Skyline(Stage(problem))
    n = len(problem.pieces)
    order = np.array(random.sample(range(n), n))
    width = problem.width + problem.gap
    left_over = kernels.fill(
        order, rule, skyline.rectangles, width, limit, most, skyline.lay, skyline.scratch
    )
    places, expected = plain_skyline.fill(order.tolist(), rule, sides(skyline), width, limit, most)
    assert left_over == expected
    x, y, way = (each.tolist() for each in skyline.lay)
    assert {i: (x[i], y[i], way[i]) for i in range(n) if x[i] >= 0} == places


@given(rectangle_problems(most=7), st.randoms(use_true_random=False), st.integers(1, 90))
@settings(deadline=None, max_examples=60)
def test_exchanges_never_leave_more_over_and_report_what_is_left(problem, random, limit):
    skyline, n = Skyline(Stage(problem)), len(problem.pieces)
    order, state = np.array(random.sample(range(n), n)), np.array([7], dtype=np.uint64)
    rectangles, lay, scratch = skyline.rectangles, skyline.lay, skyline.scratch
    strip = problem.width + problem.gap, limit
    before = kernels.fill(order, RULES[0], rectangles, *strip, ENDLESS, lay, scratch)
    after, stale, made = kernels.exchange(
        order, before, 0, 30, 25, RULES[0], rectangles, *strip, lay, scratch, state
    )
    assert sorted(order.tolist()) == list(range(n))
    assert after <= before
    assert stale <= made <= 30
    assert after == kernels.fill(order, RULES[0], rectangles, *strip, ENDLESS, lay, scratch)


@given(rectangle_problems(most=7), st.integers(0, 9))
@settings(deadline=None, max_examples=15)
def test_an_attempt_finds_a_shorter_lawful_lay_or_nothing(problem, seed):
    stage = Stage(problem)
    best = Skyline(stage).first()
    engine = SkylineSearch(stage, seed)
    for _ in range(2):
        if stage.used_length(best) == bound_of(problem):
            break
        with patch.object(search, "WORK", search.WORK // 10):  # enough for so few pieces
            found, proved = engine.attempt(best, bound_of(problem), math.inf)
        assert proved == 0
        if found is not None:
            assert stage.used_length(found) < stage.used_length(best)
            assert broken_rules(stage.layout(found)) == []
            best = found


@pytest.mark.parametrize("gap", [0, 2])
@pytest.mark.parametrize("turns", [(0,), (0, 90)])
def test_a_few_rectangles_come_to_lie_as_short_as_can_be(gap, turns):
    # The brute force tries every layout.
    kinds = [(3, 2), (5, 4), (2, 6), (4, 4), (1, 3), (6, 2)]
    shapes = tuple(Shape(box(*kind), turns) for kind in kinds)
    problem = Problem(7, shapes, tuple(map(Piece, range(6))), gap)
    stage = Stage(problem)
    search, best = SkylineSearch(stage, 0), Skyline(stage).first()
    least = shortest_strip(7, kinds, quarter_turns=90 in turns, gap=gap)
    while stage.used_length(best) > least:
        found, _ = search.attempt(best, least, math.inf)
        assert found is not None
        best = found
    assert used_length(stage.layout(best)) == least


def test_the_same_seed_searches_the_same_way_and_another_does_not():
    random = np.random.default_rng(3)
    shapes = tuple(
        Shape(box(int(a), int(b)), (0, 90)) for a, b in random.integers(50, 300, (24, 2))
    )
    stage = Stage(Problem(700, shapes, tuple(map(Piece, range(24)))))
    ends = []
    for seed in (1, 1, 2):
        search, best = SkylineSearch(stage, seed), Skyline(stage).first()
        for _ in range(4):
            best = search.attempt(best, 0, math.inf)[0] or best
        ends.append(listed(best))
    assert ends[0] == ends[1] != ends[2]


def test_a_piece_that_fills_the_gap_goes_before_a_larger_one():
    # Beside the first, 6 across is free: the third fills it, the second would not.
    shapes = tuple(Shape(box(*kind), (0,)) for kind in [(3, 4), (5, 5), (3, 6)])
    stage = Stage(Problem(10, shapes, (Piece(0), Piece(1), Piece(2))))
    filled = Skyline(stage).fill(np.array([0, 1, 2]))
    assert listed(filled)[1:] == [[0, 3, 0], [0, 0, 4]]


@given(rectangle_problems(gaps=(0,)))
@settings(deadline=None, max_examples=60)
def test_the_first_lay_is_the_shortest_that_the_plain_twin_fills_in_four_orders(problem):
    """Decreasing area, sum of sides, longer side, shorter side; equals in the order's turn."""
    stage = Stage(problem)
    skyline = Skyline(stage)
    ways = sides(skyline)
    measures = (math.prod, sum, max, min)
    orders = [
        sorted(range(len(ways)), key=lambda i, measure=measure: -measure(ways[i][0]))
        for measure in measures
    ]
    lengths = []
    for order in orders:
        places, over = plain_skyline.fill(order, RULES[0], ways, problem.width, ENDLESS, ENDLESS)
        assert over == 0
        lengths.append(max(x + ways[i][way][0] for i, (x, _, way) in places.items()))
    assert stage.used_length(skyline.first()) == min(lengths)


@pytest.mark.parametrize("quantity", [1, 3])
def test_an_endless_strip_has_no_end_to_be_level_with(quantity):
    """A piece of 1 × 2 on a strip of 2 fills it standing; lying, it would be twice as long."""
    stage = Stage(Problem(2, (Shape(box(1, 2), (0, 90)),), (Piece(0),) * quantity))
    assert stage.used_length(Skyline(stage).first()) == quantity
    stage = Stage(Problem(3, (Shape(box(1, 2), (0, 90)),), (Piece(0),)))
    assert stage.used_length(Skyline(stage).first()) == 1


def test_the_first_lay_takes_the_order_that_lies_shortest_by_hand():
    """On a strip of 4, in one turn only: a 1×3, b 2×2, c 3×2, d 1×1 (length × height).

    By area c b a d, of which c and b lie side by side to 3 and 2, then a (3 high) at 3 with d
    beside b: 4. The area of 3 + 4 + 6 + 1 = 14 asks for 14/4, so that none is shorter than 4.
    """
    shapes = tuple(Shape(box(*kind), (0,)) for kind in [(1, 3), (2, 2), (3, 2), (1, 1)])
    stage = Stage(Problem(4, shapes, tuple(map(Piece, range(4)))))
    assert stage.used_length(Skyline(stage).first()) == 4
