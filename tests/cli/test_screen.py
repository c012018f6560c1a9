"""How results and faults are written."""

import pytest

from cli.screen import ExitStatus, columns, complain, fault_text, status_of, wrap
from nesting.errors import (
    AccessError,
    Fault,
    OrderError,
    PanelTooLargeError,
    RollTooShortError,
    SeamError,
    UnprovenLayError,
)

FAULT = Fault("cloth 1, width", "must be a number", "true", "write it in digits", line=7)


@pytest.mark.parametrize(
    ("kind", "status"),
    [
        (SeamError, 1),
        (PanelTooLargeError, 1),
        (RollTooShortError, 1),
        (UnprovenLayError, 1),
        (OrderError, 2),
    ],
)
def test_each_error_has_the_exit_status_of_the_contract(kind, status):
    assert status_of(kind([FAULT])) == status


def test_an_access_error_ends_with_3():
    assert status_of(AccessError("locked")) is ExitStatus.NO_ACCESS


@pytest.mark.parametrize(
    ("fault", "source", "text"),
    [
        (
            FAULT,
            "a.toml",
            "a.toml:7: cloth 1, width: must be a number: true\n    write it in digits",
        ),
        (Fault("name", "is missing"), "a.toml", "a.toml: name: is missing"),
        (Fault("--seed", "must be whole", "x"), "", "--seed: must be whole: x"),
        (Fault("a.json", "must be JSON", "?", line=1), "a.json", "a.json:1: must be JSON: ?"),
    ],
)
def test_a_fault_is_written_with_file_line_place_rule_value_and_remedy(fault, source, text):
    assert fault_text(fault, source) == text


def test_every_fault_of_an_error_goes_to_standard_error(capsys):
    error = OrderError([FAULT, Fault("name", "is missing")])
    error.add_note("a.toml")
    complain(error)
    out, err = capsys.readouterr()
    assert out == ""
    assert err.splitlines() == [
        "a.toml:7: cloth 1, width: must be a number: true",
        "    write it in digits",
        "a.toml: name: is missing",
    ]


def test_columns_are_as_wide_as_their_widest_cell():
    rows = [["cloth", "buy"], ["teal twill", "9 cm"]]
    assert columns(rows, right=[1]) == "cloth        buy\nteal twill  9 cm"


def test_a_paragraph_follows_its_mark(monkeypatch):
    monkeypatch.setenv("COLUMNS", "19")
    assert wrap("one two three four five", "- ") == "- one two three\n  four five"
