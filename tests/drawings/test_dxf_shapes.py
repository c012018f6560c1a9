"""Lines of DXF files that somebody else made, written by ezdxf."""

import io
import math

import ezdxf
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.drawings.dxf.shapes import open_document, read
from nesting.drawings.strokes import closed_rings
from nesting.errors import OrderError
from nesting.tolerances import CHORD_MM

MM, INCH = 4, 1


def new(unit=MM, release="R2010"):
    document = ezdxf.new(release)
    document.header["$INSUNITS"] = unit
    return document, document.modelspace()


def data_of(document):
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode()


def sheet(document, unit=None):
    return read(open_document(data_of(document)), unit)


def figures(document, unit=None):
    found = sheet(document, unit)
    rings, open_ends = closed_rings(found.strokes, found.words_at)
    assert (found.faults, open_ends) == ((), [])
    return [shapely.Polygon(ring.points) for ring in rings]


def faults(data, unit=None):
    with pytest.raises(OrderError) as raised:
        read(open_document(data), unit)
    return raised.value.faults


def close(figure, area):
    """Whether an area is right, given how far chords may lie inside or outside a curve."""
    return figure.area == pytest.approx(area, abs=CHORD_MM * figure.length)


DRAWN = {
    "polyline": (
        lambda m: m.add_lwpolyline([(0, 0), (300, 0), (300, 200)], close=True), 30_000,
    ),
    "old polyline": (
        lambda m: m.add_polyline2d([(0, 0), (300, 0), (300, 200)], close=True), 30_000,
    ),
    "level polyline in space": (
        lambda m: m.add_polyline3d([(0, 0, 7), (300, 0, 7), (300, 200, 7)], close=True), 30_000,
    ),
    "bulges": (  # a half round outward, 2 a half round inward
        lambda m: m.add_lwpolyline(
            [(0, 0, 0), (300, 0, 1), (300, 200, 0), (0, 200, -1)], format="xyb", close=True
        ),
        60_000,
    ),
    "bulges, last point on the first": (
        lambda m: m.add_lwpolyline(
            [(0, 0, 0), (300, 0, 1), (300, 200, 0), (0, 200, 0), (0, 0, 9)], format="xyb"
        ),
        60_000 + math.pi * 100**2 / 2,
    ),
    "seen from behind": (
        lambda m: m.add_lwpolyline(
            [(0, 0, 0), (300, 0, 1), (300, 200, 0), (0, 200, 0)], format="xyb", close=True,
            dxfattribs={"extrusion": (0, 0, -1)},
        ),
        60_000 + math.pi * 100**2 / 2,
    ),
    "circle": (lambda m: m.add_circle((50, 60), 100), math.pi * 100**2),
    "ellipse": (lambda m: m.add_ellipse((0, 0), (200, 100), 0.4), math.pi * 50_000 * 0.4),
    # with u = t(1 - t): y = 600u, dx/dt = 300(1 + 2u); 180 000 (1/6 + 2/30) = 42 000
    "spline": (
        lambda m: (
            m.add_open_spline([(0, 0), (100, 200), (300, 200), (400, 0)]),
            m.add_line((0, 0), (400, 0)),
        ),
        42_000,
    ),
    "lines and arcs": (
        lambda m: (
            m.add_line((300, 200), (0, 200)), m.add_arc((300, 100), 100, -90, 90),
            m.add_line((0, 0), (300, 0)), m.add_arc((0, 100), 100, 90, 270),
        ),
        60_000 + math.pi * 100**2,
    ),
    "half an ellipse": (
        lambda m: (
            m.add_ellipse((0, 0), (200, 0), 0.5, 0, math.pi), m.add_line((-200, 0), (200, 0)),
        ),
        math.pi * 200 * 100 / 2,
    ),
}  # fmt: skip


@pytest.mark.parametrize("release", ["R2000", "R2018"])
@pytest.mark.parametrize("kind", sorted(DRAWN))
def test_every_kind_of_line_has_its_area(kind, release):
    document, model = new(release=release)
    draw, area = DRAWN[kind]
    draw(model)
    (found,) = figures(document)
    assert close(found, area)


def test_a_file_of_release_12_has_no_unit_and_its_bulges_are_read():
    document, model = new(release="R12")
    bends = [(0, 0, 0), (30, 0, 1), (30, 20, 0), (0, 20, 0)]
    model.add_polyline2d(bends, format="xyb", close=True)
    assert "neither does" in faults(data_of(document))[0].value
    assert close(figures(document, "cm")[0], 60_000 + math.pi * 100**2 / 2)


@given(st.floats(20, 900), st.floats(0, 359), st.floats(30, 330))
@settings(deadline=None, max_examples=25)
def test_no_chord_of_an_arc_is_further_off_than_the_tolerance(radius, start, sweep):
    document, model = new()
    model.add_arc((0, 0), radius, start, start + sweep)
    (stroke,) = sheet(document).strokes
    assert all(math.hypot(*p) == pytest.approx(radius) for p in stroke.points)
    middles = [
        math.dist((0, 0), ((a + c) / 2, (b + d) / 2))
        for (a, b), (c, d) in zip(stroke.points, stroke.points[1:], strict=False)
    ]
    assert min(middles) >= radius - CHORD_MM - 1e-6


@pytest.mark.parametrize(
    ("code", "scale"), [(1, 25.4), (2, 304.8), (4, 1), (5, 10), (6, 1000), (10, 914.4), (14, 100)]
)
def test_the_unit_of_the_header_is_used(code, scale):
    document, model = new(code)
    model.add_lwpolyline([(0, 0), (3, 0), (3, 2)], close=True)
    (found,) = figures(document)
    assert found.area == pytest.approx(3 * scale**2)


