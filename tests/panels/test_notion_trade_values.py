"""Quantities of notions beside published ones; where they differ, the test says by how much."""

import math

import pytest

from nesting.panels.drafting import sewing
from nesting.panels.drafting.sewing import Stitch


@pytest.mark.parametrize(
    ("diameter_cm", "least", "greatest"),
    [(60, 73.5, 90.5), (80, 174.3, 214.5), (96, 301.1, 370.6), (120, 588.1, 723.8)],
)
def test_beads_are_65_to_80_per_cent_of_a_ball(diameter_cm, least, greatest):
    """Shares: ITplast 2026; π·D³/6 by hand. `test_pouf_profiles` holds them against a seller's."""
    found = sewing.beads(math.pi / 6 * diameter_cm**3 / 1000).litres
    assert found == pytest.approx((least, greatest), abs=0.05)


@pytest.mark.parametrize(
    ("thickness", "stitches", "short"),
    [
        (0.04, 8, 0.14),  # the page's own example: 2.64
        (0.03125, 8, 0.0),  # a seam 1/32 in thick: 2.5, as ours
    ],
)
def test_thread_beside_the_formula_of_the_trade(thickness, stitches, short):
    """textiletechinsight: C = 2 + 2·T·S of thread to the inch of seam; T in inches, S to the inch.

    Ours is 2.5 for every cloth (melgeecrafts), 0.14 less than the page's own example; the 15 %
    for ends (apparelscience) cover that.
    """
    with_ends = sewing.thread([(Stitch.LOCKSTITCH, 1000.0)]).lengths_mm[0] / 1000
    published = 2 + 2 * thickness * stitches
    assert published - with_ends / 1.15 == pytest.approx(short, abs=1e-6)
    assert with_ends > published


def test_foam_is_cut_as_an_upholsterer_of_boats_says():
    """Goodoldboat 117937: half an inch over the finished length and width; here 20 x 18 x 4 in."""
    sizes = [size / 25.4 for size in sewing.foam(20 * 25.4, 18 * 25.4, 4 * 25.4).lengths_mm]
    assert sizes == pytest.approx([20.5, 18.5, 4, 0.5])


def test_fibre_is_as_dense_as_published():
    """coziepillow: 12 to 16 oz to the cubic foot; 28.3168 l to the foot, 28.35 g to the ounce."""
    least, greatest = (kg / 0.0283495 for kg in sewing.fibre(28.3168).kilograms)
    assert (least, greatest) == pytest.approx((12, 16), rel=1e-3)
