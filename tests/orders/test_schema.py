"""The JSON Schema accepts and refuses the same orders as the reader, as far as it can."""

import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from nesting.errors import OrderError
from nesting.orders.reader import parse_order
from nesting.orders.schema import json_schema
from nesting.orders.starter import STARTER
from nesting.panels import product as register
from nesting.panels.product import products

ORDERS = Path(__file__).parents[1] / "data" / "orders"
GOOD = (ORDERS / "good.toml").read_text()
VALIDATOR = Draft202012Validator(json_schema())

#: What no schema of single keys can see: sums, names, neighbours, other products.
BEYOND_A_SCHEMA = {
    "allowance_larger_than_the_panel_bears",
    "cap_wider_than_the_pouf",
    "cloth_not_there",
    "currency_without_price",
    "length_with_unknown_unit",
    "length_next_to_nothing",
    "length_nan",
    "length_infinite",
    "length_absurd",
    "exponent_too_long",
    "price_nan",
    "beads_behind_a_slit",
    "beads_closed_by_hand",
    "liner_cloth_not_there",
    "liner_without_a_filling",
    "measurement_too_large",
    "name_with_blank",
    "name_with_control_character",
    "one_way_turned_a_quarter",
    "panel_cloth_not_there",
    "panel_not_there",
    "one_way_unsaid_turned_a_quarter",
    "quantity_with_point",  # in JSON 2.0 is a whole number
    "roll_no_longer_than_its_ends",
    "selvedges_eat_the_cloth",
    "flaw_before_the_cut_end",
    "flaw_beside_its_hide",
    "flaw_beyond_its_piece",
    "flaw_beyond_the_roll",
    "flaw_beyond_the_selvedge",
    "flaw_crosses_itself",
    "flaw_is_a_line",
    "flaw_on_a_roll_never_bought",
    "hidden_panel_not_there",
    "no_shade_has_enough",
    "piece_named_roll",
    "splices_beyond_the_piece",
    "splices_out_of_order",
    "stock_in_no_currency",
    "stock_narrower_than_selvedges",
    "stock_outline_crosses_itself",
    "stock_outline_file_not_there",
    "stock_outline_next_to_nothing",
    "stock_shorter_than_its_ends",
    "twin_piece_files",
    "twin_pieces",
    "widths_beyond_the_piece",
    "widths_out_of_order",
    "widths_wider_than_the_piece",
    "too_many_panels",
    "twin_cloths",
    "twin_files",
    "twin_items",
    "width_in_another_unit",
}


def documents():
    """Every bad order that is valid TOML."""
    for file in sorted(ORDERS.glob("*.toml")):
        try:
            yield file.stem, tomllib.loads(file.read_text())
        except (ValueError, RecursionError):
            continue


def test_the_schema_is_one():
    Draft202012Validator.check_schema(json_schema())


@pytest.mark.parametrize("text", [GOOD, STARTER], ids=["good", "starter"])
def test_sound_orders_pass(text):
    assert [*VALIDATOR.iter_errors(tomllib.loads(text))] == []


@pytest.mark.parametrize(
    ("name", "document"), [pytest.param(*pair, id=pair[0]) for pair in documents()]
)
def test_bad_orders_do_not_pass_but_where_a_schema_cannot_tell(name, document):
    assert VALIDATOR.is_valid(document) == (name in BEYOND_A_SCHEMA | {"good"})


def test_every_product_has_its_table_and_every_key_its_meaning():
    schema = json_schema()
    tables = schema["$defs"]
    of_a_cloth = {"ClothTable", "StockTable", "FlawTable"}
    assert {*tables} == of_a_cloth | {*products()}
    for product in products().values():
        keys = tables[product.name]["properties"]
        assert {each.name for each in product.measurements} < {*keys}
        assert all(key["description"] for key in keys.values())
        assert keys["product"]["const"] == product.name
    for table in of_a_cloth:
        assert all(key["description"] for key in tables[table]["properties"].values())


def test_defaults_are_told_as_an_order_would_write_them():
    tables = json_schema()["$defs"]
    assert tables["box-cushion"]["properties"]["seam_allowance"]["default"] == "1 cm"
    assert tables["gored-pouf"]["properties"]["gores"]["default"] == 8
    assert tables["ClothTable"]["properties"]["buy_step"]["default"] == "1 mm"
    assert "default" not in tables["ClothTable"]["properties"]["roll_length"]


def test_a_product_from_outside_enters_the_schema(monkeypatch):
    class Flag:
        name, summary, cautions, measurements = "flag", "a flag", (), ()

    monkeypatch.setitem(register._register, "flag", Flag())
    document = tomllib.loads(GOOD)
    document["item"] = [{"product": "flag", "name": "f", "quantity": 1, "cloth": "green duck"}]
    assert Draft202012Validator(json_schema()).is_valid(document)
    assert not VALIDATOR.is_valid(document)


LENGTHS = st.sampled_from(["0", "1", "0.25", "12", '"4 mm"', '"½ in"', '"1 1/4\\""', '"2 ft 3 in"'])
EXTRAS = st.sampled_from(
    [
        "nap = 'either-way'",
        "cross_grain = true",
        "price_per_metre = 4",
        "price_per_yard = 3.5",
        "currency = 'EUR'",
        "roll_length = 400",
        "colour = 'red'",
    ]
)
KEYS = st.sampled_from(["selvedge", "gap", "buy_step", "end_allowance"])


@settings(deadline=None)
@given(st.lists(EXTRAS, unique=True, max_size=4), st.dictionaries(KEYS, LENGTHS, max_size=3))
def test_whatever_the_reader_takes_the_schema_takes(extras, lengths):
    keys = [*extras, *(f"{key} = {length}" for key, length in lengths.items())]
    text = GOOD.replace("selvedge = 1.5", "\n".join(keys))
    try:
        parse_order(text)
    except OrderError:
        return
    assert VALIDATOR.is_valid(tomllib.loads(text))
