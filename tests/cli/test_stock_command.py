"""`clothwright stock`."""

import json
import os
import sqlite3
from contextlib import closing

import pytest
import typer
from shelf_lays import on_piece, record, write_record

from cli.app import app

QUICK = ("--steps", "1", "--workers", "1", "--quiet")
COMMANDS = ("add", "list", "use", "undo", "remove", "labels")


@pytest.fixture
def stock(clothwright, folder):
    """Run a command of the shelf in the folder; options may be given without their shelf."""

    def ended(command, *arguments):
        return clothwright("stock", command, *arguments, "--stock", folder / "shelf.db")

    return ended


@pytest.fixture
def linen(stock):
    """A shelf with a roll of 12 m, whose number is 1."""
    ended = stock("add", "--cloth", "linen", "--length", "12 m", "--width", "140", "--shade", "B7",
                  "--price", "120", "--currency", "EUR")  # fmt: skip
    assert ended.status == 0
    assert ended.out == "shelf 1.1: linen, 1200.0 × 140.0 cm\n"
    return stock


def lay_on_linen(folder, revision=1, length=12_000.0):
    """A lay of 3 m on the roll, which leaves a remnant of 300 x 38 cm beside its panel."""
    name = f"shelf 1.{revision}"
    piece = {"name": name, "width_mm": 1400.0, "length_mm": length, "selvedge_mm": 10.0}
    placed = on_piece(name, 20, 10, 2960, 1000)
    return write_record(folder / "order-lay", record([piece], [placed]))


def listed(stock, *arguments):
    return json.loads(stock("list", "--json", *arguments).out)


def test_every_subcommand_option_and_argument_has_help():
    group = typer.main.get_command(app).commands["stock"]
    assert tuple(group.commands) == COMMANDS
    for command in group.commands.values():
        assert command.help
        assert all(parameter.help for parameter in command.params)


def test_the_record_of_a_list_is_as_promised(linen):
    (piece,) = listed(linen)
    since = piece.pop("since")
    assert len(since) == 10
    assert piece == {
        "number": 1, "cloth": "linen", "name": "shelf 1.1", "length_mm": 12000.0,
        "width_mm": 1400.0, "outline_mm": None, "shade": "B7", "place": "", "worth": 120.0,
        "currency": "EUR",
    }  # fmt: skip


def test_a_list_ends_with_what_it_is_worth(linen, folder):
    (folder / "more.csv").write_text(
        "cloth,length,width,price,currency\nfelt,1 m,90,7.05,GBP\nlinen,2 m,140,,\n"
    )
    assert linen("add", "more.csv").out.splitlines()[-1].startswith("shelf 3.1: linen")
    lines = linen("list").out.splitlines()
    assert lines[-1] == "3 pieces; worth 120.00 EUR and 7.05 GBP; 1 without a price"
    assert len(lines) == 5
    some = linen("list", "--cloth", "linen", "--at-least", "3 m", "--units", "in").out
    assert "472 7/16 in" in some
    assert some.endswith("1 piece; worth 120.00 EUR\n")
    assert linen("list", "--shade", "C").out == "nothing on the shelf is as asked for\n"


def test_a_table_with_a_fault_adds_nothing(linen, folder):
    (folder / "more.csv").write_text("cloth,length,width\nfelt,1 m,90\nfelt,1,x\n,1,1\n")
    ended = linen("add", "more.csv")
    assert ended.status == 2
    assert "more.csv:3: width" in ended.err
    assert "more.csv:4: cloth" in ended.err
    assert len(listed(linen)) == 1


def test_a_table_does_not_go_with_options(linen, folder):
    (folder / "more.csv").write_text("cloth,length,width\nfelt,1 m,90\n")
    ended = linen("add", "more.csv", "--cloth", "felt", "--place", "rack")
    assert ended.status == 2
    assert "--cloth" in ended.err
    assert "--place" in ended.err


def test_what_is_wrong_creates_no_shelf(stock, folder):
    ended = stock("add", "--cloth", "linen", "--length", "1 m", "--width", "3", "--selvedge", "2")
    assert ended.status == 2
    assert "must leave some cloth between both edges of a piece 3.0 cm wide" in ended.err
    assert list(folder.iterdir()) == []


