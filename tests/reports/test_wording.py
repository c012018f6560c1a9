from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.cloth.cloth import Price
from nesting.orders.lengths import parse_length
from nesting.reports.wording import (
    area,
    count_of,
    length_to_buy,
    money,
    per_cent,
    precise_length,
    shop_length,
    the_other_length,
)
from nesting.units import CM, IN, MM, YD, M


@pytest.mark.parametrize(
    ("length", "units", "text"),
    [
        (70 * CM, "cm", "70.0 cm"),
        (70 * CM + 1, "cm", "70.1 cm"),
        (1601 * MM + 40, "mm", "1602 mm"),
        (63 * IN, "in", "63 in"),
        (63 * IN + 1, "in", "63 1/16 in"),
    ],
)
def test_a_length_to_buy_is_never_shown_too_short(length, units, text):
    assert length_to_buy(length, units) == text


@pytest.mark.parametrize(
    ("length", "per", "text"),
    [
        (369 * IN, YD, "10 1/4 yd"),  # 10.25 x 36 in
        (4 * IN + IN // 2, YD, "1/8 yd"),
        (36 * IN, YD, "1 yd"),
        (62 * IN, YD, "1.723 yd"),  # 1.7222, rounded up
        (369 * IN + 1, YD, "10.251 yd"),
        (160 * CM, M, "1.60 m"),
        (1605 * MM, M, "1.605 m"),
        (1605 * MM + 1, M, "1.606 m"),
        (369 * IN, CM, "369 in"),  # no unit of a shop
    ],
)
def test_cloth_is_bought_in_the_unit_of_its_price(length, per, text):
    assert length_to_buy(length, "in", Price(Decimal(9), per, "USD")) == text


@given(st.integers(1, 10**7), st.sampled_from((YD, M)))
def test_what_is_asked_for_in_a_shop_is_never_too_short_nor_much_too_long(length, per):
    shown = length_to_buy(length, "in", Price(Decimal(9), per, "USD"))
    asked = Fraction(repr(parse_length(shown, "in"))) * MM
    assert length <= asked < length + Fraction(per, 1000) + 1


def test_the_other_length_is_in_the_units_of_the_workroom_where_a_shop_has_its_own():
    by_yard = Price(Decimal(9), YD, "USD")
    assert the_other_length(369 * IN, "in", by_yard) == "369 in"
    assert the_other_length(369 * IN, "in", None) == "10.25 yd"


def test_shops_count_metres_or_yards():
    assert shop_length(M + 60 * CM, "cm") == "1.60 m"
    assert shop_length(62 * IN, "in") == "1.73 yd"  # 62 / 36 = 1.722, rounded up


def test_figures_are_shown_with_their_units():
    assert area(2 * M * M, "cm") == "1.000 m²"
    assert area(2 * YD * YD, "in") == "1.000 yd²"
    assert precise_length(377.04, "mm") == "377.0 mm"
    assert precise_length(377.04, "cm") == "37.70 cm"
    assert precise_length(25.4, "in") == "1.00 in"
    assert per_cent(Fraction(2, 3)) == "66.7 %"
    assert money(Decimal("29.60"), "EUR") == "29.60 EUR"
    assert [count_of(1, "panel"), count_of(2, "panel")] == ["1 panel", "2 panels"]
