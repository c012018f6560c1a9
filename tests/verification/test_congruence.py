import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.verification.congruence import mismatch

DISC = np.array(
    [(100 * math.cos(t), 100 * math.sin(t)) for t in np.linspace(0, math.tau, 101)[:-1]]
)
PLATE = np.array([(0, 0), (400, 0), (400, 300), (0, 300)], dtype=float)
SHIFT = np.array((50, 70))


@given(st.integers(0, 99), st.booleans(), st.floats(-1e4, 1e4), st.floats(-1e4, 1e4))
@settings(deadline=None, max_examples=50)
def test_rings_are_equal_wherever_they_lie_and_start_and_whichever_way_they_run(
    start, backwards, dx, dy
):
    other = np.roll(DISC, start, axis=0)[:: -1 if backwards else 1]
    assert mismatch(other + np.array((dx, dy)), DISC)[0] < 1e-6


@given(st.integers(0, 99), st.floats(0, math.tau), st.floats(0.03, 5))
@settings(deadline=None, max_examples=100)
def test_a_moved_vertex_is_found_with_its_distance_and_place(vertex, way, far):
    moved = DISC.copy()
    moved[vertex] += far * math.cos(way), far * math.sin(way)
    off, place = mismatch(moved + SHIFT, DISC)
    assert off == pytest.approx(far)
    assert place == pytest.approx(moved[vertex] + SHIFT)


def test_a_redundant_vertex_does_not_change_the_shape():
    finer = np.insert(PLATE, 1, (200, 0), axis=0)
    assert mismatch(finer + SHIFT, PLATE)[0] == pytest.approx(0, abs=1e-9)
    assert mismatch(PLATE, finer + SHIFT)[0] == pytest.approx(0, abs=1e-9)


def test_a_lost_vertex_is_measured_between_the_curves():
    # Without one corner the plate is a triangle; the corner is 400 * 300 / 500 off its long side.
    off, _ = mismatch(np.delete(PLATE, 2, axis=0), PLATE)
    assert off == pytest.approx(240)


def test_long_rings_with_different_starts_are_compared_as_curves():
    turns = np.linspace(0, math.tau, 3001)[:-1]
    ring = np.column_stack((500 * np.cos(turns), 300 * np.sin(turns)))
    other = np.roll(ring, 7, axis=0)
    assert mismatch(other, ring)[0] < 1e-9
    other[10] *= 1.001  # half a millimetre outward, and hardly less at the flat sides
    assert 0.25 < mismatch(other, ring)[0] < 0.55
