"""Whether a panel can lie on a cloth."""

from dataclasses import replace

import pytest
from worked_lays import rectangle

from nesting.cloth.cloth import Cloth, Nap
from nesting.layouts.fit import fits, least_height, redrawn_to_fit
from nesting.panels.panel import GrainRule
from nesting.units import CM

#: 100 cm, of which 96 can be used.
CLOTH = Cloth("serge", 100 * CM, selvedge=2 * CM)


def strip(length, height, **more):
    return rectangle(length * CM, height * CM, name="boxing", item="seat", **more)


@pytest.mark.parametrize(("height", "does"), [(96, True), (96.01, False)])
def test_a_panel_may_be_as_high_as_the_usable_width(height, does):
    assert fits(strip(20, height), CLOTH) is does


def test_turning_counts_only_where_cloth_and_grain_allow_it():
    tall = strip(10, 120)
    assert not fits(tall, CLOTH)
    assert not fits(tall, replace(CLOTH, nap=Nap.EITHER_WAY))
    assert fits(tall, replace(CLOTH, nap=Nap.EITHER_WAY, cross_grain=True))
    free = replace(tall, grain_rule=GrainRule.ANY)
    assert fits(free, replace(CLOTH, nap=Nap.UP_AND_DOWN))
    assert least_height(free, replace(CLOTH, nap=Nap.UP_AND_DOWN)) == 10 * CM


def test_a_free_panel_too_high_for_a_one_way_cloth_is_drawn_a_quarter_round():
    free = strip(10, 120, grain_rule=GrainRule.ANY)
    redrawn = redrawn_to_fit(free, CLOTH)
    assert (redrawn.cut.length, redrawn.cut.height) == (120 * CM, 10 * CM)
    assert fits(redrawn, CLOTH)


@pytest.mark.parametrize(
    ("panel", "cloth"),
    [
        (strip(10, 120), CLOTH),
        (strip(10, 90, grain_rule=GrainRule.ANY), CLOTH),
        (strip(10, 120, grain_rule=GrainRule.ANY), replace(CLOTH, nap=Nap.EITHER_WAY)),
        (strip(130, 120, grain_rule=GrainRule.ANY), CLOTH),
    ],
    ids=["grain as drawn", "fits as it is", "may be turned", "fits neither way"],
)
def test_every_other_panel_stays_as_it_was_drawn(panel, cloth):
    assert redrawn_to_fit(panel, cloth) is panel
