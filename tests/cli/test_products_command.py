"""`clothwright products`."""

import json
import math
import re
from xml.etree import ElementTree as ET

import pytest

from nesting.orders.lengths import parse_length
from nesting.panels.measurements import MeasurementKind
from nesting.panels.product import products


def test_the_list_has_every_product_with_its_summary(clothwright):
    ended = clothwright("products")
    assert (ended.status, ended.err) == (0, "")
    for name, product in products().items():
        assert any(
            line.startswith(name) and product.summary in line for line in ended.out.splitlines()
        )


@pytest.mark.parametrize("name", sorted(products()))
def test_a_product_shows_every_measurement_every_panel_and_every_caution(clothwright, name):
    ended = clothwright("products", name)
    assert (ended.status, ended.err) == (0, "")
    lines = ended.out.splitlines()
    for measurement in products()[name].measurements:
        row = next(line for line in lines if line.startswith(measurement.name))
        assert measurement.meaning in row
    run_together = " ".join(ended.out.split())
    for caution in products()[name].cautions:
        assert " ".join(caution.split()) in run_together


def test_defaults_and_limits_are_in_the_unit_that_was_asked_for(clothwright):
    # 20 mm is 2 cm and, at 25.4 mm to the inch, 12.6 sixteenths: 13/16 in.
    assert "2.0 cm to" in clothwright("products", "gored-pouf").out
    assert "20 mm to" in clothwright("products", "gored-pouf", "--units", "mm").out
    assert "13/16 in to" in clothwright("products", "gored-pouf", "--units", "in").out


def test_the_sketch_shows_each_panel_as_a_line_drawing(clothwright):
    lines = clothwright("products", "round-cushion").out.splitlines()
    # The plate is a disc of 45 cm: its drawing is as wide as it is high, two dots to a
    # character across and four down, so twice as many characters across.
    start = next(i for i, line in enumerate(lines) if line.startswith("2 plate, 45.0 cm"))
    drawing = lines[start + 1 : lines.index("", start)]
    assert all(set(map(ord, line)) <= set(range(0x2800, 0x2900)) for line in drawing)
    assert max(map(len, drawing)) == pytest.approx(2 * len(drawing), abs=1)


def test_json_gives_finished_sizes_in_millimetres(clothwright):
    ended = clothwright("products", "round-cushion", "--json")
    assert ended.err == ""
    record = json.loads(ended.out)
    diameter = next(m["shown"] for m in record["measurements"] if m["name"] == "diameter")
    plate, boxing = record["panels"]
    assert (plate["name"], plate["per_item"], plate["length_mm"]) == ("plate", 2, diameter)
    # The boxing goes once around the plate; each end is rounded outward by less than 0.01 mm.
    assert boxing["height_mm"] == pytest.approx(math.pi * diameter, abs=0.02)


def test_json_lists_all_products(clothwright):
    listed = json.loads(clothwright("products", "--json").out)
    assert [each["name"] for each in listed] == sorted(products())


def test_an_unknown_product_is_refused_with_the_nearest(clothwright):
    ended = clothwright("products", "box-cushon")
    assert (ended.status, ended.out) == (2, "")
    assert 'no product has this name: "box-cushon"' in ended.err
    assert "did you mean box-cushion?" in ended.err
    assert "gored-pouf" in ended.err


def test_an_unknown_unit_is_refused(clothwright):
    ended = clothwright("products", "--units", "ell")
    assert (ended.status, ended.out) == (2, "")
    assert '--units: must be mm, cm or in: "ell"' in ended.err


def test_the_panels_are_drawn_to_a_file_at_true_scale(clothwright, tmp_path):
    """The cut lines read back by an SVG parser: a disc of 45 cm and its strip in finished size."""
    file = tmp_path / "cushion.svg"
    assert clothwright("products", "round-cushion", "--svg", str(file)).status == 0
    root = ET.parse(file).getroot()
    rings = [
        [tuple(map(float, pair.split(","))) for pair in each.get("points").split()]
        for each in root.iterfind(".//{*}g[@class='cut']/{*}polygon")
    ]
    sizes = [max(x for x, _ in ring) - min(x for x, _ in ring) for ring in rings]
    assert sizes == pytest.approx([450, 80], abs=0.03)
    assert clothwright("products", "round-cushion", "--svg", str(file)).status == 3


def test_a_drawing_needs_the_name_of_one_product(clothwright, tmp_path):
    ended = clothwright("products", "--svg", str(tmp_path / "all.svg"))
    assert (ended.status, ended.out) == (2, "")
    assert "NAME must be given" in ended.err
    assert not (tmp_path / "all.svg").exists()


@pytest.mark.parametrize("units", ["mm", "cm", "in"])
@pytest.mark.parametrize("name", sorted(set(products()) - {"outline"}))
def test_the_limits_in_the_table_are_themselves_allowed(clothwright, name, units):
    rows = clothwright("products", name, "--units", units).out.splitlines()
    for each in products()[name].measurements:
        if each.kind is MeasurementKind.LENGTH and each.least and each.greatest:
            (row,) = (row for row in rows if row.startswith(f"{each.name} "))
            _, _, limits, _ = re.split(r"\s{2,}", row, maxsplit=3)
            least, greatest = (parse_length(limit, units) for limit in limits.split(" to "))
            assert each.least <= least < greatest <= each.greatest
