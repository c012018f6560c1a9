"""Limits that a message states, in the unit of the order: each is itself allowed."""

import json
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.errors import OrderError
from nesting.orders.reader import parse_order
from nesting.panels.measurements import MeasurementKind
from nesting.panels.product import products

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


#: A length in a message, without its unit.
LENGTH = r"[0-9][0-9 ./]*?"

#: The product that needs a drawing.
DRAWN = "outline"

#: Places where the length in the message is not the limit of what stands there.
LIMITS_OF_ANOTHER = {
    "front_height",  # how much lower than the back
    "cap_diameter",  # of a sphere: how high it must be
}


def written(units, item):
    """An order of one item."""
    return ORDER.format(units=units) + "\n".join(f"{key} = {value}" for key, value in item.items())


def faults(units, item):
    """What is wrong with the item of an order."""
    try:
        parse_order(written(units, item))
    except OrderError as error:
        return error.faults
    return ()


def key_of(found):
    """The measurement that a fault is about."""
    return found.place.split(", ")[-1]


def refused_again(found, units, item):
    """Whether the same rule still refuses the same measurement of another item."""
    return any((f.place, f.rule) == (found.place, found.rule) for f in faults(units, item))


def needed(product):
    """The measurements a product must be given, with the values it is shown with."""
    return {
        each.name: value_of(each, each.shown)
        for each in products()[product].measurements
        if each.required
    }


def value_of(measurement, value):
    """A value as it stands in an order."""
    if measurement.kind is MeasurementKind.POINTS:
        return str([[f"{x} mm", f"{y} mm"] for x, y in value])
    return f'"{value} mm"' if measurement.kind is MeasurementKind.LENGTH else json.dumps(value)


def lengths_of(product):
    """Places in an item that hold a length."""
    lengths = (e.name for e in products()[product].measurements if e.kind == "length")
    return {"seam_allowance", *lengths}


@st.composite
def measured(draw, product):
    """Lengths between their limits, choices, flags and small counts; some left out."""
    item = {**needed(product), "seam_allowance": f'"{draw(st.integers(0, 9000)) / 100} mm"'}
    for each in products()[product].measurements:
        if each.kind is MeasurementKind.LENGTH:
            least, most = each.least or 0.1, each.greatest or 2000.0
            grown = draw(st.integers(round(100 * least), round(100 * min(most, 40 * least + 900))))
            values = st.just(f'"{grown / 100} mm"')
        elif each.kind is MeasurementKind.CHOICE:
            values = st.sampled_from([json.dumps(choice) for choice in each.choices])
        elif each.kind in (MeasurementKind.COUNT, MeasurementKind.COUNT_OR_AUTO):
            least, most = int(each.least or 0), int(each.greatest or 9)
            values = st.integers(least, min(most, least + 6)).map(str)
        elif each.kind is MeasurementKind.FLAG:
            values = st.sampled_from(["true", "false"])
        else:
            continue
        if each.required or draw(st.booleans()):
            item[each.name] = draw(values)
    return item


def fault(units, **item):
    """The one thing wrong with an order of one item."""
    (found,) = faults(units, item)
    return found


def test_a_fault_of_an_order_speaks_its_unit_all_through():
    """A cushion 40 cm wide allows corner radii of 20 cm: 7.874 in, 7 13/16 on a tape."""
    box = {"product": '"box-cushion"', "length": '"50 cm"', "width": '"40 cm"'}
    for units, most in (("mm", "200 mm"), ("cm", "20 cm"), ("in", "7 13/16 in")):
        found = fault(units, **box, thickness='"8 cm"', corner_radius='"21 cm"')
        assert f"at most {most}" in found.rule
        assert units == "mm" or " mm" not in str(found).replace("21 cm", "")


def test_corners_that_lie_too_close_are_refused_in_the_unit():
    corners = '[["0 cm", "0 cm"], ["50 cm", "0 cm"], ["50 cm", "40 cm"], ["50 cm", "40.4 cm"]]'
    found = fault("cm", product='"shaped-seat"', thickness=8, corners=corners)
    assert "at least 1 cm apart" in found.rule


