import itertools

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import box, outlines

from nesting.geometry.outline import Outline
from nesting.reports.vacancy import Box, vacancies

REGION = Box(0, 0, 20, 14)


def _shift(outline, x, y):
    return Outline(tuple((px + x, py + y) for px, py in outline.points))


def _polygon(figure):
    if isinstance(figure, Box):
        return shapely.box(figure.x0, figure.y0, figure.x1, figure.y1)
    return shapely.Polygon(figure.points)


def _scattered(kinds):
    """Up to five outlines anywhere around the region; they may overlap."""
    place = st.tuples(st.integers(-4, 18), st.integers(-4, 12))
    return st.lists(st.builds(lambda o, at: _shift(o, *at), kinds, place), max_size=5)


def _largest_by_trying_all(rectangles, side):
    """Area of the largest free box on whole numbers, found by trying every box."""
    taken = shapely.union_all([_polygon(r) for r in rectangles])
    boxes = [
        Box(x0, y0, x1, y1)
        for x0, x1 in itertools.combinations(range(REGION.x1 + 1), 2)
        for y0, y1 in itertools.combinations(range(REGION.y1 + 1), 2)
        if min(x1 - x0, y1 - y0) >= side
    ]
    shapely.prepare(taken)
    drawn = shapely.box(*zip(*[(b.x0, b.y0, b.x1, b.y1) for b in boxes], strict=True))
    free = shapely.relate_pattern(drawn, taken, "F********")
    return max((b.area for b, is_free in zip(boxes, free, strict=True) if is_free), default=0)


@settings(max_examples=80, deadline=None)
@given(_scattered(outlines(reach=7)), st.integers(1, 4), st.integers(1, 6))
def test_vacancies_lie_in_the_region_clear_of_outlines_and_of_each_other(figures, side, step):
    found = list(vacancies(REGION, figures, side, step))
    for vacancy in found:
        assert vacancy.holds(side)
        assert _polygon(REGION).covers(_polygon(vacancy))
    for one, other in itertools.product(found, [*figures, *found]):
        if one is not other:
            assert _polygon(one).intersection(_polygon(other)).area < 1e-6
    areas = [vacancy.area for vacancy in found]
    assert areas == sorted(areas, reverse=True)


@settings(max_examples=12, deadline=None)
@given(
    _scattered(st.builds(box, st.integers(1, 9), st.integers(1, 9))),
    st.integers(1, 3),
    st.integers(1, 9),
)
def test_between_rectangles_no_vacancy_is_larger_than_the_first(rectangles, side, step):
    first = next(vacancies(REGION, rectangles, side, step), None)
    assert (first.area if first else 0) == _largest_by_trying_all(rectangles, side)


@settings(max_examples=12, deadline=None)
@given(
    _scattered(st.builds(box, st.integers(1, 9), st.integers(1, 9))),
    st.integers(1, 3),
    st.integers(1, 9),
)
def test_vacancies_leave_no_room_for_another(rectangles, side, step):
    found = list(vacancies(REGION, rectangles, side, step))
    filled = [box(v.x1 - v.x0, v.y1 - v.y0) for v in found]
    placed = [_shift(b, v.x0, v.y0) for b, v in zip(filled, found, strict=True)]
    assert _largest_by_trying_all([*rectangles, *placed], side) == 0


@pytest.mark.parametrize("step", [1, 3, 7])
def test_beside_a_slope_a_vacancy_is_at_most_a_slice_short_of_the_best(step):
    slope = Outline(((0, 0), (100, 0), (0, 100)))
    first = next(vacancies(Box(0, 0, 100, 100), [slope], 10, step))
    # by hand: a box from (x, 100 - x) to (100, 100) has x (100 - x), 50 x 50 at best; one that
    # begins or ends two steps off has at least (50 - 2 step) 50
    assert (50 - 2 * step) * 50 <= first.area <= 2500


def test_without_outlines_the_whole_region_is_vacant():
    assert list(vacancies(REGION, [], 1, 5)) == [REGION]


def test_an_outline_with_a_bay_leaves_the_bay_vacant():
    # by hand: a U of 20 x 14 with walls 4 thick is open for 12 x 10
    u = Outline(((0, 0), (20, 0), (20, 14), (16, 14), (16, 4), (4, 4), (4, 14), (0, 14)))
    assert list(vacancies(REGION, [u], 1, 5)) == [Box(4, 4, 16, 14)]