def test_without_a_unit_in_the_header_the_order_must_name_one():
    document, model = new(0)
    model.add_circle((0, 0), 5)
    (fault,) = faults(data_of(document))
    assert fault.place == "header, $INSUNITS 0"
    assert 'unit = "mm"' in fault.remedy
    assert close(figures(document, "in")[0], math.pi * 127**2)


def test_a_unit_that_contradicts_the_header_or_is_not_one_for_cloth_is_refused():
    document, model = new(INCH)
    model.add_circle((0, 0), 5)
    assert figures(document, "in")
    (fault,) = faults(data_of(document), "mm")
    assert fault.rule == "one unit of the drawing is 25.4 mm, but the order says mm"
    document.header["$INSUNITS"] = 20  # parsecs
    (fault,) = faults(data_of(document), "mm")
    assert fault.rule == "must be a unit that cloth is measured in"


def test_files_with_either_kind_of_line_end_are_read():
    document, model = new()
    model.add_circle((0, 0), 50)
    data = data_of(document).replace(b"\n", b"\r\n")
    assert len(read(open_document(data), None).strokes) == 1


def test_blocks_are_taken_apart_where_they_are_put():
    document, model = new()
    inner, outer = document.blocks.new("inner"), document.blocks.new("outer")
    inner.add_circle((0, 0), 10)
    outer.add_blockref("inner", (100, 0), dxfattribs={"xscale": 2, "yscale": 3})
    model.add_blockref("outer", (1000, 0))
    (found,) = figures(document)
    assert close(found, math.pi * 20 * 30)
    assert found.centroid.distance(shapely.Point(1100, 0)) < 0.01


def test_entities_that_are_not_plotted_or_explain_the_drawing_are_passed_over():
    document, model = new()
    for name, change in (("off", "off"), ("frozen", "freeze")):
        getattr(document.layers.add(name), change)()
        model.add_circle((0, 0), 5, dxfattribs={"layer": name})
    model.add_circle((0, 0), 6, dxfattribs={"layer": "Defpoints"})
    model.add_circle((0, 0), 7, dxfattribs={"invisible": 1})
    model.add_text("sleeve")
    model.add_point((3, 4))
    model.add_circle((0, 0), 50)
    document.layout("Layout1").add_circle((0, 0), 9)
    found = sheet(document)
    assert len(found.strokes) == 1
    assert found.passed_over == (("POINT", 1), ("TEXT", 1))


def test_an_entity_that_is_not_a_line_in_the_plane_is_refused_with_its_layer():
    document, model = new()
    model.add_3dface([(0, 0), (9, 0), (9, 9)], dxfattribs={"layer": "faces"})
    model.add_polyline3d([(0, 0, 0), (9, 0, 1), (9, 9, 2)])
    model.add_circle((0, 0), 9, dxfattribs={"extrusion": (0, 1, 1)})
    model.add_circle((0, 0), 1e300)
    model.add_lwpolyline([(0, 0), (1e12, 0), (0, 9)], close=True)
    block = document.blocks.new("many")
    block.add_circle((0, 0), 9)
    rows = {"row_count": 9999, "column_count": 9999, "row_spacing": 1, "column_spacing": 1}
    model.add_blockref("many", (0, 0), dxfattribs=rows)
    found = sheet(document)
    assert not found.strokes
    assert len(found.faults) == 6
    assert found.faults[0].place.startswith('layer "faces", 3DFACE, entity ')
    assert [fault.rule for fault in found.faults[3:5]] == ["must lie within 1 km of the origin"] * 2


def test_a_tiny_bulge_and_repeated_points_do_no_harm():
    document, model = new()
    bends = [(0, 0, 1e-300), (0, 0, 1), (300, 0, 1e-12), (300, 200, 0)]
    model.add_lwpolyline(bends, format="xyb", close=True)
    (found,) = figures(document)
    # half a disc of 150 mm below the triangle
    assert close(found, 30_000 + math.pi * 150**2 / 2)


def test_a_block_that_contains_itself_is_refused():
    document, model = new()
    block = document.blocks.new("self")
    block.add_blockref("self", (1, 1))
    model.add_blockref("self", (0, 0))
    (fault,) = sheet(document).faults
    assert "INSERT" in fault.place


def test_blocks_that_multiply_each_other_are_refused():
    document, model = new()
    document.blocks.new("b0").add_circle((0, 0), 5)
    for level in range(1, 7):
        block = document.blocks.new(f"b{level}")
        for n in range(10):
            block.add_blockref(f"b{level - 1}", (n, 0))
    model.add_blockref("b6", (0, 0))
    (fault,) = faults(data_of(document))
    assert "must not have more than 20000 lines" in fault.rule


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"Drawing Binary DXF\r\n\x1a\x00", "this is a binary one"),
        (bytes(range(256)), "must be a DXF or an SVG file"),
        (b"%PDF-1.7 and so on", "must be a DXF or an SVG file"),
        (b"0\nSECTION\n2\nHEADER\nx\ny\n", "must be a complete text DXF file"),
        (b"0\nSECTION\n2\nENTITIES\n0\nLINE\n10\nabc\n", "must be a complete text DXF file"),
    ],
)
def test_data_that_are_not_dxf_are_refused(data, words):
    (fault,) = faults(data)
    assert words in str(fault)


def test_half_a_file_is_refused():
    document, model = new()
    for n in range(50):
        model.add_circle((n, 0), 50)
    data = data_of(document)
    for share in (0.2, 0.5, 0.8):
        assert faults(data[: int(share * len(data))], "mm")
