import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.verification.roll_call import count_items

GORE, CAP = ("pouf", "gore"), ("pouf", "cap")


def all_pairs(items, parts):
    return {(copy, part) for copy in range(1, items + 1) for part in range(1, parts + 1)}


@given(st.integers(1, 12), st.integers(1, 12), st.integers(1, 3))
@settings(deadline=None, max_examples=100)
def test_the_number_of_items_follows_from_the_laid_panels(items, gores, caps):
    laid = {GORE: all_pairs(items, gores), CAP: all_pairs(items, caps)}
    assert count_items({GORE: items * gores, CAP: items * caps}, laid) == items


@pytest.mark.parametrize("missing", [(1, 1), (2, 3), (3, 10)])
def test_one_missing_panel_does_not_hide_the_number_of_items(missing):
    laid = {GORE: all_pairs(3, 10) - {missing}}
    assert count_items({GORE: 30}, laid) == 3


def test_one_item_is_assumed_where_nothing_is_laid():
    assert count_items({GORE: 10}, {}) == 1
