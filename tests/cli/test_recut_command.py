"""``recut``: what was spoiled is planned again."""

import csv
import json

import pytest
from conftest import ORDER

QUICK = ("--steps", "4", "--workers", "1")
SPOILED = ("--spoiled", "seat / plate / 1.2")


@pytest.fixture
def laid(clothwright, order, tmp_path):
    """The folder of a lay with cloth left over, in which nothing was cut yet."""
    order.write_text(ORDER.replace("buy_step = 10", "buy_step = 150"))
    folder = tmp_path / "laid"
    assert clothwright("lay", order, *QUICK, "--out", folder, "--quiet").status == 0
    return folder


def read(folder):
    return json.loads((folder / "layout.json").read_text())


def test_a_spoiled_panel_is_planned_again_and_the_new_lay_is_sound(clothwright, laid, order):
    ended = clothwright("recut", laid, *SPOILED, *QUICK)
    assert ended.status == 0, ended.err
    assert "again: seat / plate / 1.2, on Grey Wool 2, bought roll" in ended.out
    assert "nothing else was moved" in ended.out
    new = laid.with_name("laid-recut")
    assert clothwright("verify", new / "layout.json", "--order", order).out.startswith("OK: 6")
    assert read(new)["recut"] == [{"panel": "seat / plate / 1.2", "why": "spoiled"}]


def test_what_is_new_is_marked_and_what_is_cut_is_not_drawn_again(clothwright, laid):
    clothwright("recut", laid, *SPOILED, *QUICK, "--quiet")
    new = laid.with_name("laid-recut")
    rows = list(csv.DictReader((new / "marking-out.csv").read_text("utf-8-sig").splitlines()))
    assert [(row["panel"], row["copy"], row["part"], row["planned again"]) for row in rows] == [
        ("plate", "1", "2", "new")
    ]
    page = (new / "report.html").read_text()
    assert page.count('class="panel done"') == 5
    assert page.count('class="panel fresh"') == 1


def test_where_nothing_is_cut_yet_everything_is_drawn(clothwright, laid):
    clothwright("recut", laid, *SPOILED, *QUICK, "--quiet", "--cut-to", "1 mm")
    rows = (laid.with_name("laid-recut") / "marking-out.csv").read_text().splitlines()
    assert len(rows) == 1 + 6


def test_a_flaw_that_is_found_spoils_what_it_lies_in(clothwright, laid):
    (placed, *_) = read(laid)["cloths"][0]["placements"]
    at = f"{placed['x_mm'] + 50} mm, {placed['y_mm'] + 50} mm, 1 cm, 1 cm"
    ended = clothwright("recut", laid, "--flaw", at, "--cut-to", "1 mm", *QUICK)
    assert ended.status == 0, ended.err
    assert f"again: {placed['item']} / {placed['panel']} /" in ended.out


def test_several_faults_are_told_at_once(clothwright, laid):
    ended = clothwright(
        "recut", laid, "--spoiled", "seat / plat / 1.2", "--flaw", "1, 2, 3", "--cut-to", "far"
    )
    assert ended.status == 2
    assert 'did you mean "seat / plate / 1.2"?' in ended.err
    assert "must be four lengths" in ended.err
    assert "--cut-to" in ended.err
    assert not laid.with_name("laid-recut").exists()


@pytest.mark.parametrize(
    ("flaw", "told"),
    [
        ("1, 2, 0, 4", "must have a size above 0"),
        ("900, 2, 3, 4", "must lie on the cloth"),
        ("1, 139, 3, 4", "must lie on the cloth"),
    ],
)
def test_a_flaw_must_lie_on_the_cloth(clothwright, laid, flaw, told):
    ended = clothwright("recut", laid, "--flaw", flaw)
    assert (ended.status, told in ended.err) == (2, True)


def test_a_folder_that_was_changed_by_hand_is_refused(clothwright, laid):
    record = read(laid)
    record["cloths"][0]["placements"][0]["x_mm"] += 5
    (laid / "layout.json").write_text(json.dumps(record))
    ended = clothwright("recut", laid, *SPOILED)
    assert ended.status == 1
    assert "the file was changed after the lay was made" in ended.err


def test_an_order_that_is_gone_must_be_named(clothwright, laid, order, tmp_path):
    moved = tmp_path / "elsewhere.toml"
    order.rename(moved)
    ended = clothwright("recut", laid, *SPOILED, *QUICK)
    assert (ended.status, "name it: --order ORDER" in ended.err) == (2, True)
    assert clothwright("recut", laid, *SPOILED, *QUICK, "--order", moved).status == 0


def test_a_folder_without_a_lay_is_told(clothwright, tmp_path):
    ended = clothwright("recut", tmp_path, *SPOILED)
    assert ended.status == 3
    assert "layout.json" in ended.err


def test_nothing_to_do_is_told(clothwright, laid):
    ended = clothwright("recut", laid)
    assert ended.status == 2
    assert "nothing has to be cut again" in ended.err
