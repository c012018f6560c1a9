"""The loops, compiled and not compiled, against plain versions."""

from dataclasses import dataclass

import numpy as np
import plain
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import problems

from nesting.packing import random_kernels
from nesting.packing.guided import kernels
from nesting.packing.guided.kernels import AROUND, KEEP, Crowd, Q, Room, S
from nesting.packing.guided.tables import SLACK, Tables
from nesting.packing.stage import Stage

seeds = st.integers(1, 2**63)


@pytest.fixture(params=["compiled", "uncompiled"], scope="module")
def loop(request):
    """A kernel by name, compiled or as plain Python."""
    loops = {**vars(kernels), **vars(random_kernels)}
    compiled = request.param == "compiled"
    return lambda name: loops[name] if compiled else loops[name].py_func


@dataclass
class Heap:
    """Pieces on a grid of cells, most of them on top of each other, and the search's arrays."""

    stage: Stage
    tables: Tables
    most: np.ndarray
    choices: np.ndarray
    crowd: Crowd

    @property
    def copied(self):
        return Crowd(*(values.copy() for values in self.crowd))

    def room(self, seed=1):
        """Scratch arrays of the kernels and a random state."""
        return Room(
            map=np.zeros((self.most.max(axis=0) // (S * Q) + 2).prod(), dtype=np.float32),
            near=np.zeros((len(self.crowd.pose), 6), dtype=np.int64),
            found=np.zeros(KEEP),
            at=np.zeros((KEEP, 3), dtype=np.int64),
            patch=np.zeros((2 * AROUND + 1) ** 2),
            random=np.array([seed], dtype=np.uint64),
        )


@st.composite
def heaps(draw, gaps=(0, 0, 3)):
    stage = Stage(draw(problems(most=5, gaps=gaps)))
    tables = Tables(stage, pitch=draw(st.sampled_from([1, 2])))
    n = len(stage.choices)
    # the longest piece fits the strip in some pose; others may be too long for it
    longest = max(int(stage.length[list(choice)].min()) for choice in stage.choices)
    most = tables.positions(longest + draw(st.integers(0, 20)))
    choices = np.full((n, max(map(len, stage.choices))), -1, dtype=np.int64)
    for i, poses in enumerate(stage.choices):
        choices[i, : len(poses)] = poses
    pose = [
        draw(st.sampled_from([p for p in choice if most[p, 0] >= 0])) for choice in stage.choices
    ]
    x, y = ([draw(st.integers(0, int(most[p, axis]))) for p in pose] for axis in (0, 1))
    weight = np.random.default_rng(draw(st.integers(0, 99))).uniform(0.2, 3, (n, n))
    lying = (np.array(values, dtype=np.int64) for values in (pose, x, y))
    return Heap(stage, tables, most, choices, Crowd(*lying, (weight + weight.T) / 2))


@given(st.data())
@settings(deadline=None, max_examples=25)
def test_tables_hold_depths_between_those_of_single_parts_and_the_way_out_of_all(data):
    stage = Stage(data.draw(problems(most=2, reach=9, gaps=(0, 0, 3))))
    pitch = data.draw(st.sampled_from([1, 3]))
    tables = Tables(stage, pitch)
    a, b = (data.draw(st.sampled_from(range(len(stage.poses)))) for _ in "ab")
    (u0, v0), (qx, qy) = tables.depths.origin[a, b], tables.depths.size[a, b]
    offsets = np.mgrid[u0 : u0 + S * qx, v0 : v0 + S * qy].reshape(2, -1)
    sums = plain.hulls(stage, a, b)
    in_one = plain.depths(sums, *(pitch * offsets)) / pitch
    way_out = plain.depths([shapely.union_all(sums)], *(pitch * offsets)) / pitch
    held = np.array([plain.held(tables, a, b, u, v) for u, v in offsets.T]) + SLACK
    within = in_one > 1e-9
    np.testing.assert_array_equal(held[within] > 0, True)
    assert (held[~within] <= 1e-6).all()
    assert (held[within] >= in_one[within] - 1e-5).all()
    # The way out and the nearest free cell differ by up to half a diagonal of a cell.
    assert (held[within] <= np.maximum(in_one, way_out + np.sqrt(2) - 0.75)[within] + 1e-5).all()


@given(st.data())
@settings(deadline=None, max_examples=20)
def test_an_offset_of_whole_cells_with_depth_overlaps_and_a_free_one_has_none(data):
    heap = data.draw(heaps())
    a, b = (data.draw(st.sampled_from(range(len(heap.stage.poses)))) for _ in "ab")
    dx, dy = (data.draw(st.integers(-20, 20)) for _ in "xy")
    pitch = heap.tables.pitch
    deep = plain.looked_up(heap.tables, a, b, dx * Q, dy * Q)
    assert not (deep > 0 and heap.stage.contact(a, b).free(pitch * dx, pitch * dy))


@given(st.data())
@settings(deadline=None, max_examples=20)
def test_depth_is_the_same_from_either_piece(data):
    heap = data.draw(heaps())
    depths = heap.tables.depths
    a, b = (data.draw(st.sampled_from(range(len(heap.stage.poses)))) for _ in "ab")
    dx, dy = (data.draw(st.integers(-20 * Q, 20 * Q)) for _ in "xy")
    one, other = kernels.depth_at(depths, a, b, dx, dy), kernels.depth_at(depths, b, a, -dx, -dy)
    assert one == pytest.approx(other, abs=1e-6)


@given(seeds, st.integers(1, 2**31))
@settings(deadline=None, max_examples=20)
def test_random_numbers_are_those_of_the_published_generator(loop, seed, n):
    state, twin = np.array([seed], dtype=np.uint64), plain.Draws(seed)
    with np.errstate(over="ignore"):  # wrapping at 64 bits is what the generator does
        assert [loop("draw")(state, n) for _ in range(5)] == [twin.below(n) for _ in range(5)]
    assert int(state[0]) == twin.state


@given(st.data())
@settings(deadline=None, max_examples=20)
def test_a_depth_between_cells_is_interpolated(loop, data):
    tables = data.draw(heaps()).tables
    a, b = (data.draw(st.sampled_from(range(len(tables.depths.start)))) for _ in "ab")
    for dx in range(-200, 201, 23):
        for dy in range(-200, 201, 37):
            deep = loop("depth_at")(tables.depths, a, b, dx, dy)
            assert deep == pytest.approx(plain.looked_up(tables, a, b, dx, dy), abs=1e-12)


@given(heaps(), st.data())
@settings(deadline=None, max_examples=20)
def test_a_coarse_map_is_the_sum_of_shifted_tables(loop, heap, data):
    i = data.draw(st.sampled_from(range(len(heap.crowd.pose))))
    a = data.draw(st.sampled_from(heap.stage.choices[i]))
    phase = [data.draw(st.integers(0, S - 1)) for _ in "xy"]
    count = [data.draw(st.integers(1, 8)) for _ in "xy"]
    grid = np.full(81, 7, dtype=np.float32)
    loop("coarse_map")(grid, i, a, *phase, *count, heap.crowd, heap.tables.depths)
    expected = plain.coarse_map(heap.tables, heap.crowd, i, a, phase, count)
    np.testing.assert_allclose(grid[: expected.size].reshape(count), expected, rtol=0)
    np.testing.assert_array_equal(grid[expected.size :], 7)


grids = st.lists(st.lists(st.integers(0, 5), min_size=4, max_size=4), min_size=1, max_size=6)


@given(st.lists(grids, min_size=1, max_size=3), st.data())
@settings(deadline=None, max_examples=60)
def test_the_least_cells_of_all_poses_come_in_order_and_equals_as_they_are_scanned(
    loop, maps, data
):
    found, at = np.full(KEEP, np.inf), np.zeros((KEEP, 3), dtype=np.int64)
    expected = []
    for a, rows in enumerate(maps):
        grid = np.array(rows, dtype=np.float32)
        fx, fy = (data.draw(st.integers(0, S - 1)) for _ in "xy")
        begin = data.draw(st.integers(0, len(rows) - 1))
        loop("least_cells")(grid.ravel(), a, fx, fy, len(rows), 4, begin, found, at)
        for k, m in plain.least_cells(grid, begin):
            expected.append((grid[k, m], a, fx + S * k, fy + S * m))
    expected = sorted(expected, key=lambda each: each[0])[:KEEP]
    assert [tuple(cell) for cell in at[: len(expected)].tolist()] == [e[1:] for e in expected]
    assert found[: len(expected)].tolist() == [e[0] for e in expected]


def test_fewer_cells_than_are_kept_leave_the_rest_without_end(loop):
    found, at = np.full(KEEP, np.inf), np.zeros((KEEP, 3), dtype=np.int64)
    loop("least_cells")(np.array([2.0], dtype=np.float32), 0, 0, 0, 1, 1, 0, found, at)
    assert found.tolist() == [2.0] + [np.inf] * (KEEP - 1)


@given(heaps(), st.data())
@settings(deadline=None, max_examples=20)
def test_neighbours_are_all_that_can_matter_to_some_position(loop, heap, data):
    crowd = heap.crowd
    i = data.draw(st.sampled_from(range(len(crowd.pose))))
    a = data.draw(st.sampled_from(heap.stage.choices[i]))
    (x0, y0), (wide, high) = ([data.draw(st.integers(0, 40)) for _ in "xy"] for _ in "ab")
    near = heap.room().near
    count = loop("neighbours")(i, a, x0, x0 + wide, y0, y0 + high, crowd, heap.tables.depths, near)
    listed = set(near[:count, 0].tolist())
    assert i not in listed
    for j in set(range(len(crowd.pose))) - listed - {i}:
        for px in range(x0, x0 + wide + 1, 5):
            for py in range(y0, y0 + high + 1, 5):
                offset = px - crowd.x[j], py - crowd.y[j]
                assert plain.looked_up(heap.tables, crowd.pose[j], a, *offset) == 0


@given(heaps(), st.data())
@settings(deadline=None, max_examples=20)
def test_the_cheapest_position_near_another_is_told_with_its_cost_if_cheaper_than_known(
    loop, heap, data
):
    crowd = heap.crowd
    i = data.draw(st.sampled_from(range(len(crowd.pose))))
    a = data.draw(st.sampled_from([p for p in heap.stage.choices[i] if heap.most[p, 0] >= 0]))
    px, py = (data.draw(st.integers(0, int(heap.most[a, axis]))) for axis in (0, 1))
    radius = data.draw(st.integers(0, AROUND))
    step = data.draw(st.sampled_from([1, 3, Q]))
    known = data.draw(st.sampled_from([np.inf, 2.0, 0.5]))
    depths, room = heap.tables.depths, heap.room()
    found = loop("cheapest_near")(
        i, a, heap.most[a], px, py, radius, step, known, crowd, depths, room
    )
    steps = range(-radius * step, radius * step + 1, step)
    costs = {
        (x, y): plain.cost(heap.tables, crowd, i, a, x, y)
        for x, y in ((px + right, py + up) for right in steps for up in steps)
        if 0 <= x <= heap.most[a, 0] and 0 <= y <= heap.most[a, 1]
    }
    least = min(costs.values())
    if least < known:
        assert found[0] == pytest.approx(least, abs=1e-12)
        assert costs[found[1:]] == pytest.approx(least, abs=1e-12)
    else:
        assert found == (known, px, py)


@given(heaps(), seeds, st.data())
@settings(deadline=None, max_examples=20)
def test_a_piece_settles_where_its_twin_does(loop, heap, seed, data):
    i = data.draw(st.sampled_from(range(len(heap.crowd.pose))))
    crowd, room = heap.copied, heap.room(seed)
    with np.errstate(over="ignore"):
        moved = loop("settle")(i, heap.choices[i], heap.most, crowd, heap.tables.depths, room)
    draws = plain.Draws(seed)
    expected = plain.settled(heap.tables, heap.crowd, i, heap.choices[i], heap.most, draws)
    assert (crowd.pose[i], crowd.x[i], crowd.y[i]) == expected
    assert moved == (expected != tuple(values[i] for values in heap.crowd[:3]))
    assert int(room.random[0]) == draws.state
    others = np.arange(len(crowd.pose)) != i
    for before, after in zip(heap.crowd, crowd, strict=True):
        np.testing.assert_array_equal(before[others], after[others])


@given(heaps(), seeds, st.integers(0, 12), st.data())
@settings(deadline=None, max_examples=20)
def test_on_a_long_strip_a_piece_settles_within_reach(heap, seed, reach, data):
    i = data.draw(st.sampled_from(range(len(heap.crowd.pose))))
    crowd, room = heap.copied, heap.room(seed)
    with pytest.MonkeyPatch.context() as patch, np.errstate(over="ignore"):
        patch.setattr(kernels, "REACH", reach)
        uncompiled = kernels.settle.py_func
        uncompiled(i, heap.choices[i], heap.most, crowd, heap.tables.depths, room)
    draws, choices = plain.Draws(seed), heap.choices[i]
    expected = plain.settled(heap.tables, heap.crowd, i, choices, heap.most, draws, reach)
    assert (crowd.pose[i], crowd.x[i], crowd.y[i]) == expected


@given(heaps(), seeds, st.data())
@settings(deadline=None, max_examples=25)
def test_settling_never_costs_and_stays_on_the_strip(heap, seed, data):
    i = data.draw(st.sampled_from(range(len(heap.crowd.pose))))
    crowd = heap.copied
    kernels.settle(i, heap.choices[i], heap.most, crowd, heap.tables.depths, heap.room(seed))
    before, after = (
        plain.cost(heap.tables, each, i, *(int(values[i]) for values in each[:3]))
        for each in (heap.crowd, crowd)
    )
    assert after <= before
    assert 0 <= crowd.x[i] <= heap.most[crowd.pose[i], 0]
    assert 0 <= crowd.y[i] <= heap.most[crowd.pose[i], 1]
    assert crowd.pose[i] in heap.stage.choices[i]


@given(heaps())
@settings(deadline=None, max_examples=25)
def test_overlaps_are_the_depths_of_all_pairs_and_their_sum(loop, heap):
    deep = np.full((len(heap.crowd.pose),) * 2, 0.0)
    total = loop("overlaps")(deep, heap.crowd, heap.tables.depths)
    expected = plain.overlaps(heap.tables, heap.crowd)
    np.testing.assert_allclose(deep, expected, atol=1e-12)
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


@given(heaps(), seeds)
@settings(deadline=None, max_examples=20)
def test_a_sweep_leaves_everything_where_its_twin_does(loop, heap, seed):
    n = len(heap.crowd.pose)
    crowd, order, deep = heap.copied, np.arange(n), plain.overlaps(heap.tables, heap.crowd)
    with np.errstate(over="ignore"):
        total = loop("sweep")(
            order, heap.choices, heap.most, deep, crowd, heap.tables.depths, heap.room(seed)
        )
    expected = plain.swept(
        heap.tables, heap.crowd, range(n), heap.choices, heap.most, plain.Draws(seed)
    )
    for twin, left in zip(expected, crowd, strict=True):
        np.testing.assert_array_equal(twin, left)
    np.testing.assert_allclose(deep, plain.overlaps(heap.tables, expected), atol=1e-12)
    assert total == pytest.approx(deep.sum() / 2)
    assert sorted(order.tolist()) == list(range(n))


@given(heaps(), seeds)
@settings(deadline=None, max_examples=20)
def test_a_sweep_moves_nothing_when_nothing_overlaps(heap, seed):
    n = len(heap.crowd.pose)
    apart = S * Q * int(heap.tables.depths.size.max()) * np.arange(n)
    crowd = heap.copied._replace(x=apart.copy())
    room, deep = heap.room(seed), np.zeros((n, n))
    total = kernels.sweep(
        np.arange(n), heap.choices, heap.most, deep, crowd, heap.tables.depths, room
    )
    assert total == 0
    for before, after in zip(heap.crowd._replace(x=apart), crowd, strict=True):
        np.testing.assert_array_equal(before, after)
