"""Grown outlines: large enough everywhere, and no larger than necessary."""

import math
from itertools import pairwise

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import Polygon

from nesting.geometry.curves import circle
from nesting.geometry.offsetting import grown
from nesting.geometry.outline import Outline, rounded_outward

#: Grid units that rounding outward may add to an edge.
ROUNDING = 1.5

growths = st.integers(1, 3_000)


@st.composite
def convex_outlines(draw):
    coordinate = st.integers(-20_000, 20_000)
    points = draw(st.lists(st.tuples(coordinate, coordinate), min_size=3, max_size=12))
    hull = shapely.MultiPoint(points).convex_hull
    assume(hull.geom_type == "Polygon" and hull.area > 100)
    return Outline(tuple((round(x), round(y)) for x, y in hull.exterior.coords))


@st.composite
def starlike_outlines(draw):
    count = draw(st.integers(5, 14))
    reach = draw(st.lists(st.integers(500, 20_000), min_size=count, max_size=count))
    turns = [math.tau * i / count for i in range(count)]
    return Outline(
        tuple(
            (round(r * math.cos(t)), round(r * math.sin(t)))
            for r, t in zip(reach, turns, strict=True)
        )
    )


def corner_turns(outline):
    """How far the ring turns at each corner, in radians."""
    ring = outline.points
    headings = [math.atan2(y1 - y0, x1 - x0) for (x0, y0), (x1, y1) in pairwise((*ring, ring[0]))]
    return [math.remainder(b - a, math.tau) for a, b in pairwise((headings[-1], *headings))]


@given(st.one_of(convex_outlines(), starlike_outlines()), growths)
@settings(deadline=None, max_examples=150)
def test_it_contains_the_minkowski_sum_with_a_disc(outline, by):
    """GEOS buffers from inside: its arcs of 16 chords a quarter are never outside the disc."""
    disc_sum = Polygon(outline.points).buffer(by, quad_segs=16)
    result = Polygon(grown(outline, by).points)
    assert result.buffer(0.005).covers(disc_sum)


@given(convex_outlines(), growths)
@settings(deadline=None, max_examples=150)
def test_a_convex_outline_gains_strips_and_corners_and_no_more(outline, by):
    """The gain is perimeter × d and the corners: for a turn t the mitre d²·tan(t/2).

    Beyond 120° it is the squared corner 2d²·tan(t/4). Both contain the sector
    d²·t/2 of a disc; the sectors sum to πd².
    """
    perimeter = Polygon(outline.points).length
    turns = corner_turns(outline)
    corners = sum(math.tan(t / 2) if t <= math.radians(120) else 2 * math.tan(t / 4) for t in turns)
    gain = perimeter * by + corners * by**2
    result = grown(outline, by)
    gained = (result.area2 - outline.area2) / 2
    assert gained >= perimeter * by + math.pi * by**2 - 1
    assert gain - 1e-6 * gain - 1 <= gained <= gain + ROUNDING * Polygon(result.points).length


@given(st.integers(2_000, 40_000), growths)
@settings(deadline=None, max_examples=40)
def test_a_disc_grows_to_the_larger_disc(radius, by):
    """π(r + d)² is the area of the disc and gains perimeter·d + πd²."""
    disc = Outline(rounded_outward(circle(radius / 100).points))
    result = grown(disc, by)
    gain = Polygon(disc.points).length * by + math.pi * by**2
    gained = (result.area2 - disc.area2) / 2
    assert gain <= gained <= gain * 1.01 + ROUNDING * Polygon(result.points).length
    mitre = by / math.cos(math.pi / len(disc.points))
    assert result.length <= disc.length + 2 * mitre + 2 * ROUNDING


def test_a_rectangle_grows_exactly():
    """Straight edges along the axes need no rounding: 12 in and ½ in all round is 13 in."""
    square = Outline(((0, 0), (30480, 0), (30480, 30480), (0, 30480)))
    assert grown(square, 1270).bounds == (-1270, -1270, 31750, 31750)
    assert len(grown(square, 1270).points) == 4


def test_a_corner_of_more_than_sixty_degrees_keeps_its_mitre():
    """At the head the sides are 61.9° apart: the mitre reaches 1/sin(30.96°) = 1.94 growths."""
    outline = Outline(((0, 0), (10_000, 6_000), (0, 12_000)))
    tips = [x for x, _ in grown(outline, 500).points if x > 10_000]
    assert tips == [pytest.approx(10_000 + 500 / math.sin(math.atan(0.6)), abs=2)]


def test_a_sharper_corner_is_squared_off_one_growth_beyond_it():
    """Sides 43.6° apart would reach 2.69 times the growth."""
    outline = Outline(((0, 0), (10_000, 4_000), (0, 8_000)))
    result = grown(outline, 500)
    assert result.bounds[2] == 10_500
    assert [x for x, _ in result.points].count(10_500) == 2


def test_a_bay_that_closes_is_filled():
    """A keyhole whose neck is narrower than twice the growth."""
    keyhole = Outline(
        (
            (0, 0),
            (10_000, 0),
            (10_000, 4_900),
            (8_000, 4_900),
            (8_000, 2_000),
            (2_000, 2_000),
            (2_000, 8_000),
            (8_000, 8_000),
            (8_000, 5_100),
            (10_000, 5_100),
            (10_000, 10_000),
            (0, 10_000),
        )
    )
    assert grown(keyhole, 200).area2 == 2 * 10_400**2


def test_growing_by_nothing_changes_nothing():
    outline = Outline(((0, 0), (10_000, 4_000), (0, 8_000)))
    assert grown(outline, 0) == outline


def test_shrinking_is_refused():
    with pytest.raises(ValueError, match="0 or more: -1"):
        grown(Outline(((0, 0), (10_000, 4_000), (0, 8_000))), -1)
