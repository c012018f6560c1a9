"""An order with a liner, from its text to its lay, its pages and the second opinion."""

import json
import tomllib
from dataclasses import replace

import pytest
from jsonschema import Draft202012Validator

from nesting import Limits, plan_order
from nesting.cloth.cloth import Cloth
from nesting.drawings.dxf import reader, writer
from nesting.errors import OrderError
from nesting.exporters.lay import lay_drawing
from nesting.layouts.storage import as_record
from nesting.orders.reader import parse_order
from nesting.orders.schema import json_schema
from nesting.panels.product import products
from nesting.planning.order_panels import cloths_used
from nesting.planning.panel_files import panel_export
from nesting.purchasing import compare_rolls
from nesting.units import CM
from nesting.verification.checker import check_record
from nesting.verification.drawn import check_drawing

ONE_STEP = Limits(seconds=None, steps=1)

TEXT = """\
version = 1
name = "Playroom"
units = "cm"

[[cloth]]
name = "corduroy"
width = 140

[[cloth]]
name = "close cotton"
width = 150
nap = "either-way"

[[item]]
product = "drum-pouf"
name = "drum"
quantity = 2
cloth = "corduroy"
liner = "close cotton"
fill = "beads"
closure = "zip"
strips = 1
strip_grain = "along"
diameter = 50
height = 35
"""

ORDER = parse_order(TEXT)


@pytest.fixture(scope="module")
def plan():
    return plan_order(ORDER, ONE_STEP, workers=1)


def test_the_liner_is_laid_on_its_own_cloth(plan):
    """Cover: top, two half bottoms, a side; liner: two plates and a side, each twice."""
    placed = {
        lay.cloth.name: sorted({each.panel.name for each in lay.placed}) for lay in plan.lay.cloths
    }
    assert placed == {
        "corduroy": ["bottom-back", "bottom-front", "side", "top-plate"],
        "close cotton": ["liner-plate", "liner-side"],
    }
    assert [len(lay.placed) for lay in plan.lay.cloths] == [8, 6]


def test_a_liner_may_be_of_the_cloth_of_its_cover():
    plan = plan_order(parse_order(TEXT.replace('"close cotton"', '"corduroy"', 2).replace(
        '[[cloth]]\nname = "corduroy"\nwidth = 150\nnap = "either-way"\n', "")),
        ONE_STEP, workers=1)  # fmt: skip
    (lay,) = plan.lay.cloths
    assert len(lay.placed) == 14


def test_a_missing_panel_of_a_liner_is_found_in_the_layout_and_in_the_drawing(plan):
    record = as_record(plan.lay)
    assert check_record(record) == ()
    cotton = next(each for each in record["cloths"] if each["name"] == "close cotton")
    del cotton["placements"][0]
    assert {found.number for found in check_record(record)} >= {101}
    lay = plan.lay.cloths[1]
    shortened = replace(lay, placed=lay.placed[1:])
    for each, sound in ((lay, True), (shortened, False)):
        drawing = reader.read(writer.write(lay_drawing(each)))
        found = check_drawing(drawing, each.cloth, lay.panels)
        assert (found == ()) is sound


def test_widths_compares_rolls_for_the_liner_alone():
    rolls = [Cloth("narrow cotton", 90 * CM), Cloth("wide cotton", 180 * CM)]
    comparison = compare_rolls(ORDER, "close cotton", rolls, ONE_STEP, workers=1)
    lays = [offer.lays[0] for offer in comparison.offers]
    assert [len(lay.placed) for lay in lays] == [6, 6]
    assert {each.panel.name for lay in lays for each in lay.placed} == {
        "liner-plate", "liner-side",
    }  # fmt: skip


def test_widths_compares_rolls_for_the_cover_without_its_liner():
    comparison = compare_rolls(ORDER, "corduroy", [Cloth("cord", 140 * CM)], ONE_STEP, workers=1)
    (lay,) = (offer.lays[0] for offer in comparison.offers)
    assert sorted({each.panel.name for each in lay.placed}) == [
        "bottom-back", "bottom-front", "side", "top-plate",
    ]  # fmt: skip


def test_a_cloth_that_only_a_liner_is_cut_from_counts_as_used():
    assert [cloth.name for cloth in cloths_used(ORDER)] == ["corduroy", "close cotton"]


def test_panel_files_name_the_panels_of_the_liner():
    files = panel_export(ORDER).files
    for name in ("panel-sheet.html", "make-up.html", "pieces.dxf"):
        assert b"liner-plate" in files[name]


def test_the_schema_knows_the_key():
    validator = Draft202012Validator(json_schema())
    assert validator.is_valid(tomllib.loads(TEXT))
    assert not validator.is_valid(
        tomllib.loads(TEXT.replace('= "close cotton"\nfill', "= 1\nfill"))
    )
    assert json.dumps(json_schema()).count('"liner"') == len(products())


def test_panels_of_the_liner_count_among_those_that_an_order_may_have():
    """1000 drums have 4 panels each; with a liner in many strips there are more than 5000."""
    many = TEXT.replace("quantity = 2", "quantity = 1000")
    with pytest.raises(OrderError, match="this has 7000"):
        parse_order(many)
    assert parse_order(many.replace('liner = "close cotton"\n', "")).items[0].quantity == 1000
