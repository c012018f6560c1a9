"""Lays on pieces that are there: of the order, and of a shelf."""

import json
import re

import pytest
from conftest import ORDER

QUICK = ("--steps", "4", "--workers", "1")
PIECE = """
[[cloth.stock]]
name = "remnant"
length = {length}
width = 140
price = 0
"""
#: An order that may only be cut from a remnant.
ONLY = ORDER.replace("end_allowance = 2\n", "end_allowance = 2\nmay_buy = false\n" + PIECE)


@pytest.fixture
def shelf(clothwright, tmp_path):
    """A shelf with a remnant that holds the seat, and one that holds nothing of it."""
    file = tmp_path / "workroom.shelf"
    for length in ("1.2 m", "12 cm"):
        options = ("--cloth", "Grey Wool 2", "--length", length, "--width", "140", "--price", "0")
        assert clothwright("stock", "add", "--stock", file, *options).status == 0
    return file


def test_a_lay_uses_what_is_on_the_shelf(clothwright, order, shelf, tmp_path):
    out = tmp_path / "out"
    ended = clothwright("lay", order, *QUICK, "--stock", shelf, "--out", out)
    assert ended.status == 0, ended.err
    assert "Grey Wool 2, shelf 1.1" in ended.out
    assert "from stock" in ended.out
    (cloth,) = json.loads((out / "layout.json").read_text())["cloths"]
    assert [piece["name"] for piece in cloth["pieces"]] == ["shelf 1.1"]
    assert cloth["buy_length_mm"] == 0
    assert "grey-wool-2-shelf-1-1.dxf" in {file.name for file in out.iterdir()}


def test_it_is_verified_with_the_shelf_and_booked_there(clothwright, order, shelf, tmp_path):
    out = tmp_path / "out"
    clothwright("lay", order, *QUICK, "--stock", shelf, "--out", out)
    for file in (out / "layout.json", out / "grey-wool-2-shelf-1-1.dxf"):
        ended = clothwright("verify", file, "--order", order, "--stock", shelf)
        assert ended.out.startswith("OK: "), ended.out
    without = clothwright("verify", out / "layout.json", "--order", order)
    assert (without.status, "--stock FILE" in without.out) == (1, True)
    assert clothwright("stock", "use", out, "--stock", shelf).status == 0
    again = clothwright("lay", order, *QUICK, "--stock", shelf, "--out", tmp_path / "next")
    assert "shelf 1.1" not in again.out


def test_widths_are_compared_with_what_is_on_the_shelf(clothwright, order, shelf, tmp_path):
    ended = clothwright(
        "widths", order, "--width", "140", "--width", "120", *QUICK, "--stock", shelf, "--json"
    )
    assert ended.status == 0, ended.err
    for roll in json.loads(ended.out)["rolls"]:
        assert roll["pieces_used"] == ["shelf 1.1"]
        assert (roll["buy_length_mm"], roll["cost"]) == (0, 0)


def test_the_shelf_of_a_check_needs_its_order(clothwright, order, shelf, tmp_path):
    clothwright("lay", order, *QUICK, "--out", tmp_path / "out")
    ended = clothwright("verify", tmp_path / "out" / "layout.json", "--stock", shelf)
    assert ended.status == 2
    assert "--stock: applies only to a check against an order" in ended.err


def test_a_file_that_is_no_shelf_is_named(clothwright, order):
    ended = clothwright("lay", order, *QUICK, "--stock", order)
    assert ended.status == 2
    assert str(order) in ended.err


def test_too_little_cloth_ends_with_status_1_and_says_how_much_is_missing(
    clothwright, order, tmp_path
):
    order.write_text(ONLY.format(length=60).replace("quantity = 1", "quantity = 3"))
    ended = clothwright("lay", order, *QUICK, "--out", tmp_path / "out")
    assert ended.status == 1
    missing = re.search(r"at least ([\d.]+) cm more of it is needed", ended.err)
    assert 0 < float(missing[1]) < 100
    assert "--partial" in ended.err
    assert not (tmp_path / "out").exists()


def test_what_fits_is_laid_and_the_rest_listed(clothwright, order, tmp_path):
    order.write_text(ONLY.format(length=120).replace("quantity = 1", "quantity = 5"))
    ended = clothwright("lay", order, *QUICK, "--partial", "--out", tmp_path / "out")
    assert ended.status == 0, ended.err
    (left,) = re.findall(r"not laid, cloth is too little: (\d) of 5 seat", ended.out)
    assert 1 <= int(left) <= 4
    assert (tmp_path / "out" / "layout.json").exists()
