"""Gores and discs lie closer than any packing of their boxes."""

import pytest
from layout_rules import broken_rules, used_length

from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.running import Limits
from nesting.packing.solver import solve
from nesting.panels.making import make_panels
from nesting.panels.product import products
from nesting.units import CM

#: Clear width of the cloth, which is laid one way.
WIDTH = 137 * CM


@pytest.fixture(scope="module")
def panels():
    """Gore and cap of two spheres of 50 cm: ten gores each, caps of 20 cm, 1.2 cm allowance."""
    pouf = products()["gored-pouf"]
    values = {each.name: each.default for each in pouf.measurements}
    values |= {"diameter": 500.0, "gores": 10, "cap_diameter": 200.0}
    made = make_panels(pouf, values, item="pouf", cloth="twill", quantity=2, allowance_mm=12.0)
    return {panel.name: panel for panel in made.panels}


def shortest_of_boxes(gore, cap):
    """Least length of 20 gore boxes g x h and 4 cap boxes c x c on the width, g > 3 c.

    Seven gores fit across and no cap beside them; beside six there is room
    for one cap. Suppose a lay of length 3 g + m with m < c; look at the lines
    across it at t, t + g, t + 2 g (and t + 3 g while that is within). Each
    gore meets just one line of a set. For t from m to g there are three lines
    for 20 gores, so they hold 7, 7 and 6, and at most one cap. Seen modulo g,
    each cap is an arc of length c > m, so it reaches into the phases m to g,
    where no two overlap: at most one reaches in over m and one over g, with
    c - m each at least, and the other two or three lie within. But
    2 (c - m) + 2 c <= g - m gives m >= 4 c - g > c, and
    (c - m) + 3 c <= g - m gives g >= 4 c: neither is so. Hence m >= c, and
    three columns of gores with the four caps behind them are the shortest.
    """
    (g, h), c = gore, cap
    assert 7 * h + c > WIDTH >= 7 * h
    assert 6 * h + 2 * c > WIDTH >= 6 * h + c
    assert 4 * c <= WIDTH
    assert 3 * c > g
    return 3 * g + c


def test_gores_and_caps_take_a_twelfth_less_than_their_boxes_at_best(panels):
    gore, cap = panels["gore"].cut, panels["cap"].cut
    assert (panels["gore"].copies, panels["cap"].copies) == (20, 4)
    assert cap.length == cap.height
    boxes = shortest_of_boxes((gore.length, gore.height), cap.length)
    shapes = (Shape(gore, (0,)), Shape(cap, (0,)))
    problem = Problem(WIDTH, shapes, (Piece(0),) * 20 + (Piece(1),) * 4)
    solution = solve(problem, Limits(seconds=None, steps=12))
    assert broken_rules(solution.layout) == []
    # A twelfth is 8.3 per cent; twelve steps reach 13, and so does a minute.
    assert used_length(solution.layout) <= 0.92 * boxes
