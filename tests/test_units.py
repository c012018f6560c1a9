"""Lengths as people write them, on the grid and back."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.errors import OrderError
from nesting.orders.lengths import parse_length
from nesting.units import (
    BARE_UNITS,
    IN,
    LARGEST,
    format_length,
    points_to_mm,
    to_grid,
    to_mm,
)


def the_fault(value: object, unit: str = "cm"):
    with pytest.raises(OrderError) as caught:
        parse_length(value, unit)
    (fault,) = caught.value.faults
    return fault


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        # 1 in = 25.4 mm, 1 ft = 12 in, 1 yd = 3 ft (yard and pound agreement, 1959)
        ("25 1/2 in", 647.7),
        ("25-1/2 in", 647.7),
        ('25 1/2"', 647.7),
        ("25 1/2 inches", 647.7),
        ("25½ in", 647.7),
        ("25 ½ in", 647.7),
        ("25 1\u20442 in", 647.7),
        ("25.5 in", 647.7),
        ("½ in", 12.7),
        ("1/2 in", 12.7),
        ("3/2 in", 38.1),
        (".5 in", 12.7),
        ("5 ft 6 in", 1676.4),
        ("5' 6\"", 1676.4),
        ("5'6½”", 1689.1),
        ("5 feet", 1524.0),
        ("2 yd", 1828.8),
        ("2 yd 1 ft 6 in", 2286.0),
        ("1 m", 1000.0),
        ("1.5m", 1500.0),
        ("1 m 20 cm", 1200.0),
        ("38 cm", 380.0),
        ("  38\u00a0CM ", 380.0),
        ("4 mm", 4.0),
        ("0 cm", 0.0),
    ],
)
def test_text_has_its_own_unit(text, mm):
    assert parse_length(text, "mm") == mm


@pytest.mark.parametrize(("unit", "mm"), [("mm", 54.0), ("cm", 540.0), ("in", 1371.6)])
def test_a_bare_number_is_in_the_unit_given(unit, mm):
    assert parse_length(54, unit) == parse_length(Decimal("54.0"), unit) == mm


def test_a_number_is_read_as_written_and_not_as_its_binary_neighbour():
    assert parse_length(0.1, "in") == parse_length(Decimal("0.1"), "in") == 2.54


def test_54_inches_are_137160_grid_units():
    # 54 x 25.4 mm = 1371.6 mm
    assert to_grid(parse_length(54, "in")) == to_grid(parse_length('54"', "mm")) == 137160


@pytest.mark.parametrize(
    ("value", "rule", "remedy"),
    [
        (-1, "negative", "minus"),
        ("-5 cm", "negative", "minus"),
        ("−5 cm", "negative", "minus"),
        (float("nan"), "finite", "number"),
        (Decimal("nan"), "finite", "number"),
        (Decimal("-inf"), "finite", "number"),
        (True, "must be a length", "number"),
        (None, "must be a length", "number"),
        ([1], "must be a length", "number"),
        ("", "cannot be read", "38 cm"),
        ("   ", "cannot be read", "38 cm"),
        ("wide", "cannot be read", "38 cm"),
        ("25 -1/2 in", "cannot be read", "38 cm"),
        ("5 6 in", "cannot be read", "38 cm"),
        ("1½2 in", "cannot be read", "38 cm"),
        ("2.5 1/2 in", "cannot be read", "38 cm"),
        ("٣ cm", "cannot be read", "38 cm"),
        ("1,5 cm", "cannot be read", "point, not a comma"),
        ("38", "must have a unit", "leave out the quotes"),
        ("5 ft 6", "must have a unit", "leave out the quotes"),
        ("38 inchs", "an unknown unit, inchs", "did you mean inches"),
        ("38 furlong", "an unknown unit, furlong", "write mm, cm, m, in, ft or yd"),
        ("25 3/2 in", "a fraction of less than one", "check the fraction"),
        ("1/0 in", "divide by zero", "25 1/2 in"),
        ("5.5 ft 6 in", "larger unit to the smaller", "5 ft 6"),
        ("6 in 5 ft", "larger unit to the smaller", "5 ft 6"),
        ("6 in 6 in", "larger unit to the smaller", "5 ft 6"),
        ("1 m 3 in", "larger unit to the smaller", "1 m 20 cm"),
        (10**7, "longer than 1 km", "check the number"),
        ("1001 m", "longer than 1 km", "check the number"),
        (Decimal("1e999999999"), "ordinary size", "check the number"),
        (Decimal("1e-999999999"), "ordinary size", "check the number"),
        pytest.param(16**5000, "ordinary size", "check the number", id="6021 digits"),
        pytest.param("9" * 5000 + " mm", "too long", "38 cm", id="5000 digits as text"),
    ],
)
def test_a_value_that_is_not_a_length_is_refused_with_the_rule_and_a_remedy(value, rule, remedy):
    fault = the_fault(value)
    assert rule in fault.rule
    assert remedy in fault.remedy
    assert fault.value
    assert len(fault.value) < 70


def test_characters_that_cannot_be_seen_are_shown_by_their_number():
    assert the_fault("5\x00 cm").value == '"5\\u0000 cm"'


@pytest.mark.parametrize(
    ("length", "mm", "cm", "inches"),
    [
        (0, "0 mm", "0.0 cm", "0 in"),
        (64770, "648 mm", "64.8 cm", "25 1/2 in"),  # 25.5 x 2540
        (137160, "1372 mm", "137.2 cm", "54 in"),
        (318, "3 mm", "0.3 cm", "1/8 in"),  # 1/8 in = 317.5
        (50, "1 mm", "0.1 cm", "0 in"),  # half a step rounds up
        (-64770, "-648 mm", "-64.8 cm", "-25 1/2 in"),
    ],
)
def test_a_length_is_shown_to_the_nearest_mark_on_the_makers_tape(length, mm, cm, inches):
    assert [format_length(length, unit) for unit in ("mm", "cm", "in")] == [mm, cm, inches]


def test_an_unknown_unit_cannot_be_shown():
    with pytest.raises(ValueError, match="mm, cm or in"):
        format_length(1, "ell")


@settings(deadline=None)
@given(st.integers(0, LARGEST), st.sampled_from(sorted(BARE_UNITS)))
def test_a_length_shown_and_read_again_is_off_by_half_a_mark_at_most(length, unit):
    half_a_mark = Fraction(IN, 32) if unit == "in" else 50
    shown = format_length(length, unit)
    read = to_grid(parse_length(shown, "mm"))
    assert abs(read - length) <= half_a_mark + Fraction(1, 2)  # the grid rounds too
    assert format_length(read, unit) == shown


@settings(deadline=None)
@given(st.integers(0, 999), st.integers(1, 64), st.data())
def test_a_mixed_number_of_inches_is_read_exactly(whole, under, data):
    over = data.draw(st.integers(0, under - 1))
    expected = float((whole + Fraction(over, under)) * Fraction(254, 10))
    assert parse_length(f"{whole} {over}/{under} in", "mm") == expected


@settings(deadline=None)
@given(st.decimals(0, 1000, places=4), st.sampled_from(["mm", "cm", "in"]))
def test_a_bare_number_and_text_with_its_unit_are_the_same_length(number, unit):
    assert parse_length(number, unit) == parse_length(f"{number} {unit}", "mm")


@settings(deadline=None, max_examples=300)
@given(
    st.one_of(
        st.text(max_size=80),
        st.text("0123456789 ./-½'\"inmcftyd", max_size=20),
        st.floats(),
        st.decimals(),
        st.integers(),
        st.booleans(),
        st.none(),
    )
)
def test_anything_else_is_a_length_within_bounds_or_one_declared_error(value):
    try:
        mm = parse_length(value, "in")
    except OrderError:
        return
    assert 0 <= mm <= to_mm(LARGEST)


def test_points_on_the_grid_are_known_in_millimetres():
    assert points_to_mm([(0, 250), (-100, 1)]) == ((0.0, 2.5), (-1.0, 0.01))
