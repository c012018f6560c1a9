"""Bare outlines packed on a strip."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import bay_outlines, convex_outlines, star_outlines

from nesting import Limits, OrderError, PanelTooLargeError, UnprovenLayError, pack
from nesting.planning import strip

SQUARE = [(0, 0), (100, 0), (100, 100), (0, 100)]
FIRST_LAY = Limits(seconds=None, steps=0)

#: A width so slightly below a hundredth of a millimetre is meant to be exact: 1.1 × 9 × 0.6
#: is 5.94 on paper, and a little less in binary.
FLOAT_NOISE_MM = 1e-8

figures = st.one_of(convex_outlines(), star_outlines(), bay_outlines()).map(
    lambda outline: outline.points
)


def moved(points, placed):
    """Points turned about the origin and moved, as a packing says."""
    angle = math.radians(placed.turn)
    turn = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    return np.array(points, dtype=float) @ turn.T + (placed.x_mm, placed.y_mm)


def refusal(*args, **given):
    with pytest.raises(OrderError) as caught:
        pack(*args, **given)
    return {fault.place: fault.rule for fault in caught.value.faults}


def test_squares_fill_a_strip_of_two_rows():
    found = pack([SQUARE], 200, quantities=[4], limits=Limits(seconds=None, steps=5))
    assert found.used_length_mm == found.lower_bound_mm == 200.0
    assert found.density == pytest.approx(1.0)
    assert found.proved_optimal
    corners = sorted(min(one.ring_mm) for one in found.placed)
    assert corners == [(0.0, 0.0), (0.0, 100.0), (100.0, 0.0), (100.0, 100.0)]


def test_two_triangles_make_a_square_only_where_they_may_be_turned():
    triangle = [(0, 0), (100, 0), (0, 100)]
    limits = Limits(seconds=None, steps=20)
    turned = pack([triangle], 100, quantities=[2], turns=(0, 180), limits=limits)
    assert turned.used_length_mm == pytest.approx(100.0)
    assert turned.density == pytest.approx(1.0)
    straight = pack([triangle], 100, quantities=[2], limits=limits)
    assert straight.used_length_mm == pytest.approx(200.0)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(figures, min_size=1, max_size=4),
    st.lists(st.integers(1, 3), min_size=4, max_size=4),
    st.sets(st.sampled_from([0, 90, 180, 270]), min_size=1),
    st.sampled_from([0.0, 0.5, 2.345]),
    st.floats(0.5, 7),
    st.tuples(st.floats(-500, 500), st.floats(-500, 500)),
)
def test_every_copy_lies_on_the_strip_clear_of_the_others(
    figures, quantities, turns, gap, scale, away
):
    outlines = [[(x * scale + away[0], y * scale + away[1]) for x, y in ring] for ring in figures]
    quantities = quantities[: len(outlines)]
    width = 1.1 * max(max(np.ptp(ring, axis=0)) for ring in map(np.array, outlines))
    found = pack(outlines, width, quantities=quantities, turns=turns, gap=gap, limits=FIRST_LAY)
    assert [one.index for one in found.placed] == [
        index for index, count in enumerate(quantities) for _ in range(count)
    ]
    shapes = [shapely.Polygon(one.ring_mm) for one in found.placed]
    for index, shape in enumerate(shapes):
        for other in shapes[:index]:
            assert shape.intersection(other).area < 1e-6
            assert shape.distance(other) >= gap - 1e-6
    least_x, least_y, most_x, most_y = shapely.total_bounds(shapes)
    assert least_x == 0.0
    assert least_y >= 0.0
    assert most_y <= width + FLOAT_NOISE_MM
    assert most_x == found.used_length_mm
    assert 0 < found.lower_bound_mm <= found.used_length_mm
    area = sum(shape.area for shape in shapes)
    assert found.density == pytest.approx(area / (most_x * width), rel=1e-2)
    for one, shape in zip(found.placed, shapes, strict=True):
        assert one.turn in turns
        given_there = shapely.Polygon(moved(outlines[one.index], one))
        assert shape.exterior.hausdorff_distance(given_there.exterior) <= 0.015
        assert shape.exterior.is_ccw


def test_the_same_seed_gives_the_same_packing():
    star = [
        (50 + r * math.cos(a), 50 + r * math.sin(a))
        for a, r in zip(np.linspace(0, 2 * math.pi, 10, endpoint=False), [50, 20] * 5, strict=True)
    ]
    options = {"quantities": [6, 3], "turns": (0, 180), "limits": Limits(seconds=None, steps=3)}
    one, other = (pack([star, SQUARE], 250, seed=4, **options) for _ in range(2))
    assert one == other


def test_points_may_be_rows_of_an_array_and_run_clockwise():
    plain = pack([SQUARE], 100, limits=FIRST_LAY)
    assert pack(np.array([SQUARE]), 100.0, limits=FIRST_LAY) == plain
    turned_about = pack([SQUARE[::-1]], 100, limits=FIRST_LAY)
    assert set(turned_about.placed[0].ring_mm) == set(plain.placed[0].ring_mm)


def test_an_outline_that_fits_only_a_quarter_round_is_laid_so():
    found = pack([[(0, 0), (100, 0), (100, 250), (0, 250)]], 100, turns=(0, 90), limits=FIRST_LAY)
    assert found.placed[0].turn == 90
    assert found.used_length_mm == 250.0


def test_what_is_too_wide_in_every_turn_is_named():
    long = [(0, 0), (300, 0), (300, 150), (0, 150)]
    with pytest.raises(PanelTooLargeError) as caught:
        pack([SQUARE, long, long], 120, turns=(0, 90), limits=FIRST_LAY)
    assert [fault.place for fault in caught.value.faults] == ["outlines[1]", "outlines[2]"]
    assert "150.00 mm across" in caught.value.faults[0].value
    assert caught.value.faults[0].remedy == "take a strip at least 150.00 mm wide"


def test_a_quarter_turn_is_advised_only_where_it_lets_an_outline_fit():
    tall = [(0, 0), (100, 0), (100, 250), (0, 250)]
    with pytest.raises(PanelTooLargeError, match=r"allow a quarter turn, or .* 250.00 mm wide"):
        pack([tall], 100, turns=(0, 180), limits=FIRST_LAY)
    assert pack([tall], 100, turns=(90,), limits=FIRST_LAY).placed[0].turn == 90


def test_numbers_of_an_array_are_turns_and_quantities_as_well():
    counts, turns = np.array([2]), np.array([0, 90])
    found = pack([SQUARE], 100, quantities=counts, turns=turns, limits=FIRST_LAY)
    assert found == pack([SQUARE], 100, quantities=[2], turns=(0, 90), limits=FIRST_LAY)
    assert {type(one.turn) for one in found.placed} == {int}


def test_a_strip_is_never_taken_wider_than_it_is():
    assert pack([SQUARE], 100.004, limits=FIRST_LAY).used_length_mm == 100.0
    with pytest.raises(PanelTooLargeError):
        pack([SQUARE], 99.999, limits=FIRST_LAY)


def test_a_width_that_only_binary_fractions_make_too_small_is_as_wide_as_it_is_written():
    plate = [(0, 0), (3, 0), (3, 5.94), (0, 5.94)]
    width = 1.1 * (9 * 0.6)
    assert width < 5.94
    assert pack([plate], width, limits=FIRST_LAY).used_length_mm == 3.0


def test_every_wrong_outline_is_named_by_its_index():
    bow = [(0, 0), (10, 10), (10, 0), (0, 10)]
    far = [(0, 0), (1e9, 0), (0, 10)]
    found = refusal([SQUARE, bow, [(0, 0), (1, 1)], far, "outline", 7], 200)
    assert set(found) == {f"outlines[{index}]" for index in range(1, 6)}
    assert "cross or touch itself" in found["outlines[1]"]
    assert "enclose an area" in found["outlines[2]"]
    assert "within 1 km" in found["outlines[3]"]


@pytest.mark.parametrize(
    ("place", "options"),
    [
        ("width", {"width": 0}),
        ("width", {"width": -5}),
        ("width", {"width": math.nan}),
        ("width", {"width": "200"}),
        ("gap", {"gap": -0.1}),
        ("gap", {"gap": math.inf}),
        ("turns", {"turns": ()}),
        ("turns", {"turns": (0, 45)}),
        ("quantities", {"quantities": [1, 1]}),
        ("quantities", {"quantities": [0]}),
        ("quantities", {"quantities": [1.5]}),
        ("quantities", {"quantities": [5001]}),
        ("outlines", {"outlines": []}),
    ],
)
def test_every_wrong_argument_is_named(place, options):
    assert set(refusal(**{"outlines": [SQUARE], "width": 200, **options})) == {place}


def test_a_packing_that_the_checker_refuses_is_never_returned(monkeypatch):
    """Two squares on the same place."""
    from dataclasses import replace

    def careless(problem, *args, **options):
        found = solve(problem, *args, **options)
        first = found.layout.placements[0]
        return replace(found, layout=replace(found.layout, placements=(first, first)))

    solve = strip.solve
    monkeypatch.setattr(strip, "solve", careless)
    with pytest.raises(UnprovenLayError, match="overlap"):
        pack([SQUARE], 200, quantities=[2], limits=FIRST_LAY)
