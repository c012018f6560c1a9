"""Which piece of which cloth a drawing shows."""

from dataclasses import replace
from pathlib import Path

import pytest
from lays_on_pieces import CLOTH, HIDE, REMNANT

from cli.shown_piece import find_cloth, find_piece
from nesting.drawings.drawing import Drawing
from nesting.errors import OrderError

LINING = replace(CLOTH, name="lining", stock=())


def drawing(title=""):
    return Drawing(title, 1.0, 1.0, (), ())


@pytest.mark.parametrize(
    ("title", "file", "named", "wanted"),
    [
        ("teal twill", "teal-twill-remnant.dxf", None, "remnant"),
        ("teal twill", "teal-twill-roll.r12.dxf", None, "roll"),
        ("teal twill, hide", "any.dxf", None, "hide"),
        ("", "teal-twill-hide.plt", None, "hide"),
        ("", "any.plt", "hide", "hide"),
        ("teal twill, remnant", "teal-twill-remnant.dxf", "roll", "roll"),
    ],
)
def test_a_piece_is_found_by_its_option_title_or_file_name(title, file, named, wanted):
    cloth = None if title or file.startswith("teal") else "teal twill"
    found = find_cloth([CLOTH, LINING], cloth, drawing(title), Path(file))
    assert found is CLOTH
    assert find_piece(found, named, drawing(title), Path(file)).name == wanted


def test_a_cloth_with_one_piece_needs_no_name():
    assert find_piece(LINING, None, drawing(), Path("any.svg")).name == "roll"
    hide = replace(CLOTH, stock=(HIDE,), may_buy=False)
    assert find_piece(hide, None, drawing(), Path("any.svg")) is HIDE


def test_a_drawing_that_names_no_piece_is_refused():
    with pytest.raises(OrderError, match='one of "remnant", "hide", "roll"') as refused:
        find_piece(CLOTH, None, drawing("teal twill"), Path("teal-twill.dxf"))
    assert refused.value.faults[0].place == "--piece"
    with pytest.raises(OrderError, match="has no piece of this name"):
        find_piece(CLOTH, REMNANT.name.upper(), drawing(), Path("any.dxf"))
