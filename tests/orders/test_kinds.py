"""Every kind of measurement, from the order file to the product and the schema."""

import tomllib
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from nesting.errors import OrderError
from nesting.orders.reader import parse_order, read_order
from nesting.orders.schema import json_schema
from nesting.panels import product as register
from nesting.panels.drafting.draft import Draft
from nesting.panels.drafting.finished import polygon
from nesting.panels.measurements import Measurement, MeasurementKind, points
from nesting.panels.product import products

ORDER = """\
version = 1
name = "Kites"
units = "cm"

[[cloth]]
name = "ripstop"
width = 150

[[item]]
product = "kite"
name = "red"
quantity = 1
cloth = "ripstop"
"""

SHAPE = "outline = [[0, 0], ['60 cm', 0], [60, 45.5]]\n"


class Kite:
    """A product with a measurement of every kind; its keel must keep to the grain."""

    name = "kite"
    summary = "a kite from its corners"
    cautions = ()
    measurements = (
        Measurement(
            "outline", MeasurementKind.POINTS, "its corners", required=True, least=3, greatest=20,
            example=((0.0, 0.0), (600.0, 0.0), (600.0, 455.0)),
        ),
        Measurement(
            "lean", MeasurementKind.NUMBER, "how far it leans", default=10.0, least=-45.0,
            greatest=45.0, unit="degrees",
        ),
        Measurement("tail", MeasurementKind.FLAG, "whether it has a tail", default=False),
        Measurement(
            "ribbons", MeasurementKind.COUNT_OR_AUTO, "ribbons in its tail", default=3, least=1,
            greatest=9,
        ),
        Measurement("drawing", MeasurementKind.FILE, "a picture for its face"),
    )  # fmt: skip

    def faults(self, values, allowance_mm):
        return ()

    def draft(self, values):
        corners = {f"edge {i}": point for i, point in enumerate(points(values, "outline"))}
        keel = {"a": (0.0, 0.0), "b": (90.0, 0.0), "c": (0.0, 90.0)}
        return Draft(
            (polygon("face", 1, corners), polygon("keel", 1, keel, may_railroad=False)), ()
        )


@pytest.fixture(autouse=True)
def _kites(monkeypatch):
    monkeypatch.setattr(register, "_register", {**products(), "kite": Kite()})


def fault_of(text, folder=Path()):
    with pytest.raises(OrderError) as caught:
        parse_order(text, folder)
    (fault,) = caught.value.faults
    return fault


def test_what_is_left_out_takes_its_default():
    (item,) = parse_order(ORDER + SHAPE).items
    assert item.values == {
        "outline": ((0.0, 0.0), (600.0, 0.0), (600.0, 455.0)),
        "lean": 10.0,
        "tail": False,
        "ribbons": 3,
        "drawing": None,
    }


def test_every_kind_is_read_as_it_is_written(tmp_path):
    (tmp_path / "face.svg").write_text("<svg/>")
    text = ORDER + SHAPE + 'lean = -12.5\ntail = true\nribbons = "auto"\ndrawing = "face.svg"\n'
    (tmp_path / "order.toml").write_text(text)
    values = read_order(tmp_path / "order.toml").items[0].values
    assert (values["lean"], values["tail"], values["ribbons"]) == (-12.5, True, "auto")
    assert values["drawing"] == tmp_path / "face.svg"
    assert Draft202012Validator(json_schema()).is_valid(tomllib.loads(text))


@pytest.mark.parametrize(
    ("line", "key", "rule"),
    [
        ("outline = [[0, 0], [1, 1]]", "outline", "must have 3 to 20 points"),
        ("outline = [[0, 0], [1, 1], [2]]", "outline", "must be a list of pairs of lengths"),
        ("outline = 'square'", "outline", "must be a list of pairs of lengths"),
        ("outline = [[0, 0], [1, 1], [2, -2]]", "outline", "must not be negative"),
        ("outline = [[0, 0], [1, 1], [2, '3 ells']]", "outline", "has an unknown unit, ells"),
        (SHAPE + "lean = 46", "lean", "must lie between -45 and 45 degrees"),
        (SHAPE + "lean = nan", "lean", "must lie between -45 and 45 degrees"),
        (SHAPE + "lean = '9'", "lean", "must be a number (degrees)"),
        (SHAPE + "tail = 1", "tail", "must be true or false"),
        (SHAPE + "ribbons = 10", "ribbons", "must lie between 1 and 9"),
        (SHAPE + "ribbons = 'many'", "ribbons", 'must be a whole number or "auto"'),
        (SHAPE + "ribbons = 2.5", "ribbons", "must be a whole number"),
        (SHAPE + "drawing = 'none.svg'", "drawing", "must be the path of a file that is there"),
        (SHAPE + "drawing = ' '", "drawing", "must not be empty"),
        (SHAPE + "drawing = '.'", "drawing", "must be the path of a file that is there"),
    ],
)
def test_a_value_of_the_wrong_kind_is_refused_in_its_place(line, key, rule):
    fault = fault_of(f"{ORDER}{line}\n")
    assert (fault.place, fault.rule) == (f'item 1 "red", {key}', rule)
    assert fault.remedy
    assert fault.line is not None


def test_an_item_with_a_panel_that_keeps_to_the_grain_is_not_railroaded():
    fault = fault_of(ORDER + SHAPE + "railroad = true\n")
    assert (fault.place, fault.line) == ('item 1 "red", railroad', 15)
    assert fault.rule == "must not be true: keel must keep to the grain"


def test_railroad_and_cloths_of_panels_arrive_in_the_order():
    text = ORDER.replace("[[item]]", '[[cloth]]\nname = "tape"\nwidth = 20\n\n[[item]]')
    (item,) = parse_order(text + SHAPE + 'panel_cloth = { keel = "tape" }\n').items
    assert item.panel_cloths == {"keel": "tape"}
    assert not item.railroad


def test_the_schema_tells_limits_units_and_defaults():
    keys = json_schema()["$defs"]["kite"]["properties"]
    assert (keys["lean"]["minimum"], keys["lean"]["maximum"]) == (-45, 45)
    assert (keys["outline"]["minItems"], keys["outline"]["maxItems"]) == (3, 20)
    assert {"const": "auto"} in keys["ribbons"]["anyOf"]
    assert keys["tail"]["type"] == "boolean"
    assert keys["outline"]["examples"][0][1] == ["600 mm", "0 mm"]
    assert keys["panel_cloth"]["additionalProperties"]["type"] == "string"
