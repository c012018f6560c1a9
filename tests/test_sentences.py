"""Words with lengths in them, in the unit of whoever reads them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.errors import Fault
from nesting.orders.lengths import parse_length
from nesting.sentences import (
    Length,
    Lengths,
    Sentence,
    at_least,
    at_most,
    in_unit,
    less_than,
    more_than,
    point,
)


@pytest.mark.parametrize(
    ("sentence", "mm", "cm", "inches"),
    [
        (Sentence("must be at most {}", (at_most(12.7),)),
         "must be at most 12.7 mm", "must be at most 1.27 cm", "must be at most 1/2 in"),
        # 10 mm is 6.3 sixteenths of an inch: up for the least, down for the greatest.
        (Sentence("at least {} long", (at_least(10.0),)),
         "at least 10 mm long", "at least 1 cm long", "at least 7/16 in long"),
        (Sentence("not be more than {}", (at_most(10.0),)),
         "not be more than 10 mm", "not be more than 1 cm", "not be more than 3/8 in"),
        (Sentence("between {} and {}", (at_least(10.0), at_most(10.0))),
         "between 10 mm and 10 mm", "between 1 cm and 1 cm", "between 7/16 in and 3/8 in"),
        (point((380.0, -12.7)), "(380, -12.7) mm", "(38, -1.27) cm", "(14.961, -1/2) in"),
        (Lengths("{} × {}", (12.7, 25.4)), "12.7 × 25.4 mm", "1.27 × 2.54 cm", "1/2 × 1 in"),
        (Sentence("of more than {}", (more_than(30.0),)),
         "of more than 30 mm", "of more than 3 cm", "of more than 1 3/16 in"),
        # 19 5/8 in are 498.475 mm, the next mark is 500.0625 mm.
        (Sentence("less than {}", (less_than(500.0),)),
         "less than 500 mm", "less than 50 cm", "less than 19 5/8 in"),
        (Sentence("within {} of it", (Length(0.02),)),
         "within 0.02 mm of it", "within 0.002 cm of it", "within 0.001 in of it"),
        ("has 4 sides", "has 4 sides", "has 4 sides", "has 4 sides"),
    ],
)  # fmt: skip
def test_lengths_are_shown_in_the_unit_and_limits_rounded_to_the_allowed_side(
    sentence, mm, cm, inches
):
    assert [in_unit(sentence, unit) for unit in ("mm", "cm", "in")] == [mm, cm, inches]


def test_words_of_the_user_may_hold_braces():
    inner = Sentence("{} is {} long", ('"{0}"', Length(10.0)))
    assert Sentence("{}: {}", ("a}", inner)).in_unit("cm") == 'a}: "{0}" is 1 cm long'


def test_a_limit_that_no_mark_meets_gives_way_to_the_next():
    """Half of 71 mm is on a mark, half of 71.02 mm on none: there 35 mm are the most."""
    assert at_most(35.5, otherwise_mm=35.0).in_unit("mm") == "35.5 mm"
    assert at_most(35.51, otherwise_mm=35.01).in_unit("mm") == "35 mm"
    assert at_most(35.5, otherwise_mm=35.0).in_unit("in") == "1 3/8 in"


@given(st.floats(0.05, 1e5), st.sampled_from(("mm", "cm", "in")))
def test_a_limit_lies_on_its_own_side_and_not_far_off(length, unit):
    """A sixteenth of an inch, or a tenth of a millimetre, at most."""
    apart = 1.5875 if unit == "in" else 0.1
    most, least = (parse_length(each(length).in_unit(unit), unit) for each in (at_most, at_least))
    assert length - apart <= most <= length <= least <= length + apart


@given(st.integers(0, 10**7), st.sampled_from(("mm", "cm", "in")))
def test_a_length_that_is_no_limit_is_off_by_half_a_thousandth_at_most(parts, unit):
    length = Fraction(parts, 1000)
    read = parse_length(Length(float(length)).in_unit(unit), unit)
    assert abs(Fraction(read) - length) <= Fraction(1, 2000) * Fraction("25.4")


def test_a_fault_is_text_in_the_unit_of_its_reader():
    rule = Sentence("must be at most {}", (at_most(10.0),))
    fault = Fault("width", rule, Length(12.7), "make it narrower")
    inches = ("width", "must be at most 3/8 in", "1/2 in", "make it narrower")
    assert fault.texts("in") == inches
    assert str(fault) == "width: must be at most 10 mm: 12.7 mm (make it narrower)"
