"""How turns are shared out between several ways to do a thing."""

import numpy as np
import pytest

from nesting.packing.shares import LEAST, Shares

TURNS = 400


def chosen(shares, gains, turns=TURNS, work=100):
    """How often each way had its turn, when its turns gain what is given."""
    counted = [0] * len(gains)
    for _ in range(turns):
        way = shares.choose()
        counted[way] += 1
        shares.note(gains[way], work)
    return counted


@pytest.fixture
def shares():
    return Shares([100.0, 100.0], 100.0, np.random.default_rng(3))


def test_the_way_that_gains_more_is_chosen_more_often(shares):
    assert chosen(shares, [0, 500])[1] > 0.7 * TURNS


def test_one_that_gains_nothing_still_gets_its_least_share(shares):
    assert chosen(shares, [500, 0])[1] >= 0.5 * LEAST * TURNS


def test_old_success_is_forgotten(shares):
    chosen(shares, [500, 0])
    assert chosen(shares, [0, 500])[1] > 0.6 * TURNS


def test_without_any_success_all_ways_take_turns(shares):
    assert min(chosen(shares, [0, 0])) > 0.3 * TURNS


def test_without_any_success_one_with_more_credit_is_chosen_more_often():
    shares = Shares([100.0, 900.0], 100.0, np.random.default_rng(3))
    turns = chosen(shares, [0, 0])
    assert turns[1] > 1.5 * turns[0] > 0


def test_the_same_gain_for_less_work_counts_for_more():
    shares = Shares([100.0, 100.0], 100.0, np.random.default_rng(3))
    counted = [0, 0]
    for _ in range(TURNS):
        way = shares.choose()
        counted[way] += 1
        shares.note(500, (100, 1000)[way])
    assert counted[0] > 0.65 * TURNS
