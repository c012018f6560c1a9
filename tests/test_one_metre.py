"""What is known to come out of one metre of 54 in cloth (common practice, no published source)."""

import pytest

from nesting.orders.reader import parse_order
from nesting.packing.running import Limits
from nesting.planning.plan import plan_order

CLOTH = """
version = 1
name = "one metre"
units = "in"
[[cloth]]
name = "cloth"
width = 54
nap = "one-way"
"""

SQUARES = """
[[item]]
product = "panel"
name = "square"
quantity = 2
cloth = "cloth"
seam_allowance = 0
length = 25
width = 25
[[item]]
product = "panel"
name = "strip"
quantity = 4
cloth = "cloth"
seam_allowance = 0
length = 6
width = 26
"""

POUF = """
[[item]]
product = "gored-pouf"
name = "pouf"
quantity = 1
cloth = "cloth"
seam_allowance = "1 cm"
diameter = "40 cm"
height = "30 cm"
gores = 10
cap_diameter = "15 cm"
"""


def planned(items, steps):
    plan = plan_order(parse_order(CLOTH + items), Limits(steps=steps), workers=1)
    return plan.lay.cloths[0]


def test_two_squares_and_four_strips_of_a_cushion_come_out_of_a_metre():
    """Two 25 in squares side by side, and two pairs of 26 in strips behind: 25 + 6 + 6 = 37 in."""
    lay = planned(SQUARES, steps=5)
    assert len(lay.placed) == 6
    assert lay.used_length == 37 * 2540
    assert lay.used_length < 100_000
    assert lay.proved_optimal


def test_ten_gores_and_two_caps_of_a_pouf_come_out_of_well_under_a_metre():
    """Well under: two thirds of it."""
    lay = planned(POUF, steps=40)
    assert len(lay.placed) == 12
    assert lay.lower_bound <= lay.used_length
    assert lay.used_length < 66_700


@pytest.mark.parametrize("items", [SQUARES, POUF])
def test_the_same_steps_give_the_same_lay(items):
    first, second = planned(items, steps=3), planned(items, steps=3)
    assert first.placed == second.placed
