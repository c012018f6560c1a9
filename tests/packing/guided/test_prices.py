"""What overlaps cost, and how attempts are shared out between the powers of the depth."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import box, problems

from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.guided.prices import LEAST_SHARE, POWERS, Prices
from nesting.packing.guided.tables import Tables
from nesting.packing.stage import Stage
from nesting.units import MM

TRIES = 400


def chosen(prices, gains, passes=100, tries=TRIES):
    """How often each power is chosen, when its attempts have the given gains."""
    turns = [0] * len(POWERS)
    for _ in range(tries):
        prices.choose()
        turns[prices.chosen] += 1
        prices.note(gains[prices.chosen], passes)
    return turns


@pytest.fixture
def prices():
    stage = Stage(Problem(10 * MM, (Shape(box(4 * MM, 3 * MM), (0,)),), (Piece(0),) * 2))
    return Prices(Tables(stage), np.random.default_rng(3))


@given(problems(most=3, reach=40), st.sampled_from(POWERS))
@settings(deadline=None, max_examples=20)
def test_a_price_is_the_power_of_the_depth_and_what_is_free_stays_free(problem, power):
    tables = Tables(Stage(problem))
    priced, plain = tables.priced(power), tables.depths
    assert np.array_equal(priced.plain > 0, plain.plain > 0)
    deep = plain.plain > 0
    assert np.allclose(priced.plain[deep], plain.plain[deep].astype(float) ** power, rtol=1e-5)
    assert (priced.plain[~deep] <= 0).all()
    assert np.allclose(priced.phased, plain.phased.astype(float) ** power, rtol=1e-5)


def test_the_power_that_gains_more_is_chosen_more_often(prices):
    turns = chosen(prices, [0, 500])
    assert turns[1] > 0.7 * TRIES


def test_one_that_gains_nothing_still_gets_its_least_share(prices):
    turns = chosen(prices, [500, 0])
    assert turns[1] >= 0.5 * LEAST_SHARE * TRIES


def test_old_success_is_forgotten(prices):
    chosen(prices, [500, 0])
    turns = chosen(prices, [0, 500])
    assert turns[1] > 0.6 * TRIES


def test_without_any_success_all_powers_take_turns(prices):
    turns = chosen(prices, [0, 0])
    assert min(turns) > 0.3 * TRIES
