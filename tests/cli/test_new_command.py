"""`clothwright new`."""

import json
import tomllib

import jsonschema


def test_new_writes_an_order_that_can_be_laid_as_it_is(clothwright, folder):
    made = clothwright("new", "mine.toml")
    assert (made.status, made.err) == (0, "")
    assert "clothwright lay mine.toml" in made.out
    assert clothwright("lay", "mine.toml", "--steps", "1", "--workers", "1").status == 0
    assert (folder / "mine-lay" / "layout.json").is_file()


def test_new_does_not_change_a_file_that_exists(clothwright, folder):
    (folder / "mine.toml").write_text("precious", encoding="utf-8")
    ended = clothwright("new", "mine.toml")
    assert (ended.status, ended.out) == (3, "")
    assert "mine.toml already exists" in ended.err
    assert (folder / "mine.toml").read_text(encoding="utf-8") == "precious"


def test_new_says_why_a_file_cannot_be_written(clothwright, folder):
    ended = clothwright("new", "no/such/folder/mine.toml")
    assert (ended.status, ended.out) == (3, "")
    assert "no/such/folder/mine.toml cannot be written: No such file or directory" in ended.err
    assert list(folder.iterdir()) == []


def test_new_asks_for_a_file(clothwright, folder):
    ended = clothwright("new")
    assert ended.status == 2
    assert "FILE: must be given" in ended.err


def test_the_schema_goes_to_standard_output_and_describes_the_starter(clothwright, folder):
    schema = json.loads(clothwright("new", "--schema").out)
    clothwright("new", "mine.toml")
    order = tomllib.loads((folder / "mine.toml").read_text(encoding="utf-8"))
    jsonschema.validate(order, schema)


def test_the_schema_goes_to_a_named_file(clothwright, folder):
    printed = clothwright("new", "--schema").out
    assert clothwright("new", "schema.json", "--schema").status == 0
    assert json.loads((folder / "schema.json").read_text(encoding="utf-8")) == json.loads(printed)
