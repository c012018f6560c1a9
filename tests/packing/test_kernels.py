"""The compiled loops, and the same loops uncompiled, against plain twins."""

from dataclasses import dataclass

import numpy as np
import plain
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import problems

from nesting.packing import kernels
from nesting.packing.kernels import KEEP, S
from nesting.packing.stage import Stage
from nesting.packing.tables import SLACK, Tables

seeds = st.integers(1, 2**63)


@pytest.fixture(params=["compiled", "uncompiled"], scope="module")
def loop(request):
    """A kernel by name, as it runs or as it is written."""
    compiled = request.param == "compiled"
    return lambda name: getattr(kernels, name) if compiled else getattr(kernels, name).py_func


@dataclass
class Crowd:
    """Pieces on a grid of cells, most of them on top of each other, and the search's arrays."""

    stage: Stage
    tables: Tables
    cells: np.ndarray
    choices: np.ndarray
    pose: np.ndarray
    x: np.ndarray
    y: np.ndarray
    weight: np.ndarray

    @property
    def lying(self):
        return self.pose, self.x, self.y

    @property
    def copied(self):
        return tuple(values.copy() for values in self.lying)

    @property
    def room(self):
        """Scratch arrays of the kernels: a coarse map and a list of neighbours."""
        grid = np.zeros(self.cells.max(axis=0) // S + 2, dtype=np.float32)
        return grid, np.zeros(len(self.pose), dtype=np.int64)


@st.composite
def crowds(draw, gaps=(0, 0, 3)):
    stage = Stage(draw(problems(most=5, gaps=gaps)))
    tables = Tables(stage, pitch=draw(st.sampled_from([1, 2])))
    n = len(stage.choices)
    # the longest piece fits the strip in some pose; others may be too long for it
    longest = max(int(stage.length[list(choice)].min()) for choice in stage.choices)
    cells = tables.cells(longest + draw(st.integers(0, 20)))
    choices = np.full((n, max(map(len, stage.choices))), -1, dtype=np.int64)
    for i, poses in enumerate(stage.choices):
        choices[i, : len(poses)] = poses
    pose = [
        draw(st.sampled_from([p for p in choice if cells[p, 0] > 0])) for choice in stage.choices
    ]
    x, y = ([draw(st.integers(0, int(cells[p, axis]) - 1)) for p in pose] for axis in (0, 1))
    weight = np.random.default_rng(draw(st.integers(0, 99))).uniform(0.2, 3, (n, n))
    lying = (np.array(values, dtype=np.int64) for values in (pose, x, y))
    return Crowd(stage, tables, cells, choices, *lying, (weight + weight.T) / 2)


@given(st.data())
@settings(deadline=None, max_examples=25)
def test_tables_hold_how_deep_convex_parts_overlap(data):
    stage = Stage(data.draw(problems(most=2, reach=9, gaps=(0, 0, 3))))
    pitch = data.draw(st.sampled_from([1, 3]))
    tables = Tables(stage, pitch)
    a, b = (data.draw(st.sampled_from(range(len(stage.poses)))) for _ in "ab")
    (u0, v0), (qx, qy) = tables.origin[a, b], tables.size[a, b]
    offsets = np.mgrid[u0 - 2 : u0 + S * qx + 2, v0 - 2 : v0 + S * qy + 2].reshape(2, -1)
    deep = plain.depths(plain.hulls(stage, a, b), *(pitch * offsets)) / pitch
    held = [plain.looked_up(tables, a, b, u, v) for u, v in offsets.T]
    np.testing.assert_allclose(held, np.maximum(0, deep - SLACK), atol=1e-5)


@given(st.data())
@settings(deadline=None, max_examples=20)
def test_an_offset_with_more_than_slack_in_the_table_overlaps_and_a_free_one_holds_nothing(data):
    crowd = data.draw(crowds())
    a, b = (data.draw(st.sampled_from(range(len(crowd.stage.poses)))) for _ in "ab")
    dx, dy = (data.draw(st.integers(-20, 20)) for _ in "xy")
    pitch = crowd.tables.pitch
    held = plain.looked_up(crowd.tables, a, b, dx, dy)
    if crowd.stage.contact(a, b).free(pitch * dx, pitch * dy):
        assert held == 0
    if held > 0:
        assert not crowd.stage.contact(a, b).free(pitch * dx, pitch * dy)


@given(seeds, st.integers(1, 2**31))
@settings(deadline=None, max_examples=20)
def test_random_numbers_are_those_of_the_published_generator(loop, seed, n):
    state, twin = np.array([seed], dtype=np.uint64), plain.Draws(seed)
    with np.errstate(over="ignore"):  # wrapping at 64 bits is what the generator does
        assert [loop("draw")(state, n) for _ in range(5)] == [twin.below(n) for _ in range(5)]
    assert int(state[0]) == twin.state


@given(st.data())
@settings(deadline=None, max_examples=20)
def test_a_depth_is_looked_up_by_phase(loop, data):
    tables = data.draw(crowds()).tables
    a, b = (data.draw(st.sampled_from(range(len(tables.start)))) for _ in "ab")
    for dx in range(-30, 31, 3):
        for dy in range(-30, 31, 7):
            held = loop("depth_at")(*tables.find, a, b, dx, dy)
            assert held == plain.looked_up(tables, a, b, dx, dy)


@given(crowds(), st.data())
@settings(deadline=None, max_examples=20)
def test_a_coarse_map_is_the_sum_of_shifted_tables(loop, crowd, data):
    i = data.draw(st.sampled_from(range(len(crowd.pose))))
    a = data.draw(st.sampled_from(crowd.stage.choices[i]))
    phase = [data.draw(st.integers(0, S - 1)) for _ in "xy"]
    count = [data.draw(st.integers(1, 8)) for _ in "xy"]
    grid = np.full((9, 9), 7, dtype=np.float32)
    loop("coarse_map")(grid, i, a, *phase, *count, *crowd.lying, crowd.weight, *crowd.tables.find)
    expected = plain.coarse_map(crowd.tables, crowd.lying, crowd.weight, i, a, phase, count)
    np.testing.assert_array_equal(grid[: count[0], : count[1]], expected)


@given(
    st.lists(st.lists(st.integers(0, 5), min_size=4, max_size=4), min_size=1, max_size=6), st.data()
)
@settings(deadline=None, max_examples=60)
def test_the_least_cells_come_in_order_and_equals_as_they_are_scanned(loop, rows, data):
    grid = np.array(rows, dtype=np.float32)
    begin = data.draw(st.integers(0, len(rows) - 1))
    found, at = np.empty(KEEP), np.empty((KEEP, 2), dtype=np.int64)
    loop("least_cells")(grid, len(rows), 4, begin, found, at)
    expected = plain.least_cells(grid, begin)
    assert [tuple(cell) for cell in at.tolist()] == expected
    assert found.tolist() == [grid[cell] for cell in expected]


def test_fewer_cells_than_are_kept_leave_the_rest_without_end(loop):
    found, at = np.empty(KEEP), np.empty((KEEP, 2), dtype=np.int64)
    loop("least_cells")(np.array([[2.0]], dtype=np.float32), 1, 1, 0, found, at)
    assert found.tolist() == [2.0] + [np.inf] * (KEEP - 1)


@given(crowds(), st.data())
@settings(deadline=None, max_examples=20)
def test_neighbours_are_all_that_can_matter_to_some_position(loop, crowd, data):
    i = data.draw(st.sampled_from(range(len(crowd.pose))))
    a = data.draw(st.sampled_from(crowd.stage.choices[i]))
    (x0, y0), (wide, high) = ([data.draw(st.integers(0, 9)) for _ in "xy"] for _ in "ab")
    near = np.zeros(len(crowd.pose), dtype=np.int64)
    count = loop("neighbours")(
        i, a, x0, x0 + wide, y0, y0 + high, *crowd.lying, *crowd.tables.find[2:], near
    )
    listed = set(near[:count].tolist())
    assert i not in listed
    for j in set(range(len(crowd.pose))) - listed - {i}:
        for px in range(x0, x0 + wide + 1):
            for py in range(y0, y0 + high + 1):
                offset = px - crowd.x[j], py - crowd.y[j]
                assert plain.looked_up(crowd.tables, crowd.pose[j], a, *offset) == 0


@given(crowds(), st.data())
@settings(deadline=None, max_examples=20)
def test_the_cost_of_a_position_is_exact_below_its_limit(loop, crowd, data):
    i = data.draw(st.sampled_from(range(len(crowd.pose))))
    a = data.draw(st.sampled_from(crowd.stage.choices[i]))
    px, py = (data.draw(st.integers(0, 20)) for _ in "xy")
    limit = data.draw(st.sampled_from([np.inf, 2.0, 0.5]))
    others = np.array([j for j in range(len(crowd.pose)) if j != i], dtype=np.int64)
    where = (*crowd.lying, crowd.weight, *crowd.tables.find)
    cost = loop("cost_at")(i, a, px, py, limit, others, len(others), *where)
    expected = plain.cost(crowd.tables, crowd.lying, crowd.weight, i, a, px, py)
    if expected < limit:
        assert cost == pytest.approx(expected, abs=1e-12)
    else:
        assert cost >= limit


@given(crowds(), seeds, st.data())
@settings(deadline=None, max_examples=25)
def test_a_piece_settles_where_its_twin_does(loop, crowd, seed, data):
    i = data.draw(st.sampled_from(range(len(crowd.pose))))
    pose, x, y = crowd.copied
    state = np.array([seed], dtype=np.uint64)
    loop("settle")(
        i,
        crowd.choices[i],
        crowd.cells,
        *crowd.room,
        state,
        pose,
        x,
        y,
        crowd.weight,
        *crowd.tables.find,
    )
    draws = plain.Draws(seed)
    expected = plain.settled(
        crowd.tables, crowd.lying, crowd.weight, i, crowd.choices[i], crowd.cells, draws
    )
    assert (pose[i], x[i], y[i]) == expected
    assert int(state[0]) == draws.state
    others = np.arange(len(pose)) != i
    for before, after in zip(crowd.lying, (pose, x, y), strict=True):
        np.testing.assert_array_equal(before[others], after[others])


@given(crowds(), seeds, st.data())
@settings(deadline=None, max_examples=25)
def test_settling_never_costs_and_stays_on_the_strip(crowd, seed, data):
    i = data.draw(st.sampled_from(range(len(crowd.pose))))
    pose, x, y = crowd.copied
    state = np.array([seed], dtype=np.uint64)
    where = (pose, x, y, crowd.weight, *crowd.tables.find)
    kernels.settle(i, crowd.choices[i], crowd.cells, *crowd.room, state, *where)
    before, after = (
        plain.cost(crowd.tables, lying, crowd.weight, i, *(int(values[i]) for values in lying))
        for lying in (crowd.lying, (pose, x, y))
    )
    assert after <= before
    assert 0 <= x[i] < crowd.cells[pose[i], 0]
    assert 0 <= y[i] < crowd.cells[pose[i], 1]
    assert pose[i] in crowd.stage.choices[i]


@given(crowds())
@settings(deadline=None, max_examples=25)
def test_overlaps_are_the_depths_of_all_pairs_and_their_sum(loop, crowd):
    deep = np.full((len(crowd.pose),) * 2, 0.0)
    total = loop("overlaps")(deep, *crowd.lying, *crowd.tables.find)
    expected = plain.overlaps(crowd.tables, crowd.lying)
    np.testing.assert_array_equal(deep, expected)
    assert total == pytest.approx(expected.sum() / 2)


@given(st.integers(0, 2**32 - 1), st.integers(2, 6))
@settings(deadline=None, max_examples=20)
def test_prices_rise_where_pieces_overlap_and_decay_to_the_floor_elsewhere(loop, seed, n):
    random = np.random.default_rng(seed)
    deep = np.triu(random.uniform(0, 5, (n, n)) * (random.random((n, n)) < 0.5), k=1)
    deep[0, 1] += 1
    deep += deep.T
    weight, floor = random.uniform(0.5, 4, (n, n)), random.uniform(0, 1, (n, n))
    expected = plain.reweighed(weight, floor, deep)
    loop("reweigh")(weight, floor, deep)
    np.testing.assert_allclose(weight, expected)


@given(crowds(), seeds)
@settings(deadline=None, max_examples=20)
def test_a_sweep_leaves_everything_where_its_twin_does(loop, crowd, seed):
    n = len(crowd.pose)
    pose, x, y = crowd.copied
    order, deep, state = np.arange(n), np.zeros((n, n)), np.array([seed], dtype=np.uint64)
    total = loop("sweep")(
        order,
        crowd.choices,
        crowd.cells,
        *crowd.room,
        state,
        pose,
        x,
        y,
        crowd.weight,
        deep,
        *crowd.tables.find,
    )
    expected = plain.swept(
        crowd.tables,
        crowd.lying,
        crowd.weight,
        range(n),
        crowd.choices,
        crowd.cells,
        plain.Draws(seed),
    )
    for twin, left in zip(expected, (pose, x, y), strict=True):
        np.testing.assert_array_equal(twin, left)
    np.testing.assert_array_equal(deep, plain.overlaps(crowd.tables, expected))
    assert total == pytest.approx(deep.sum() / 2)
    assert sorted(order.tolist()) == list(range(n))


@given(crowds(), seeds)
@settings(deadline=None, max_examples=20)
def test_a_sweep_moves_nothing_when_nothing_overlaps(crowd, seed):
    n = len(crowd.pose)
    apart = S * int(crowd.tables.size.max()) * np.arange(n)
    pose, x, y = crowd.pose.copy(), apart.copy(), crowd.y.copy()
    state = np.array([seed], dtype=np.uint64)
    where = (pose, x, y, crowd.weight, np.ones((n, n)), *crowd.tables.find)
    total = kernels.sweep(np.arange(n), crowd.choices, crowd.cells, *crowd.room, state, *where)
    assert total == 0
    for before, after in zip((crowd.pose, apart, crowd.y), (pose, x, y), strict=True):
        np.testing.assert_array_equal(before, after)
