"""What overlaps cost."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import box, problems

from nesting.layouts.problem import Piece, Problem, Shape
from nesting.packing.prices import POWERS, Prices
from nesting.packing.stage import Stage
from nesting.packing.tables import Tables
from nesting.units import MM


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


def test_every_power_has_its_attempts():
    stage = Stage(Problem(10 * MM, (Shape(box(4 * MM, 3 * MM), (0,)),), (Piece(0),) * 2))
    prices = Prices(Tables(stage), 1.0, 100.0, np.random.default_rng(3))
    taken = {id(prices.choose()) for _ in range(50)}
    assert taken == {id(depths) for depths in prices.depths}
    assert len(taken) == len(POWERS)
