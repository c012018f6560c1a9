"""Shapes of SVG files that somebody else made."""

import math

import pytest
import shapely
from fontTools.pens.areaPen import AreaPen
from fontTools.svgLib.path.parser import parse_path
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.drawings.strokes import closed_rings
from nesting.drawings.svg.shapes import read
from nesting.drawings.svg.transforms import transform
from nesting.errors import OrderError
from nesting.tolerances import CHORD_MM

MM = 'width="600mm" height="400mm" viewBox="0 0 600 400"'


def svg(inside, head=MM, before=""):
    text = f'{before}<svg xmlns="http://www.w3.org/2000/svg" {head}>\n{inside}\n</svg>'
    return text.encode()


def figures(inside, head=MM, unit=None):
    """Every closed ring of a drawing, which must have no open lines."""
    sheet = read(svg(inside, head), unit)
    rings, open_ends = closed_rings(sheet.strokes, sheet.words_at)
    assert (sheet.faults, open_ends) == ((), [])
    return [shapely.Polygon(ring.points) for ring in rings]


def faults(data, unit=None):
    with pytest.raises(OrderError) as raised:
        read(data, unit)
    return raised.value.faults


@pytest.mark.parametrize(
    ("shape", "area"),
    [
        ('<rect x="10" y="20" width="300" height="200"/>', 60_000),
        ('<rect width="300" height="200" rx="40"/>', 60_000 - (4 - math.pi) * 40**2),
        ('<rect width="300" height="200" rx="40" ry="20"/>', 60_000 - (4 - math.pi) * 800),
        ('<rect width="100" height="100" rx="900"/>', math.pi * 50**2),
        ('<circle cx="200" cy="200" r="150"/>', math.pi * 150**2),
        ('<ellipse cx="200" cy="200" rx="150" ry="60px"/>', math.pi * 150 * 60),
        ('<polygon points="0,0 300,0 0 200"/>', 30_000),
        ('<polyline points="0,0 300,0 0,200 0,0"/>', 30_000),
        ('<path d="M 0 0 h 300 v 200 H 0 z"/>', 60_000),
        ('<path d="M0,0h300a100 100 0 0 1 0 200H0z"/>', 60_000 + math.pi * 100**2 / 2),
        ('<path d="M0,0h300a100 100 0 0 0 0 200H0z"/>', 60_000 - math.pi * 100**2 / 2),
        # radii too small for their ends are scaled up to half a circle
        ('<path d="M0,0h300a5 5 0 0 1 0 200H0z"/>', 60_000 + math.pi * 100**2 / 2),
        ('<line x1="0" y1="0" x2="90" y2="0"/><path d="M90 0 V 50 L 0 0"/>', 90 * 50 / 2),
    ],
)
def test_every_shape_has_its_area(shape, area):
    (found,) = figures(shape)
    assert found.area == pytest.approx(area, abs=CHORD_MM * found.length)
    assert found.area <= area + found.length * CHORD_MM


@pytest.mark.parametrize(
    "data",
    [
        "M 50 60 C 100 0 300 0 450 150 S 100 300 50 60 Z",
        "M 50 60 Q 200 0 300 100 T 400 300 L 50 300 Z",
        "M100,100 h300 a100,60 0 0 1 0,120 h-300 a 40 60 20 1 1 0 -120 z",
        "m 100 100 300 0 0 100a30 50-30 0 1-60 40.5l-.5.5L100 200z",
        "M100 100 L 300 100 A 140 90 33 1 0 200 250 Z",
    ],
)
def test_curves_have_the_area_that_another_reader_finds(data):
    """AreaPen of fontTools integrates its own cubics, which lie within 3e-4 radii of arcs."""
    pen = AreaPen()
    parse_path(data, pen)
    (found,) = figures(f'<path d="{data}"/>')
    chords = CHORD_MM * found.length
    assert found.area == pytest.approx(abs(pen.value), abs=3e-4 * abs(pen.value) + chords)


