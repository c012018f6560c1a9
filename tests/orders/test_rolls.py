"""Lists of rolls that could be bought."""

import pytest

from nesting.cloth.cloth import Nap
from nesting.errors import AccessError, OrderError
from nesting.orders.rolls import read_rolls
from nesting.units import CM, IN

TEXT = """\
version = 1
name = "Spring list"
units = "cm"

[[cloth]]
name = "narrow"
width = 112
selvedge = 1

[[cloth]]
name = "wide"
width = "54 in"
nap = "either-way"
"""


@pytest.fixture
def rolls(tmp_path):
    """Write a text and read it as a list of rolls."""

    def read(text):
        path = tmp_path / "rolls.toml"
        path.write_text(text, encoding="utf-8")
        return read_rolls(path)

    return read


def test_rolls_are_cloths_with_their_own_rules(rolls):
    narrow, wide = rolls(TEXT)
    assert (narrow.name, narrow.width, narrow.selvedge) == ("narrow", 112 * CM, 1 * CM)
    assert (wide.name, wide.width, wide.nap) == ("wide", 54 * IN, Nap.EITHER_WAY)


def test_all_faults_are_told_with_their_lines(rolls):
    with pytest.raises(OrderError) as caught:
        rolls(
            TEXT.replace("112", "-112").replace('"wide"', '"narrow"').replace("version", "verson")
        )
    assert {fault.line for fault in caught.value.faults} >= {1, 7, 11}


def test_items_do_not_belong_into_a_list_of_rolls(rolls):
    with pytest.raises(OrderError, match="item"):
        rolls(TEXT + '\n[[item]]\nproduct = "panel"\n')


def test_a_list_without_rolls_is_refused(rolls):
    with pytest.raises(OrderError, match="cloth"):
        rolls('version = 1\nname = "Nothing"\nunits = "cm"\n')


def test_an_absent_list_cannot_be_read(tmp_path):
    with pytest.raises(AccessError, match=r"nowhere\.toml"):
        read_rolls(tmp_path / "nowhere.toml")
