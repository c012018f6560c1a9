"""Which roll to buy."""

from dataclasses import replace
from decimal import Decimal

import pytest

from nesting.cloth.cloth import Cloth, Price
from nesting.errors import PanelTooLargeError, RollTooShortError
from nesting.orders.order import Item, Order
from nesting.packing.running import Limits
from nesting.purchasing import Yardstick, as_record, compare_rolls
from nesting.units import CM, M

ONE_STEP = Limits(seconds=None, steps=1)

#: Four panels of 40 x 30 cm, cut sizes.
ORDER = Order(
    "Porch",
    "cm",
    (Cloth("serge", 140 * CM), Cloth("lining", 90 * CM)),
    (
        Item("top", "panel", 4, "serge", 0.0, {"length": 400.0, "width": 300.0}),
        Item("under", "panel", 1, "lining", 0.0, {"length": 400.0, "width": 300.0}),
    ),
)


def roll(name, width_cm, price=None, **more):
    priced = Price(Decimal(price), M, "EUR") if price else None
    return Cloth(name, round(width_cm * CM), price=priced, **more)


def compared(*rolls, **more):
    return compare_rolls(ORDER, "serge", rolls, ONE_STEP, workers=1, **more)


def names(comparison):
    return [offer.cloth.name for offer in comparison.offers]


def test_the_cheapest_comes_first():
    # Four abreast on 120 cm: 40 cm to buy; two abreast on 60 cm: 80 cm.
    comparison = compared(roll("wide", 120, "10"), roll("narrow", 60, "4"))
    assert names(comparison) == ["narrow", "wide"]
    assert comparison.ranked_by is Yardstick.COST
    assert [offer.cost for offer in comparison.offers] == [Decimal("3.20"), Decimal("4.00")]
    assert comparison.best is comparison.offers[0]


def test_at_equal_cost_the_smaller_area_comes_first():
    comparison = compared(roll("wider", 130, "10"), roll("wide", 120, "10"))
    assert names(comparison) == ["wide", "wider"]


@pytest.mark.parametrize(
    "unpriced",
    [roll("wide", 130), replace(roll("wide", 130), price=Price(Decimal(1), M, "USD"))],
    ids=["no price", "another currency"],
)
def test_where_prices_cannot_be_compared_the_area_bought_decides(unpriced):
    # 130 x 40 cm against 60 x 80 cm.
    comparison = compared(unpriced, roll("narrow", 60, "400"))
    assert comparison.ranked_by is Yardstick.AREA
    assert [offer.area for offer in comparison.offers] == [60 * 80 * CM**2, 130 * 40 * CM**2]


def test_what_cannot_be_used_comes_last_with_the_reason():
    comparison = compared(
        roll("slim", 20, "1"), roll("stub", 60, "1", roll_length=50 * CM), roll("good", 60, "9")
    )
    assert names(comparison) == ["good", "slim", "stub"]
    assert isinstance(comparison.offers[1].refusal, PanelTooLargeError)
    assert isinstance(comparison.offers[2].refusal, RollTooShortError)


def test_a_price_of_what_cannot_be_used_does_not_change_the_yardstick():
    assert compared(roll("slim", 20), roll("good", 60, "9")).ranked_by is Yardstick.COST


def test_nothing_that_fits_has_no_best():
    assert compared(roll("slim", 20, "1")).best is None


def test_only_items_of_the_cloth_that_is_bought_are_laid():
    (offer,) = compared(roll("wide", 120)).offers
    assert {placed.panel.item for placed in offer.lays[0].placed} == {"top"}


def test_after_an_interruption_the_rest_is_left_open():
    asked = []

    def interrupted():
        return bool(asked)

    comparison = compare_rolls(
        ORDER,
        "serge",
        [roll("first", 120, "9"), roll("second", 60, "1")],
        Limits(seconds=600.0),
        workers=1,
        observe=lambda *_: asked.append(True),
        interrupted=interrupted,
    )
    assert names(comparison) == ["first", "second"]
    assert comparison.offers[0].plan
    assert (comparison.offers[1].plan, comparison.offers[1].refusal) == (None, None)


def test_the_record_tells_figures_and_reasons():
    record = as_record(compared(roll("slim", 20, "1"), roll("narrow", 60, "4")))
    narrow, slim = record["rolls"]
    assert (record["cloth"], record["ranked_by"]) == ("serge", "cost")
    assert narrow["buy_length_mm"] == 800.0
    assert narrow["bought_area_mm2"] == 600.0 * 800.0
    assert (narrow["cost"], narrow["currency"]) == (3.2, "EUR")
    assert slim["planned"] is False
    assert slim["refused"][0]["place"] == 'item "top", panel "panel"'