@given(st.floats(5, 400), st.floats(5, 400), st.floats(-180, 180))
@settings(deadline=None, max_examples=40)
def test_no_chord_is_further_from_its_curve_than_the_tolerance(rx, ry, turn):
    (found,) = figures(
        f'<ellipse rx="{rx}" ry="{ry}" transform="translate(9,-4) rotate({turn}) scale(1.5 0.5)"/>'
    )
    a, b, angle = 1.5 * rx, 0.5 * ry, math.radians(-turn)
    circle = shapely.Point(0, 0).buffer(1, quad_segs=500)
    exact = shapely.affinity.scale(circle, a, b)
    exact = shapely.affinity.rotate(exact, angle, origin=(0, 0), use_radians=True)
    exact = shapely.affinity.translate(exact, 9, 4)
    assert found.hausdorff_distance(exact) <= CHORD_MM + 0.01


@pytest.mark.parametrize(
    ("head", "scale"),
    [
        ('width="60cm" height="40cm" viewBox="0 0 600 400"', 1),
        ('width="10in" height="10in" viewBox="0 0 10 10"', 25.4),
        ('width="720pt" height="720pt" viewBox="0 0 720 720"', 25.4 / 72),
        ('width="600mm" height="400mm" viewBox="-50 -20 300 200"', 2),
        # by the standard the smaller scale applies both ways
        ('width="600mm" height="900mm" viewBox="0 0 300 200"', 2),
        ('width="600mm" viewBox="0 0 300 200"', 2),
    ],
)
def test_the_unit_follows_from_width_and_view_box(head, scale):
    (found,) = figures('<rect width="4" height="3"/>', head)
    assert found.area == pytest.approx(12 * scale**2)


@pytest.mark.parametrize(
    "head", ['width="600" height="400"', "", 'viewBox="0 0 6 4"', 'width="6mm"']
)
def test_a_unit_that_the_drawing_does_not_state_is_asked_for(head):
    (fault,) = faults(svg('<rect width="4" height="3"/>', head))
    assert "must say how long one unit is" in fault.rule
    assert 'unit = "mm"' in fault.remedy
    (found,) = figures('<rect width="4" height="3"/>', head, "in")
    assert found.area == pytest.approx(12 * 25.4**2)


def test_a_unit_that_contradicts_the_drawing_is_refused():
    assert figures("<circle r='9'/>", unit="mm")
    (fault,) = faults(svg("<circle r='9'/>"), "cm")
    assert fault.rule == "one unit of the drawing is 1 mm, but the order says cm"


def test_transforms_of_groups_apply_after_those_of_their_shapes():
    """(1, 0) doubled is (2, 0), turned a quarter (0, 2), shifted (10, 2); y runs down in SVG."""
    inside = '<g transform="translate(10)"><g transform="rotate(90)">{}</g></g>'
    shape = '<polygon transform="scale(2)" points="1,0 40,0 40,30"/>'
    (found,) = figures(inside.format(shape))
    assert (10, -2) in [tuple(map(round, point)) for point in found.exterior.coords]


@given(st.floats(-3, 3), st.floats(-3, 3), st.floats(-80, 80))
@settings(deadline=None, max_examples=30)
def test_transforms_do_what_their_matrices_do(x, y, angle):
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    t = math.tan(math.radians(angle))
    expected = {
        f"rotate({angle:.9f})": (c * x - s * y, s * x + c * y),
        f"rotate({angle:.9f} 7,5)": (7 + c * (x - 7) - s * (y - 5), 5 + s * (x - 7) + c * (y - 5)),
        f"skewX({angle:.9f})": (x + t * y, y),
        f"skewY({angle:.9f})": (x, y + t * x),
        "scale(2)": (2 * x, 2 * y),
        "matrix(1,2,3,4,5,6)": (x + 3 * y + 5, 2 * x + 4 * y + 6),
        "translate(5,6),scale(-1,1)": (5 - x, 6 + y),
    }
    for text, point in expected.items():
        assert transform(text)((x, y)) == pytest.approx(point, abs=1e-6)


def test_elements_that_are_not_drawn_are_not_read():
    hidden = (
        '<defs><circle r="50"/></defs><clipPath><circle r="50"/></clipPath>'
        '<g style="display: none"><circle r="50"/></g><circle r="50" display="none"/>'
        '<symbol><circle r="9"/></symbol><other xmlns="http://example.org/"><circle r="9"/></other>'
    )
    sheet = read(svg(hidden + "<text>50 cm</text><circle r='60'/>"), None)
    assert len(sheet.strokes) == 1
    assert sheet.passed_over == (("text", 1),)


