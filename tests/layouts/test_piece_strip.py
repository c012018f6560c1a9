"""Pieces of cloth laid end to end as one strip, and back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon, box, union_all

from nesting.cloth.cloth import Cloth
from nesting.cloth.stock import ClothPiece, Flaw
from nesting.geometry.outline import Outline
from nesting.layouts.measures import area2_for_panels
from nesting.layouts.piece_strip import strip_of
from nesting.units import CM, MM

CLOTH = Cloth("serge", 140 * CM, selvedge=1 * CM, gap=3 * MM, end_allowance=2 * CM)


def piece(name="R1", length=90 * CM, width=140 * CM, **more):
    return ClothPiece(name, width, length, selvedge=1 * CM, **more)


def ring(*points):
    return Outline(tuple((x * CM, y * CM) for x, y in points))


def polygons(strip):
    return [Polygon(outline.points) for outline in strip.bodies]


def test_a_roll_alone_is_an_endless_strip_without_bodies():
    strip = strip_of(CLOTH, [CLOTH.roll])
    assert (strip.width, strip.length, strip.bodies) == (138 * CM, None, ())
    (stretch,) = strip.stretches
    assert (stretch.start, stretch.first, stretch.last) == (-2 * CM, 0, None)


def test_a_wall_between_two_pieces_covers_their_end_allowances():
    strip = strip_of(CLOTH, [piece(), CLOTH.roll])
    # 90 cm less two end allowances of 2 cm; then 3 mm of wall and both allowances.
    first, roll = strip.stretches
    assert (first.first, first.last) == (0, 86 * CM)
    assert (roll.start, roll.first) == (88 * CM + 3 * MM, 90 * CM + 3 * MM)
    assert [p.bounds for p in polygons(strip)] == [(86 * CM, 0, 90 * CM + 3 * MM, 138 * CM)]
    assert strip.length is None


def test_pieces_that_touch_keep_a_wall_where_cloth_has_no_gap_and_no_ends():
    bare = Cloth("serge", 140 * CM)
    strip = strip_of(bare, [ClothPiece("a", 140 * CM, 50 * CM), ClothPiece("b", 140 * CM, 60 * CM)])
    assert [p.bounds for p in polygons(strip)] == [(50 * CM, 0, 50 * CM + MM, 140 * CM)]
    assert strip.length == 110 * CM + MM


def test_cloth_that_a_narrower_piece_does_not_have_is_covered():
    strip = strip_of(CLOTH, [piece(width=100 * CM), CLOTH.roll])
    missing = union_all(polygons(strip)).intersection(box(0, 0, 85 * CM, 138 * CM))
    assert missing.bounds == (0, 98 * CM, 85 * CM, 138 * CM)
    assert missing.area == 85 * CM * 40 * CM


def test_where_a_roll_is_narrower_than_a_piece_it_ends_at_its_own_selvedge():
    strip = strip_of(CLOTH, [piece(width=160 * CM), CLOTH.roll], reach=400 * CM)
    begin = strip.stretches[1].first
    missing = union_all(polygons(strip)).intersection(box(begin + 1, 0, begin + 400 * CM, 158 * CM))
    assert missing.bounds == (begin + 1, 138 * CM, begin + 400 * CM, 158 * CM)
    assert missing.area == (400 * CM - 1) * 20 * CM


def test_between_two_measured_widths_the_narrower_counts():
    widths = ((10 * CM, 140 * CM), (40 * CM, 130 * CM), (60 * CM, 136 * CM))
    strip = strip_of(CLOTH, [piece(widths=widths)])
    covered = union_all(polygons(strip))
    # 2 cm of end allowance are before the strip; selvedges of 1 cm on both sides.
    assert covered.contains(Polygon(box(8.1 * CM, 128.1 * CM, 57.9 * CM, 137.9 * CM)))
    assert not covered.intersects(box(0, 0, 7.9 * CM, 138 * CM))
    assert not covered.intersects(box(58.1 * CM, 0, 86 * CM, 133.9 * CM))
    assert covered.contains(box(58.1 * CM, 134.1 * CM, 85.9 * CM, 137.9 * CM))


def test_nothing_lies_across_a_splice_but_panels_come_within_a_hundredth_of_it():
    strip = strip_of(CLOTH, [piece(splices=(60 * CM,))])
    assert [p.bounds for p in polygons(strip)] == [(58 * CM - 1, 0, 58 * CM + 1, 138 * CM)]


def test_flaws_lie_where_the_piece_has_them_and_minor_ones_apart():
    flaws = (
        Flaw(ring((10, 20), (16, 20), (16, 24), (10, 24))),
        Flaw(ring((30, 1), (31, 1), (31, 9)), minor=True),
    )
    strip = strip_of(CLOTH, [piece(flaws=flaws)])
    assert [p.bounds for p in polygons(strip)] == [(8 * CM, 19 * CM, 14 * CM, 23 * CM)]
    assert [o.bounds for o in strip.minor] == [(28 * CM, 0, 29 * CM, 8 * CM)]


CORNERS = st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), min_size=3, max_size=8)


@given(CORNERS)
def test_what_is_free_of_an_outline_is_the_outline_itself(points):
    hull = Polygon(points).convex_hull if len(set(points)) > 2 else None
    if hull is None or hull.geom_type != "Polygon" or not hull.area:
        return
    x0, y0, x1, y1 = hull.bounds
    edge = Outline(
        tuple((int(x - x0) * CM, int(y - y0) * CM) for x, y in hull.exterior.coords[:-1])
    )
    hide = ClothPiece("hide", int(y1 - y0) * CM, int(x1 - x0) * CM, outline=edge)
    strip = strip_of(Cloth("leather", 140 * CM), [hide])
    whole = box(0, 0, hide.length, hide.width)
    free = whole.difference(union_all(polygons(strip)))
    assert free.area == pytest.approx(Polygon(edge.points).area, rel=1e-9)
    assert free.area == pytest.approx(
        area2_for_panels(Cloth("leather", hide.width), hide, hide.length) / 2
    )
