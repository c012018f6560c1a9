"""CP-SAT says which pieces to use and what is cut from which shade."""

import itertools
import signal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.packing.cpsat.assignment import Ground, Lot, assign


def ground(room, cost, shade="", fits=(0,), *, endless=False):
    return Ground(shade, room, cost, frozenset(fits), endless)


def lot(count, area, *panels):
    return Lot(count, area, frozenset(panels or (0,)))


def test_it_takes_the_cheapest_pieces_that_hold_everything():
    found = assign([lot(4, 10)], [ground(30, 5), ground(25, 2), ground(20, 2)])
    assert found.used == (1, 2)
    assert found.counts == {"": (4,)}


def test_a_piece_that_holds_no_panel_of_a_lot_is_no_room_for_it():
    pieces = [ground(100, 1, fits=()), ground(20, 9)]
    assert assign([lot(1, 10)], pieces).used == (1,)
    assert assign([lot(1, 10)], pieces[:1]) is None


def test_each_lot_is_of_one_shade():
    pieces = [ground(15, 0, "light"), ground(15, 0, "dark"), ground(100, 9, "new", endless=True)]
    assert assign([lot(2, 10)], pieces).counts == {"light": (1,), "dark": (1,), "new": (0,)}
    assert assign([lot(1, 20)], pieces).counts == {"light": (0,), "dark": (0,), "new": (1,)}


@given(
    st.lists(st.tuples(st.integers(1, 3), st.integers(1, 12)), min_size=1, max_size=3),
    st.lists(st.tuples(st.integers(1, 30), st.integers(0, 9), st.sampled_from("ab")), max_size=4),
)
@settings(max_examples=30, deadline=None)
def test_every_way_to_share_lots_out_costs_as_much_or_more(given_lots, given_pieces):
    lots = [lot(count, area) for count, area in given_lots]
    pieces = [ground(room, cost, shade) for room, cost, shade in given_pieces]
    least = _cheapest(given_lots, given_pieces)
    found = assign(lots, pieces)
    if least is None:
        assert found is None
    else:
        assert sum(pieces[index].cost for index in found.used) == least


def _cheapest(lots, pieces):
    """The least cost by trying all sets of pieces and all counts for the shade a."""
    costs = []
    for used in itertools.product([False, True], repeat=len(pieces)):
        rooms = {"a": 0, "b": 0}
        for (room, _, shade), use in zip(pieces, used, strict=True):
            rooms[shade] += room * use
        some = {shade for (_, _, shade), use in zip(pieces, used, strict=True) if use}
        for counts in itertools.product(*(range(count + 1) for count, _ in lots)):
            a = sum(n * area for n, (_, area) in zip(counts, lots, strict=True))
            b = sum(count * area for count, area in lots) - a
            fits = (not a or "a" in some) and (not b or "b" in some)
            if fits and a <= rooms["a"] and b <= rooms["b"]:
                costs.append(
                    sum(cost for (_, cost, _), use in zip(pieces, used, strict=True) if use)
                )
    return min(costs, default=None)


def test_ctrl_c_reaches_the_caller_afterwards():
    """The solver's own handler, left in place, ended the process."""
    assign([lot(1, 10)], [ground(20, 1)])
    with pytest.raises(KeyboardInterrupt):
        signal.raise_signal(signal.SIGINT)