@pytest.mark.parametrize(
    ("shape", "words"),
    [
        ('<path d="M 0 0 L banana"/>', "path data that cannot be read"),
        ('<path d="L 5 5"/>', "must start with a moveto"),
        ('<path d="M 0 0 L 5"/>', "Not enough coordinates"),
        ('<path d="M 0 0 L 010 5 9 9z"/>', "path data that cannot be read"),
        ('<path d="M 0 0 a 5 5 0 7 1 9 9z"/>', "Invalid arc"),
        ('<circle r="-5"/>', "radii must be greater than 0"),
        ('<circle r="5%"/>', "not a list of numbers"),
        ('<circle r="1e999"/>', "finite"),
        ('<circle r="1e200"/>', "far too large"),
        ('<polygon points="1 2 3"/>', "must be pairs"),
        ('<polygon points="0,0 9e9,0 5,5"/>', "1 km"),
        ('<rect width="5" height="5" transform="spin(4)"/>', "not a transform"),
        ('<rect width="5" height="5" transform="rotate(4 5)"/>', "rotate does not take 2 numbers"),
        ('<use href="#r"/>', "must be a plain path or shape"),
        ('<svg><circle r="5"/></svg>', "must be a plain path or shape"),
        ('<circle r="5" style="transform: scale(2)"/>', "must be a plain path or shape"),
    ],
)
def test_shapes_that_cannot_be_read_are_reported_together_with_their_lines(shape, words):
    sheet = read(svg(f'{shape}\n<use id="twin" href="#r"/>'), None)
    first, second = sheet.faults
    assert first.place.startswith("line 2, ")
    assert second.place == 'line 3, use "twin"'
    assert words in str(first)


@pytest.mark.parametrize(
    "declared",
    [
        '<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">',
        '<!ENTITY a SYSTEM "file:///etc/hostname">',
        '<!ENTITY % a SYSTEM "http://localhost/a.dtd"> %a;',
    ],
)
def test_a_file_that_declares_entities_is_refused_before_one_is_expanded(declared):
    data = svg("<text>&a;</text>", before=f"<?xml version='1.0'?>\n<!DOCTYPE svg [{declared}]>\n")
    (fault,) = faults(data)
    assert (fault.place, fault.rule) == ("line 2", "must not declare entities")


def test_a_document_type_without_entities_is_accepted():
    before = (
        "<?xml version='1.0' encoding='utf-8' standalone='no'?>\n"
        '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://localhost/svg11.dtd">\n'
    )
    assert len(read(svg('<circle r="50"/>', before=before), None).strokes) == 1


@pytest.mark.parametrize(
    ("data", "place", "words"),
    [
        (b"<svg", "line 1", "well-formed"),
        (b"<html/>", "the outermost element", "must be svg"),
        (b"<svg/>", "the outermost element", "name space"),
        (svg("<g>"), "line 3", "mismatched tag"),
        (svg("&amp;\x00"), "line 2", "well-formed"),
        (b"<?xml version='1.0' encoding='klingon'?><svg/>", "the drawing", "unknown encoding"),
        (svg("", 'width="9mm" height="9mm" viewBox="0 0 9 5" preserveAspectRatio="none"'), "svg",
         "stretched"),
        (svg("", 'width="9mm" height="9mm" viewBox="0 0 1e-300 1e-300"'), "svg", "ordinary size"),
    ],
)  # fmt: skip
def test_data_that_are_not_a_drawing_are_refused_with_the_place(data, place, words):
    (fault,) = faults(data)
    assert fault.place == place
    assert words in str(fault)


def test_a_drawing_of_far_too_many_paths_is_refused():
    (fault,) = faults(svg('<rect width="9" height="9"/>' * 20_001))
    assert "must not have more than 20000 paths" in fault.rule


def test_groups_may_be_nested_to_any_depth():
    deep = 5_000
    assert figures("<g>" * deep + '<circle r="50"/>' + "</g>" * deep)