def test_using_a_lay_tells_what_is_shorter_and_new(linen, folder):
    ended = linen("use", lay_on_linen(folder))
    assert ended.status == 0
    assert ended.out.splitlines() == [
        "shorter  1.2  linen  900.0 × 140.0 cm",
        "new      2.1  linen  296.0 × 38.0 cm",
        "new labels: 1.2 2.1",
    ]
    roll, remnant = listed(linen)
    assert (roll["length_mm"], roll["worth"]) == (9000.0, 90.0)
    assert (remnant["shade"], remnant["worth"], remnant["currency"]) == ("B7", 0.0, "EUR")


def test_a_lay_is_used_once_and_one_on_a_changed_shelf_not_at_all(linen, folder):
    lay = lay_on_linen(folder)
    assert linen("use", lay).status == 0
    again = linen("use", lay)
    assert again.status == 1
    assert "booked already" in again.err
    stale = linen("use", lay_on_linen(folder, 1, 9_000.0))
    assert stale.status == 1
    assert "has changed since the lay was planned" in stale.err
    assert len(listed(linen)) == 2
    assert linen("use", lay_on_linen(folder, 2, 9_000.0)).status == 0


def test_undo_takes_the_last_use_back(linen, folder):
    before = listed(linen)
    lay = lay_on_linen(folder)
    linen("use", lay)
    ended = linen("undo")
    assert ended.out == f"took back the booking of {lay}: 2 pieces as before\n"
    assert listed(linen) == before
    assert linen("undo").status == 1


def test_a_lay_of_today_can_be_booked(clothwright, order, stock):
    assert clothwright("lay", order, *QUICK).status == 0
    stock("add", "--cloth", "felt", "--length", "1 m", "--width", "90")
    ended = stock("use", order.parent / "bench-lay")
    assert ended.status == 0
    assert all(piece["cloth"] in ("felt", "Grey Wool 2") for piece in listed(stock))
    assert stock("undo").status == 0
    assert len(listed(stock)) == 1


def test_a_folder_without_a_record_ends_with_3(linen, folder):
    ended = linen("use", folder)
    assert ended.status == 3
    assert "layout.json: cannot be read" in ended.err


def test_pieces_are_removed_by_number_or_label(linen):
    assert linen("remove", "1.2").status == 1
    assert linen("remove", "one").status == 2
    assert linen("remove", "1.1").out == "took shelf 1.1, linen, off the shelf\n"
    assert listed(linen) == []


def test_labels_are_written_beside_the_shelf_and_never_over_a_file(linen, folder):
    ended = linen("labels")
    assert ended.out == f"wrote {folder / 'shelf-labels.pdf'} with 1 label\n"
    assert (folder / "shelf-labels.pdf").read_bytes().startswith(b"%PDF")
    assert linen("labels").status == 3
    assert linen("labels", "1", "--out", "one.pdf").status == 0
    wrong = linen("labels", "1", "7", "--out", "two.pdf")
    assert wrong.status == 1
    assert "piece 7: is not on the shelf" in wrong.err
    assert not (folder / "two.pdf").exists()


@pytest.mark.parametrize(
    ("make", "status", "told"),
    [
        (lambda path: None, 3, "there is no such shelf"),
        (lambda path: path.write_text("no shelf"), 2, "must be a shelf that clothwright wrote"),
        (lambda path: path.mkdir(), 3, "there is no such shelf"),
    ],
)
def test_a_shelf_that_is_none_is_one_message(stock, folder, make, status, told):
    make(folder / "shelf.db")
    for command in (
        ("list",),
        ("undo",),
        ("remove", "1"),
        ("labels",),
        ("use", lay_on_linen(folder)),
    ):
        ended = stock(*command)
        assert ended.status == status
        assert told in ended.err


def test_a_locked_shelf_ends_with_3(linen, folder, monkeypatch):
    monkeypatch.setattr("nesting.shelf.file.PATIENCE", 0.1)
    with closing(sqlite3.connect(folder / "shelf.db", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        ended = linen("use", lay_on_linen(folder))
    assert ended.status == 3
    assert "another command is changing it; try again" in ended.err
    assert len(listed(linen)) == 1


def test_options_of_another_kind_are_refused(linen):
    assert linen("list", "--units", "yd").status == 2
    assert linen("list", "--at-least", "long").status == 2
    ended = linen("list", "--cloth", "lining")
    assert ended.status == 2
    assert 'did you mean "linen"?' in ended.err


def test_the_shelf_must_be_named(clothwright, folder):
    ended = clothwright("stock", "list")
    assert ended.status == 2
    assert "--stock" in ended.err
    assert os.listdir(folder) == []
