"""Numbers and labels on marking pages and wall plans."""

import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import outlines
from worked_lays import TWILL, rectangle

from nesting.drawings.lettering import LEAST_HEIGHT_MM
from nesting.drawings.print.page import Stroke, Words
from nesting.exporters.marking.cloth_picture import ClothPicture, Fit
from nesting.exporters.marking.labels import letters, text_box
from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.units import CM


@given(
    outline=outlines(), size=st.floats(0.5, 8.0), label=st.integers(3, 30),
    ends=st.tuples(*[st.integers(0, 1000).map(lambda n: n / 1000)] * 4),
)  # fmt: skip
@settings(deadline=None, max_examples=60)
def test_every_text_on_a_random_panel_is_inside_it_clear_of_its_arrow_and_at_least_2_mm_high(
    outline, size, label, ends
):
    figure = shapely.Polygon([(x * size, y * size) for x, y in outline.points])
    x0, y0, x1, y1 = figure.bounds
    u, v, w, z = ends
    arrow = ((x0 + u * (x1 - x0), y0 + v * (y1 - y0)), (x0 + w * (x1 - x0), y0 + z * (y1 - y0)))
    found = letters("17", "x" * label, figure, [arrow])
    for content, lettering in found.texts:
        box = text_box(content, lettering)
        assert lettering.height >= LEAST_HEIGHT_MM
        assert figure.buffer(1e-6).contains(box)
        assert not box.buffer(-1e-6).intersects(shapely.LineString(arrow))
    assert figure.buffer(1e-6).contains(shapely.Point(found.end))


def test_a_panel_too_small_for_its_number_has_it_beside_with_a_leader_line_that_ends_inside():
    """A tab of 3 cm at 1 : 10 is 3 mm: 2 mm and their blank have no room there."""
    tab = rectangle(3 * CM, 3 * CM, name="tab", item="mat")
    placed = PlacedPanel(tab, 1, 1, 0, 40 * CM, 40 * CM)
    lay = ClothLay(TWILL, (tab,), (placed,), 60 * CM, proved_optimal=False)
    marks = [*ClothPicture(lay, "cm").marks((0.0, 200.0), Fit(10.0, 1))]
    low = 200.0 - TWILL.width / CM  # at 1 : 10 a centimetre is a millimetre
    figure = shapely.box(40.0, low + 40.0, 43.0, low + 43.0)
    (number,) = (m for m in marks if isinstance(m, Words) and m.content == "1")
    assert number.height >= 2.0
    box = shapely.box(*(c for c in (number.at[0] - 1, number.at[1] - 1)),
                      number.at[0] + 1, number.at[1] + 1)  # fmt: skip
    assert not box.intersects(figure)
    (leader,) = (
        m for m in marks
        if isinstance(m, Stroke) and len(m.points) == 2
        and figure.contains(shapely.Point(m.points[1]))
    )  # fmt: skip
    assert box.distance(shapely.Point(leader.points[0])) < 1.5


def test_no_text_on_a_crowded_lay_is_lower_than_2_mm_or_touches_another():
    small = rectangle(3 * CM, 3 * CM, name="tab", item="mat", per_item=60)
    placed = tuple(
        PlacedPanel(
            small, 1, 1 + i, 0, (2 + 9 * (i % 10)) * CM, TWILL.selvedge + 9 * CM * (i // 10)
        )
        for i in range(60)
    )
    lay = ClothLay(TWILL, (small,), placed, 90 * CM, proved_optimal=False)
    marks = [*ClothPicture(lay, "cm").marks((0.0, 200.0), Fit(10.0, 1))]
    numbers = [m for m in marks if isinstance(m, Words) and m.content.isdigit()]
    assert sorted(int(m.content) for m in numbers) == list(range(1, 61))
    assert all(m.height >= 2.0 for m in numbers)
    halves = [0.4 * m.height * len(m.content) for m in numbers]
    boxes = [
        shapely.box(m.at[0] - half, m.at[1] - m.height / 2, m.at[0] + half, m.at[1] + m.height / 2)
        for m, half in zip(numbers, halves, strict=True)
    ]
    assert not any(a.intersects(b) for i, a in enumerate(boxes) for b in boxes[:i])
