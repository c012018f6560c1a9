from decimal import Decimal
from fractions import Fraction

import pytest

from nesting.reports.wording import (
    area,
    count_of,
    length_to_buy,
    money,
    per_cent,
    precise_length,
    shop_length,
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
