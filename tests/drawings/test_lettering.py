import pytest

from nesting.drawings.lettering import ADVANCE, LEAST_HEIGHT_MM, fitted_height

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


def test_a_text_without_room_is_still_written():
    sliver = ((0.0, 0.0), (100.0, 0.0), (100.0, 0.1))
    assert fitted_height("label", (50.0, 50.0), sliver, 12.0)[0] == LEAST_HEIGHT_MM
