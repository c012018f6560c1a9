"""As many whole items as fit on the cloth that is there."""

from dataclasses import replace
from functools import partial

import pytest
from test_laid_pieces import CLOTH, STEPS, cushion, panels, remnant

from nesting.errors import NotEnoughClothError
from nesting.orders.order import Order
from nesting.planning.partial import LeftOut, plan_what_fits
from nesting.planning.plan import plan_order

PLAN = partial(plan_order, limits=STEPS, workers=1)


def planned(*items, stock):
    cloth = replace(CLOTH, stock=stock, may_buy=False)
    found, left_out = plan_what_fits(Order("Porch", "cm", (cloth,), items), PLAN)
    laid = sum(len(lay.placed) for lay in found.lay.cloths)
    return laid, left_out


def test_what_fits_is_laid_and_the_rest_is_told():
    # Two squares of half a metre fit on half a metre of cloth, a metre wide.
    left = (LeftOut("square", left=2, ordered=4),)
    assert planned(panels(4), stock=(remnant("R1", 50),)) == (2, left)


def test_an_order_that_fits_is_laid_whole():
    assert planned(panels(4), stock=(remnant("R1", 100),)) == (4, ())


def test_one_item_that_makes_room_enough_is_left_out_rather_than_several():
    items = panels(1, 600.0, 1000.0, "rug"), panels(2, 400.0, 500.0, "mat")
    # 60 + 40 cm are needed: one rug, or two mats, too many for 70 cm.
    laid, left = planned(*items, stock=(remnant("R1", 70),))
    assert (laid, left) == (2, (LeftOut("rug", left=1, ordered=1),))


def test_where_not_one_item_fits_it_is_said_that_cloth_is_too_little():
    # Two cushions of two squares; each piece holds one square, of another shade.
    stock = (remnant("D", 52, 52, shade="dark"), remnant("L", 52, 52, shade="light"))
    with pytest.raises(NotEnoughClothError):
        planned(cushion(), stock=stock)
