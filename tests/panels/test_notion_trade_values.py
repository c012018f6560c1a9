"""Quantities of notions beside published ones; where they differ, the test says by how much."""

import math

import pytest

from nesting.panels.drafting import sewing
from nesting.panels.drafting.sewing import Stitch


@pytest.mark.parametrize(
    ("diameter_cm", "litres"), [(80, 200), (96, 300), (104, 400), (112, 500), (120, 600)]
)
def test_beads_of_a_ball_agree_with_the_table_of_a_seller(diameter_cm, litres):
    """Beanbagsrus 2019: litres of beads by the diameter of a round bag (rounded to 50 l)."""
    least, greatest = sewing.beads(math.pi / 6 * diameter_cm**3 / 1000).litres
    assert least * 0.99 <= litres <= greatest


def test_the_smallest_bag_of_that_table_is_filled_fuller_than_we_advise():
    """Beanbagsrus 2019: 100 l at 60 cm, 0.88 of the ball of 113.1 l; 65 to 80 % by ITplast 2026."""
    ball = math.pi / 6 * 60**3 / 1000
    assert ball == pytest.approx(113.1, abs=0.05)
    assert sewing.beads(ball).litres[1] < 100 < 0.89 * ball


def test_thread_agrees_with_the_formula_of_the_trade():
    """textiletechinsight: C = 2 + 2TS to the inch; T = 0.04 in, S = 8: 2.64. Ours is 2.5."""
    ours = sewing.thread([(Stitch.LOCKSTITCH, 1000.0)]).lengths_mm[0] / 1.15 / 1000
    assert ours == pytest.approx(2 + 2 * 0.04 * 8, rel=0.06)


def test_foam_is_cut_as_an_upholsterer_of_boats_says():
    """Goodoldboat 117937: half an inch over the finished length and width; here 20 x 18 x 4 in."""
    sizes = [size / 25.4 for size in sewing.foam(20 * 25.4, 18 * 25.4, 4 * 25.4).lengths_mm]
    assert sizes == pytest.approx([20.5, 18.5, 4, 0.5])


def test_fibre_is_as_dense_as_published():
    """coziepillow: 12 to 16 oz to the cubic foot; 28.3168 l to the foot, 28.35 g to the ounce."""
    least, greatest = (kg / 0.0283495 for kg in sewing.fibre(28.3168).kilograms)
    assert (least, greatest) == pytest.approx((12, 16), rel=1e-3)