@given(st.floats(200, 900), st.floats(200, 900), st.sampled_from(("mm", "cm", "in")))
@settings(deadline=None, max_examples=30)
def test_a_limit_in_a_message_is_itself_accepted(length, width, units):
    """The greatest taper, zip and allowance, written as the message states them."""
    sizes = {"length": f'"{length:.3f} mm"', "width": f'"{width:.3f} mm"'}
    box = {"product": '"box-cushion"', "thickness": f'"{max(60, width / 7):.3f} mm"'}
    knife = {"product": '"knife-edge-cushion"'}
    for item, key, value in (
        ({**knife, **sizes}, "taper", '"95 mm"'),
        ({**box, **sizes, "closure": '"zip"'}, "closure_length", '"1 m"'),
        ({**box, **sizes, "strips": "1"}, "seam_allowance", '"95 mm"'),
    ):
        found = fault(units, **item, **{key: value})
        stated = re.search(r"(?:at most|more than)\D*?([0-9][0-9 ./]* (?:mm|cm|in))", str(found))
        assert parse_order(written(units, {**item, key: f'"{stated[1]}"'})).items


def mended(found, units, item):
    """The item with the faulty length set to each limit that the message states."""
    before = r"(?:at most|not be (?:more|less) than|at least|between)[^,;]*?"
    stated = rf"{before}\b({LENGTH}) {units}\b(?: and ({LENGTH}) {units}\b)?"
    for limits in re.findall(stated, f"{found.rule}; {found.remedy}"):
        for limit in filter(None, limits):
            yield {**item, key_of(found): f'"{limit} {units}"'}


@pytest.mark.parametrize("units", ["mm", "cm", "in"])
@pytest.mark.parametrize(
    ("product", "measurement", "value"),
    [
        (product.name, each.name, value)
        for product in products().values()
        for each in product.measurements
        if product.name != DRAWN and each.kind is MeasurementKind.LENGTH
        for value in (each.least and each.least / 2, each.greatest and 2 * each.greatest)
        if value
    ],
)
def test_the_limits_of_every_measurement_are_themselves_accepted(
    product, measurement, value, units
):
    """Limits of the measurement itself; its relation to others is another rule."""
    item = {"product": f'"{product}"', **needed(product), measurement: f'"{value} mm"'}
    (found,) = (each for each in faults(units, item) if key_of(each) == measurement)
    (better,) = mended(found, units, item)
    assert not refused_again(found, units, better)


@pytest.mark.parametrize("units", ["mm", "cm", "in"])
def test_the_greatest_radius_of_a_front_is_accepted(units):
    """Half of 71.02 mm is 35.51 mm, which is not on a mark, and 0.02 mm is not an edge."""
    seat = {"product": '"waterfall-cushion"', "depth": '"50 cm"', "width": '"50 cm"'}
    item = {**seat, "thickness": '"71.02 mm"', "front_radius": '"40 mm"'}
    found = fault(units, **item)
    (better,) = mended(found, units, item)
    assert parse_order(written(units, better)).items


def test_distances_that_must_be_kept_stand_on_a_mark_of_the_tape():
    """10 mm are 0.394 in, which nobody measures: 7/16 in is enough."""
    corners = [[0, 0], [20, 0], [20, 20], [14, 20], [14, 6], [6, 6], [6, 20], [0, 20]]
    seat = {"product": '"shaped-seat"', "corners": str(corners), "thickness": "3"}
    found = fault("in", **seat, buttons='"centre"')
    assert "at least 7/16 in from any edge" in found.rule
    pouf = {"product": '"gored-pouf"', "diameter": '"20 in"', "closure": '"zip"'}
    found = fault("in", **pouf, closure_place='"bottom-cap"')
    assert "an opening of at least 2 in does not fit" in found.rule


@given(st.data(), st.sampled_from(("mm", "cm", "in")))
@settings(deadline=None, max_examples=100)
def test_limits_of_all_products_are_themselves_accepted(data, units):
    """For any other measurements, writing a stated limit never repeats the same fault."""
    product = data.draw(st.sampled_from([name for name in sorted(products()) if name != DRAWN]))
    item = {"product": f'"{product}"', **data.draw(measured(product))}
    for found in faults(units, item):
        if key_of(found) in lengths_of(product) and key_of(found) not in LIMITS_OF_ANOTHER:
            for better in mended(found, units, item):
                assert not refused_again(found, units, better)
