"""The sample order that a maker starts from."""

import re
from pathlib import Path

from nesting.cloth.cloth import Coating
from nesting.orders.cloth_tables import ClothTable
from nesting.orders.reader import parse_order, read_order
from nesting.orders.schema import Head
from nesting.orders.starter import STARTER
from nesting.panels.making import make_panels
from nesting.panels.product import products


def test_the_starter_order_is_sound_as_it_stands(tmp_path: Path):
    file = tmp_path / "order.toml"
    file.write_text(STARTER, encoding="utf-8")
    order = read_order(file)
    assert order.name == "Garden room"
    assert [item.name for item in order.items] == ["bench seat", "stool pad", "footrest"]


def test_everything_that_it_orders_can_be_made_with_seams_that_meet():
    for item in parse_order(STARTER).items:
        made = make_panels(
            products()[item.product],
            item.values,
            item=item.name,
            cloth=item.cloth,
            quantity=item.quantity,
            allowance_mm=item.allowance_mm,
        )
        assert made.panels
        assert all(seam.meets for seam in made.seams)


def test_it_names_every_key_of_an_order_and_of_a_cloth():
    for key in (*Head.model_fields, *ClothTable.model_fields):
        assert key in STARTER


def test_it_is_sound_with_its_remarked_keys_taken_in():
    text = STARTER
    for key in ("cross_grain", "roll_length", "coating", "liner"):
        text = text.replace(f"# {key}", key)
    (cloth,) = parse_order(text).cloths
    assert parse_order(text).items[2].liner == cloth.name
    assert cloth.cross_grain
    assert cloth.coating is Coating.UNKNOWN
    assert cloth.roll_length == 1_200_000  # 12 m


def test_its_flaw_and_its_remnant_are_sound():
    text = re.sub(r"(?m)^# (?=\[\[|(at|size|what|name|length|width|price) = )", "", STARTER)
    (cloth,) = parse_order(text).cloths
    assert [flaw.what for flaw in cloth.flaws] == ["oil stain"]
    assert [(piece.name, piece.length, piece.price) for piece in cloth.stock] == [
        ("remnant", 90_000, 0)
    ]


def test_its_lines_fit_a_window_of_80_columns():
    assert max(map(len, STARTER.splitlines())) <= 80
