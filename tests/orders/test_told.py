"""Faults of products, told in the unit of the order."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.errors import OrderError
from nesting.orders.reader import parse_order
from nesting.orders.told import in_unit

ORDER = """
version = 1
name = "Nook"
units = "{units}"
[[cloth]]
name = "twill"
width = "140 cm"
[[item]]
name = "seat"
quantity = 1
cloth = "twill"
"""


def fault(units, **item):
    """The one thing wrong with an order of one item."""
    keys = "\n".join(f"{key} = {value}" for key, value in item.items())
    with pytest.raises(OrderError) as raised:
        parse_order(ORDER.format(units=units) + keys)
    (found,) = raised.value.faults
    return found


@pytest.mark.parametrize(
    ("text", "cm", "inches"),
    [
        ("must be at most 12.7 mm", "must be at most 1.27 cm", "must be at most 1/2 in"),
        # 10 mm is 6.3 sixteenths of an inch: up for the least, down for the greatest.
        ("at least 10 mm long", "at least 1 cm long", "at least 7/16 in long"),
        ("not be more than 10 mm", "not be more than 1 cm", "not be more than 3/8 in"),
        ("between 10 mm and 10 mm", "between 1 cm and 1 cm", "between 7/16 in and 3/8 in"),
        ("(380, -12.7) mm", "(38, -1.27) cm", "(14.961, -1/2) in"),
        ("12.7 × 25.4 mm", "1.27 × 2.54 cm", "1/2 × 1 in"),
        ("of more than 30 mm", "of more than 3 cm", "of more than 1 3/16 in"),
        ("within 0.02 mm of it", "within 0.002 cm of it", "within 0.001 in of it"),
        ("has 4 sides", "has 4 sides", "has 4 sides"),
    ],
)  # fmt: skip
def test_lengths_are_told_in_the_unit_and_limits_rounded_to_the_allowed_side(text, cm, inches):
    assert (in_unit(text, "cm"), in_unit(text, "in")) == (cm, inches)
    assert in_unit(text, "mm") == text


def test_a_fault_of_an_order_speaks_its_unit_all_through():
    """A cushion 40 cm wide bears rounds of 20 cm: 7.874 in, 7 13/16 on a tape."""
    box = {"product": '"box-cushion"', "length": '"50 cm"', "width": '"40 cm"'}
    for units, most in (("mm", "200 mm"), ("cm", "20 cm"), ("in", "7 13/16 in")):
        found = fault(units, **box, thickness='"8 cm"', corner_radius='"21 cm"')
        assert f"at most {most}" in found.rule
        assert units == "mm" or " mm" not in str(found).replace("21 cm", "")


def test_points_are_told_in_the_unit():
    corners = '[["0 cm", "0 cm"], ["50 cm", "0 cm"], ["50 cm", "40 cm"], ["50 cm", "40.4 cm"]]'
    found = fault("cm", product='"shaped-seat"', thickness=8, corners=corners)
    assert "at least 1 cm apart" in found.rule


@given(st.floats(200, 900), st.floats(200, 900), st.sampled_from(("mm", "cm", "in")))
@settings(deadline=None, max_examples=30)
def test_a_told_limit_is_itself_accepted(length, width, units):
    """The greatest taper, zip and allowance, written back as they were told."""
    sizes = {"length": f'"{length:.3f} mm"', "width": f'"{width:.3f} mm"'}
    box = {"product": '"box-cushion"', "thickness": f'"{max(60, width / 7):.3f} mm"'}
    knife = {"product": '"knife-edge-cushion"'}
    for item, key, value in (
        ({**knife, **sizes}, "taper", '"95 mm"'),
        ({**box, **sizes, "closure": '"zip"'}, "closure_length", '"1 m"'),
        ({**box, **sizes, "strips": "1"}, "seam_allowance", '"95 mm"'),
    ):
        found = fault(units, **item, **{key: value})
        told = re.search(r"(?:at most|more than)\D*?([0-9][0-9 ./]* (?:mm|cm|in))", str(found))
        mended = "\n".join(f"{k} = {v}" for k, v in {**item, key: f'"{told[1]}"'}.items())
        assert parse_order(ORDER.format(units=units) + mended).items
