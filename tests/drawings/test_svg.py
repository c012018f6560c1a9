from xml.etree import ElementTree as ET

import oracles
import pytest

from nesting.drawings.drawing import Drawing, Path, Pen, Text
from nesting.drawings.svg import writer as svg

RING = Path(Pen.CUT, ((0.0, 20.0), (1600.33, 21.5), (800.17, 1380.99)), closed=True)
ARROW = Path(Pen.GRAIN, ((100.0, 200.0), (300.0, 200.0)))
NOTE = Text(Pen.LABEL, (700.0, 500.0), 12.0, 'a < b & "c" / gore / 1.3', 90.0)
SHEET = Drawing("teal <twill>", 1700.0, 1400.0, (ARROW, RING), (NOTE,))


def test_a_second_reader_finds_the_same_lines_in_millimetres():
    shapes = oracles.svg_shapes(svg.write(SHEET))
    assert [(pen, closed) for pen, closed, _ in shapes] == [("grain", False), ("cut", True)]
    assert shapes[0][2] == [pytest.approx(p, abs=1e-4) for p in ARROW.points]
    assert shapes[1][2] == [pytest.approx(p, abs=1e-4) for p in RING.points]


def test_the_sheet_has_its_real_size_in_millimetres():
    root = ET.fromstring(svg.write(SHEET))
    assert root.get("width") == "1700mm"
    assert root.get("height") == "1400mm"
    assert root.get("viewBox") == "0 0 1700 1400"


def test_texts_and_title_are_escaped_and_texts_are_at_their_points():
    root = ET.fromstring(svg.write(SHEET))
    assert root.find(f"{oracles.SVG}title").text == "teal <twill>"
    (text,) = root.iter(f"{oracles.SVG}text")
    assert text.text == NOTE.content
    # y = 1400 - 500; a turn that is anticlockwise with y up is negative with y down
    assert text.get("transform") == "translate(700 900) rotate(-90)"


def test_characters_that_xml_forbids_become_blanks():
    sheet = Drawing("t\x00", 10.0, 10.0, (), (Text(Pen.LABEL, (1.0, 1.0), 2.0, "a\x0b\ufffeb"),))
    root = ET.fromstring(svg.write(sheet))
    assert [text.text for text in root.iter(f"{oracles.SVG}text")] == ["a  b"]


def test_the_same_drawing_gives_the_same_bytes():
    assert svg.write(SHEET) == svg.write(SHEET)


def test_every_pen_has_a_group_and_a_look():
    data = svg.write(SHEET)
    root = ET.fromstring(data)
    groups = [group.get("class") for group in root.iter(f"{oracles.SVG}g")]
    assert sorted(groups) == sorted(Pen)
    assert groups[-1] == Pen.CUT  # after everything that is marked in a panel
    style = root.find(f"{oracles.SVG}style").text
    assert all(f".{pen} {{" in style for pen in Pen if pen is not Pen.LABEL)


def test_a_machine_that_passes_over_style_sheets_draws_the_same_lines():
    root = ET.fromstring(svg.write(SHEET))
    for group in root.iter(f"{oracles.SVG}g"):
        assert group.get("fill") == "none"
        if group.get("class") != Pen.LABEL:
            assert group.get("stroke").startswith("#")
            assert float(group.get("stroke-width")) > 0
    for text in root.iter(f"{oracles.SVG}text"):
        assert text.get("text-anchor") == "middle"
        assert text.get("fill") == "#222"
