"""Line drawings in braille dots."""

from hypothesis import given, settings
from hypothesis import strategies as st

from cli.sketch import sketch


def dots(lines):
    """The set dots, x to the right and y up; bits as in Unicode's block 2800."""
    bits = ((0, 3), (1, 4), (2, 5), (6, 7))
    found = set()
    for row, line in enumerate(reversed(lines)):
        for column, char in enumerate(line):
            for up, pair in enumerate(reversed(bits)):
                for side, bit in enumerate(pair):
                    if (ord(char) - 0x2800) >> bit & 1:
                        found.add((2 * column + side, 4 * row + up))
    return found


def test_a_rectangle_is_drawn_dot_by_dot():
    drawn = dots(sketch([[(0, 0), (5, 0), (5, 3), (0, 3)]], 1.0))
    edge = {(x, y) for x in range(6) for y in range(4) if x in (0, 5) or y in (0, 3)}
    assert drawn == edge


def test_one_character_shows_eight_dots():
    assert sketch([[(0, 0), (1, 0), (1, 3), (0, 3)]], 1.0) == ["⣿"]


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 400), st.integers(1, 200), st.floats(0.05, 0.5))
def test_a_drawing_is_as_large_as_its_scale_says(length, height, scale):
    drawn = dots(sketch([[(0, 0), (length, 0), (length, height), (0, height)]], scale))
    assert max(x for x, _ in drawn) == round(length * scale)
    assert max(y for _, y in drawn) == round(height * scale)
