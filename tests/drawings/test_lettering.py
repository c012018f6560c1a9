import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st

from nesting.drawings.lettering import ADVANCE, LEAST_HEIGHT_MM, fitted_height, placed_label

SQUARE = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))


def test_a_text_fills_its_room():
    # by hand: eight letters and one more at either end are 10 x 0.85 heights wide
    height, angle = fitted_height("eight818", (50.0, 50.0), SQUARE, 50.0)
    assert height == pytest.approx(100 / (10 * ADVANCE), abs=0.02)
    assert angle == 0.0


def test_a_text_is_never_larger_than_asked():
    assert fitted_height("a", (50.0, 50.0), SQUARE, 5.0) == (5.0, 0.0)


def test_a_text_is_upright_where_it_fits_only_that_way():
    strip = ((0.0, 0.0), (10.0, 0.0), (10.0, 100.0), (0.0, 100.0))
    height, angle = fitted_height("eight818", (5.0, 50.0), strip, 50.0)
    assert angle == 90.0
    assert height == pytest.approx(10 / 2, abs=0.02)  # two heights of room across the strip


def test_a_label_without_room_is_still_written_at_the_least_height_that_can_be_read():
    sliver = ((0.0, 0.0), (100.0, 0.0), (100.0, 0.1))
    assert fitted_height("label", (50.0, 50.0), sliver, 12.0)[0] == 0.0
    assert placed_label("label", (50.0, 0.05), sliver, 12.0).height == LEAST_HEIGHT_MM == 2.0


def test_a_text_runs_along_a_strip_that_slants():
    """A strip of 20 x 200 mm at 45 degrees: two heights of room across it."""
    height, angle = fitted_height("eight818", (0.0, 0.0), turned_strip(45), 50.0)
    assert angle == pytest.approx(45)
    assert height == pytest.approx(20 / 2, abs=0.05)


def turned_strip(degrees, length=200.0, width=20.0):
    strip = shapely.box(-length / 2, -width / 2, length / 2, width / 2)
    return list(shapely.affinity.rotate(strip, degrees, origin=(0, 0)).exterior.coords)[:-1]


def box_of(found, content):
    """The box around a label with the space it needs: one letter at either end, half a height."""
    wide, tall = ADVANCE * (len(content) + 2) * found.height, 2 * found.height
    box = shapely.box(-wide / 2, -tall / 2, wide / 2, tall / 2)
    turned = shapely.affinity.rotate(box, found.angle, origin=(0, 0))
    return shapely.affinity.translate(turned, *found.at)


@given(
    degrees=st.integers(-89, 90), width=st.integers(10, 80), letters=st.integers(3, 30),
    level=st.floats(-0.5, 0.5),
)  # fmt: skip
@example(degrees=0, width=20, letters=15, level=0.0)
@example(degrees=30, width=20, letters=30, level=0.0)
@settings(deadline=None, max_examples=80)
def test_a_label_lies_inside_its_panel_and_clear_of_its_lines(degrees, width, letters, level):
    """The lines: an arrow along the strip and one across it, each anywhere."""
    ring, content = turned_strip(degrees, 400.0, float(width)), "x" * letters
    lines = [((-120.0, level * width), (120.0, level * width)), ((60.0, -200.0), (60.0, 200.0))]
    lines = [shapely.affinity.rotate(shapely.LineString(line), degrees, origin=(0, 0)).coords[:]
             for line in lines]  # fmt: skip
    found = placed_label(content, (0.0, 0.0), ring, 12.0, lines)
    if found.height > LEAST_HEIGHT_MM:
        box = box_of(found, content)
        assert shapely.Polygon(ring).buffer(1e-6).contains(box)
        assert not any(box.buffer(-1e-6).intersects(shapely.LineString(line)) for line in lines)
    elif width >= 20:
        pytest.fail("a strip of 2 cm has room for letters of 2 mm beside an arrow")


def test_a_label_moves_away_from_a_line_through_its_usual_place():
    found = placed_label("eight818", (50.0, 50.0), SQUARE, 8.0, [((0.0, 50.0), (100.0, 50.0))])
    assert found.height == 8.0
    assert abs(found.at[1] - 50.0) > 8.0
