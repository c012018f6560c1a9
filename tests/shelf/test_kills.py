"""A kill at any moment leaves the shelf whole, and two commands at once never book twice.

`python -m benchmarks.shelf` does the same with 200 kills and for a minute.
"""

import random
import sqlite3
from contextlib import closing

import pytest

from benchmarks.shelf import (
    book_small_lay,
    count_bookings,
    fill,
    kill_bookers,
    run_two_bookers,
)
from nesting.shelf.stocktaking import find


def test_kills_lose_nothing_and_leave_no_half_booking(tmp_path):
    assert kill_bookers(tmp_path / "kills", 6, random.Random(1)) > 0


def test_two_at_once_keep_the_totals_exact(tmp_path):
    assert run_two_bookers(tmp_path / "two", 1.5) > 2


@pytest.mark.parametrize(
    "spoil",
    [
        "UPDATE pieces SET length = length + 1 WHERE number = 1",
        "DELETE FROM journal WHERE number = (SELECT max(number) FROM journal)",
        "INSERT INTO bookings (folder, digest, at) VALUES ('half', 'half', '')",
    ],
)
def test_a_shelf_that_is_not_whole_is_found(tmp_path, spoil):
    """Otherwise the tests above would say nothing."""
    path = tmp_path / "spoiled"
    fill(path)
    book_small_lay(path, find(path)[0], "one")
    assert count_bookings(path) == 1
    with closing(sqlite3.connect(path)) as shelf, shelf:
        shelf.execute(spoil)
    with pytest.raises(AssertionError, match="not whole"):
        count_bookings(path)
