"""Options of printed templates."""

import pytest

from cli.printing import read_printing
from nesting.drawings.print.paper import A4, LETTER, RollPaper
from nesting.errors import OrderError


@pytest.mark.parametrize(("units", "paper"), [("cm", A4), ("mm", A4), ("in", LETTER)])
def test_the_paper_is_the_usual_one_of_desk_printers_for_the_units(units, paper):
    printing = read_printing(None, None, units, on_fold=False)
    assert (printing.paper, printing.margin, printing.halves) == (paper, 10, False)


@pytest.mark.parametrize(
    ("text", "units", "paper"),
    [
        ("A4", "in", A4),
        ("letter", "cm", LETTER),
        ("36 in", "cm", RollPaper(914.4)),
        ("91.4", "cm", RollPaper(914.0)),
        ("42", "in", RollPaper(1066.8)),
    ],
)
def test_paper_has_a_name_or_the_width_of_a_roll(text, units, paper):
    assert read_printing(text, None, units, on_fold=True).paper == paper


def test_a_margin_is_a_length_in_the_units_of_the_order():
    assert read_printing(None, "0.25", "in", on_fold=False).margin == pytest.approx(6.35)
    assert read_printing(None, "5 mm", "in", on_fold=False).margin == 5


def test_all_faults_are_reported_together():
    with pytest.raises(OrderError) as caught:
        read_printing("foolscap", "9 cm", "cm", on_fold=False)
    assert [str(fault) for fault in caught.value.faults] == [
        '--paper: must be a4, letter, or the width of a roll of paper: "foolscap" '
        '(for example --paper a4 or --paper "36 in")',
        "--margin: must be from 0 to 25 mm: 90 mm (for example 10 mm)",
    ]


def test_a_margin_that_is_not_a_length_is_refused():
    with pytest.raises(OrderError, match="--margin: cannot be read as a length"):
        read_printing(None, "wide", "cm", on_fold=False)


def test_impossible_roll_paper_is_refused_with_the_name_of_its_option():
    with pytest.raises(OrderError, match="--paper: roll paper must be from 270 mm"):
        read_printing("10 cm", None, "cm", on_fold=False)
