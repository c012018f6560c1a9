import io

import pypdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pixels import PER_MM, lines_across, lines_up, rendered
from worked_lays import gore, rectangle

from nesting.errors import OrderError
from nesting.exporters.templates.on_roll import placed_on_roll, roll_templates
from nesting.exporters.templates.template import whole
from nesting.units import CM, MM, M

PLATE = rectangle(42 * CM, 32 * CM, name="plate", item="cushion")
SIDE = rectangle(40 * CM, 12 * CM, name="side", item="cushion")
LEAF = gore(62 * CM, 16 * CM, name="gore", item="pouf", per_item=8)


def _pages(data):
    return pypdf.PdfReader(io.BytesIO(data)).pages


def test_a_page_is_as_wide_as_the_paper_and_no_longer_than_needed():
    (page,) = _pages(roll_templates([PLATE, SIDE], "Order", "cm", 914))
    wide, tall = (float(value) / 72 * 25.4 for value in page.mediabox[2:])
    assert tall == pytest.approx(914, abs=0.001)
    # by hand: margin 10, squares and words 121.6, the plate 420, margin 10
    assert wide == pytest.approx(561.6, abs=0.001)


def test_squares_and_panels_measure_what_they_should_to_a_pixel():
    grey = rendered(roll_templates([PLATE], "Order", "cm", 500))
    left, right = lines_up(grey, 319)
    low = lines_across(grey, 419)
    assert right - left == pytest.approx(420 * PER_MM, abs=1)
    assert low[1] - low[0] == pytest.approx(320 * PER_MM, abs=1)
    squares = lines_across(grey[:, : 120 * PER_MM], 99)
    assert squares[1] - squares[0] == pytest.approx(101.6 * PER_MM, abs=1)
    assert squares[3] - squares[2] == pytest.approx(100 * PER_MM, abs=1)


@settings(max_examples=30, deadline=None)
@given(
    sizes=st.lists(
        st.tuples(st.integers(3 * CM, 300 * CM), st.integers(3 * CM, 80 * CM)),
        min_size=1, max_size=12,
    )
)  # fmt: skip
def test_templates_lie_apart_within_the_paper_and_the_length_of_a_page(sizes):
    panels = [rectangle(a, b, name=f"p{i}", item="i") for i, (a, b) in enumerate(sizes)]
    sheets, too_large = placed_on_roll([whole(p, "cm") for p in panels], 914, margin=10)
    assert too_large == []
    assert sum(map(len, sheets)) == len(panels)
    for spots in sheets:
        for i, one in enumerate(spots):
            assert one.x >= 0
            assert 0 <= one.y <= one.top <= 894
            assert one.end <= 5080 - 20 - 121.6
            for other in spots[:i]:
                apart = max(one.x - other.end, other.x - one.end, one.y - other.top,
                            other.y - one.top)  # fmt: skip
                assert apart >= 10 - 1e-9


def test_what_a_page_cannot_hold_goes_to_the_next():
    # six of 2 m by 0.8 m, one above the other never: two to a page of 5.08 m
    panels = [rectangle(2 * M, 80 * CM, name=f"p{i}", item="i") for i in range(6)]
    pages = _pages(roll_templates(panels, "Order", "cm", 914))
    assert len(pages) == 3
    assert "page 2 of 3" in pages[1].extract_text()
    assert all(float(page.mediabox[2]) <= 14400 for page in pages)


def test_a_panel_too_wide_for_the_paper_is_turned_a_quarter():
    band = rectangle(7 * CM, 150 * CM, name="band", item="cushion")
    (page,) = _pages(roll_templates([band], "Order", "cm", 500))
    assert float(page.mediabox[2]) / 72 * 25.4 == pytest.approx(10 + 121.6 + 1500 + 10, abs=0.001)


def test_what_no_page_holds_whole_is_divided_and_the_rest_is_printed_as_usual():
    """By hand: 1200 mm and 2 mm clear on either side on 914 - 2·10 - 13 = 881 take two strips."""
    long = rectangle(6 * M, 30 * CM, name="runner", item="bench")
    wide = rectangle(2 * M, 120 * CM, name="cover", item="bed")
    data = roll_templates([long, PLATE, wide], "Order", "cm", 914)
    texts = [page.extract_text() for page in _pages(data)]
    assert "cushion / plate" in texts[0]
    assert ["bench / runner, sheet A1" in texts[1], "bench / runner, sheet A2" in texts[2]]
    assert "A1 · A2" in texts[1]
    assert "A1 · A2" in texts[2]
    assert "bed / cover, sheet A1" in texts[3]
    assert "bed / cover, sheet B1" in texts[4]
    assert [f"page {n} of 5" in text for n, text in enumerate(texts, start=1)] == [True] * 5


def test_a_divided_template_is_at_full_size_and_its_strips_cover_it():
    wide = rectangle(2 * M, 120 * CM, name="cover", item="bed")
    upper, lower = (
        rendered(roll_templates([wide], "Order", "cm", 914), page) for page in (0, 1)
    )  # fmt: skip
    for grey in (upper, lower):
        left, right = lines_up(grey, 550)
        assert right - left == pytest.approx(2000 * PER_MM, abs=1)
    # Both show the same strip of 10 mm, so the edges are 1200 mm apart over 881 - 10 mm.
    top = PER_MM * 914 - 1 - lines_across(upper, 1999)[0]
    low = PER_MM * 914 - 1 - lines_across(lower, 1999)[-1]
    assert top - low + 871 * PER_MM == pytest.approx(1200 * PER_MM, abs=2)


def test_halves_are_folded_along_the_grain_where_they_can_be():
    text = _pages(roll_templates([LEAF], "Order", "cm", 500, in_halves=True))[0].extract_text()
    assert "on the fold" in text
    whole = _pages(roll_templates([LEAF], "Order", "cm", 500))[0].extract_text()
    assert "on the fold" not in whole


def test_a_grid_unit_too_long_is_divided():
    room = round((5080 - 20 - 121.6) * MM)
    for length, pages in ((room, 1), (room + 15_000, 2)):
        data = roll_templates([rectangle(length, 30 * CM, name="r", item="i")], "Order", "mm", 914)
        assert len(_pages(data)) == pages


@pytest.mark.parametrize("width", [200, 6000])
def test_paper_too_narrow_for_its_squares_or_wider_than_a_page_may_be_is_refused(width):
    rule = rf"must be from 270 mm \(10 11/16 in\) to 5080 mm \(200 in\) wide: {width} mm"
    with pytest.raises(OrderError, match=rule):
        roll_templates([PLATE], "Order", "cm", width)
