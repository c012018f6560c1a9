"""Loops over half-planes, compiled and not compiled, against one contact at a time."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import arrangements, problems

from nesting.packing import contact_kernels
from nesting.packing.stage import Arrangement, Stage


@pytest.fixture(params=["compiled", "uncompiled"], scope="module")
def loop(request):
    """A kernel by name, compiled or as plain Python."""
    compiled = request.param == "compiled"
    return lambda name: (
        getattr(contact_kernels, name) if compiled else getattr(contact_kernels, name).py_func
    )


def pairs_of(count):
    first, second = np.array(list(combinations(range(count), 2)), dtype=np.int64).reshape(-1, 2).T
    return np.ascontiguousarray(first), np.ascontiguousarray(second)


def offset(stage, lying, i, j):
    """Contact of piece j around piece i, and how far j lies from i."""
    dx, dy = int(lying.x[j] - lying.x[i]), int(lying.y[j] - lying.y[i])
    return stage.contact(lying.pose[i], lying.pose[j]), dx, dy


@given(st.data())
@settings(deadline=None, max_examples=40)
def test_all_are_free_when_each_contact_says_so(loop, data):
    stage = Stage(data.draw(problems(gaps=(0, 0, 3))))
    lying = data.draw(arrangements(stage, 30))
    first, second = pairs_of(len(lying.pose))
    expected = []
    for i, j in zip(first, second, strict=True):
        contact, dx, dy = offset(stage, lying, i, j)
        expected.append(contact.free(dx, dy))
    assert loop("all_free")(first, second, lying, stage.half_planes) == all(expected)


@given(st.data(), st.sampled_from([1.0, 8.0, 1e6]))
@settings(deadline=None, max_examples=40)
def test_the_clearest_half_plane_of_each_pair_of_parts_within_reach_is_found(loop, data, reach):
    stage = Stage(data.draw(problems(gaps=(0, 0, 3))))
    lying = data.draw(arrangements(stage, 30))
    first, second = pairs_of(len(lying.pose))
    expected = []
    for k, (i, j) in enumerate(zip(first, second, strict=True)):
        contact, dx, dy = offset(
            stage, lying, *((i, j) if lying.pose[i] <= lying.pose[j] else (j, i))
        )
        clear = contact.clearance(dx, dy)
        for g, group in enumerate(contact.groups()):
            near = np.array([dx, dy]) > contact.boxes[g, :2] - reach
            near &= np.array([dx, dy]) < contact.boxes[g, 2:] + reach
            if near.all() and clear[group].max() < reach:
                expected.append((k, clear[group].max()))
    floating = Arrangement(lying.pose, lying.x.astype(float), lying.y.astype(float))
    room = len(expected)
    rows, pairs = np.empty(room, dtype=np.int64), np.empty(room, dtype=np.int64)
    planes = stage.half_planes
    found = loop("clearest")(first, second, floating, reach, planes, rows, pairs)
    assert found == room
    assert pairs.tolist() == [k for k, _ in expected]
    for row, (k, clear) in zip(rows, expected, strict=True):
        i, j = first[k], second[k]
        if lying.pose[i] > lying.pose[j]:
            i, j = j, i
        apart = np.array([lying.x[j] - lying.x[i], lying.y[j] - lying.y[i]])
        own = (planes.normals[row] @ apart - planes.offsets[row]) / planes.lengths[row]
        assert own == pytest.approx(clear)
    if room:
        assert loop("clearest")(first, second, floating, reach, planes, rows[1:], pairs[1:]) == -1
