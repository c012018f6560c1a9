"""SVG lay drawings read back."""

import math
from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.drawings.drawing import Drawing, Path, Pen, Text
from nesting.drawings.svg import reader as svg_reader
from nesting.drawings.svg import writer as svg
from nesting.errors import OrderError

RING = Path(Pen.CUT, ((0.0, 20.0), (1600.33, 21.5), (800.17, 1380.99)), closed=True)
ARROW = Path(Pen.GRAIN, ((100.0, 200.0), (300.0, 200.0)))
NOTE = Text(Pen.LABEL, (700.0, 500.0), 12.0, 'a < b & "c" / gore / 1.3', 90.0)
SHEET = Drawing("teal <twill>", 1700.0, 1400.0, (ARROW, RING), (NOTE,))  # cut lines come last
HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="{}" height="{}" viewBox="{}">{}</svg>'


def test_a_drawing_read_back_is_the_same_drawing():
    read = svg_reader.read(svg.write(SHEET))
    assert (read.title, read.width, read.height) == (SHEET.title, 1700.0, 1400.0)
    for found, meant in zip(read.paths, SHEET.paths, strict=True):
        assert (found.pen, found.closed) == (meant.pen, meant.closed)
        assert list(found.points) == [pytest.approx(p, abs=1e-4) for p in meant.points]
    (text,) = read.texts
    assert (text.pen, text.at, text.content, text.angle) == (Pen.LABEL, *_of(NOTE))
    assert text.height == pytest.approx(12.0, abs=1e-3)


def _of(text):
    return pytest.approx(text.at, abs=1e-4), text.content, text.angle


def test_other_units_and_view_boxes_are_read_in_millimetres():
    line = '<g class="cut"><line x1="0" y1="0" x2="100" y2="200"/></g>'
    (path,) = svg_reader.read(HEAD.format("10in", "20in", "0,0,100,200", line).encode()).paths
    assert path.points == ((0.0, pytest.approx(508.0)), (pytest.approx(254.0), 0.0))


def test_groups_of_other_names_are_passed_over():
    page = HEAD.format("10mm", "10mm", "0 0 10 10", '<g class="frame"><circle r="3"/></g>')
    assert svg_reader.read(page.encode()).paths == ()


@pytest.mark.parametrize(
    "page",
    [
        "",
        "<html/>",
        HEAD.format("100", "100", "0 0 10 10", ""),
        HEAD.format("10mm", "20mm", "0 0 10 10", ""),
        HEAD.format("10mm", "10mm", "5 0 10 10", ""),
        HEAD.format("10mm", "10mm", "0 0 10 10", '<g class="cut"><circle r="3"/></g>'),
        HEAD.format("10mm", "10mm", "0 0 10 10", '<g class="cut"><polygon points="1,2 3"/></g>'),
        HEAD.format("10mm", "10mm", "0 0 10 10", '<g class="label"><text>a</text></g>'),
    ],
)
def test_a_page_that_is_not_a_lay_drawing_is_refused(page):
    with pytest.raises(OrderError, match="SVG lay drawing"):
        svg_reader.read(page.encode())


@settings(max_examples=80, deadline=None)
@given(st.integers(0, 10**6), st.integers(0, 255), st.booleans())
def test_a_damaged_file_is_either_read_or_refused(place, byte, cut_off):
    data = bytearray(svg.write(SHEET))
    place %= len(data)
    data[place] = byte
    with suppress(OrderError):
        read = svg_reader.read(bytes(data[:place] if cut_off else data))
        assert all(math.isfinite(x + y) for path in read.paths for x, y in path.points)
