import io
import math
import subprocess
import sys
from contextlib import suppress
from dataclasses import replace

import ezdxf
import ezdxf.bbox
import oracles
import pytest
from ezdxf.colors import DXF_DEFAULT_COLORS, int2rgb
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.drawings.drawing import Drawing, Path, Pen, Text
from nesting.drawings.dxf import reader as dxf_reader
from nesting.drawings.dxf import writer as dxf
from nesting.errors import OrderError

TRIANGLE = Path(Pen.CUT, ((0.01, 20.0), (1600.33, 21.5), (800.17, 1380.99)), closed=True)
ARROW = Path(Pen.GRAIN, ((100.0, 200.0), (300.0, 200.0)))
NOTE = Text(Pen.LABEL, (700.0, 500.0), 12.0, "pouf / gore / 1.3", 90.0)
SHEET = Drawing("teal twill", 1700.0, 1400.0, (TRIANGLE, ARROW), (NOTE,))


def _opened(data):
    return ezdxf.read(io.StringIO(data.decode("cp1252")))


def test_a_drawing_read_back_is_the_same_drawing():
    assert dxf_reader.read(dxf.write(SHEET)) == SHEET


def test_a_drawing_saved_with_the_line_ends_of_another_system_is_the_same():
    assert dxf_reader.read(dxf.write(SHEET).replace(b"\n", b"\r\n")) == SHEET


def test_the_same_drawing_gives_the_same_bytes_in_another_process():
    program = (
        "import sys; from nesting.drawings.dxf import writer as dxf;"
        "from nesting.drawings.drawing import *;"
        "d = Drawing('t', 10, 10, (Path(Pen.CUT, ((1, 1), (2, 1), (2, 3)), True),),"
        " (Text(Pen.LABEL, (1, 1), 2, 'x'),)); sys.stdout.buffer.write(dxf.write(d))"
    )
    run = [
        subprocess.run([sys.executable, "-c", program], capture_output=True, check=True).stdout
        for _ in range(2)
    ]
    assert run[0] == run[1]
    assert len(run[0]) > 1000


def test_writing_leaves_the_library_options_as_they_were():
    before = ezdxf.options.write_fixed_meta_data_for_testing
    dxf.write(SHEET)
    assert ezdxf.options.write_fixed_meta_data_for_testing == before


def test_the_auditor_finds_nothing():
    auditor = _opened(dxf.write(SHEET)).audit()
    assert (auditor.errors, auditor.fixes) == ([], [])


def test_the_header_says_release_millimetres_and_extents():
    header = oracles.dxf_header(dxf.write(SHEET))
    assert header["$ACADVER"] == ["AC1015"]  # R2000
    assert header["$INSUNITS"] == ["4"]  # millimetres
    assert header["$MEASUREMENT"] == ["1"]  # metric
    assert [float(v) for v in header["$EXTMIN"]] == [0.01, 20.0, 0.0]
    assert [float(v) for v in header["$EXTMAX"]] == [1600.33, 1380.99, 0.0]
    assert [float(v) for v in header["$LIMMAX"]] == [1700.0, 1400.0]


def test_every_pen_has_a_layer_with_its_own_colour():
    layers = _opened(dxf.write(SHEET)).layers
    colours = [layers.get(pen.value).dxf.color for pen in Pen]
    assert len(set(colours)) == len(Pen)


def test_a_second_reader_finds_the_same_vertices():
    polylines = oracles.dxf_polylines(dxf.write(SHEET))
    assert polylines == [
        ("cut", True, list(TRIANGLE.points)),
        ("grain", False, list(ARROW.points)),
    ]


def test_text_is_centred_on_its_point():
    (entity,) = _opened(dxf.write(SHEET)).modelspace().query("TEXT")
    align, at, _ = entity.get_placement()
    assert align.name == "MIDDLE_CENTER"
    assert (at.x, at.y) == NOTE.at
    assert (entity.dxf.height, entity.dxf.rotation) == (12.0, 90.0)


@pytest.mark.parametrize(
    "content",
    [
        "Bücher / Größe / 1.1",
        "подушка / 枕 / 1.1",
        "sofa \N{COUCH AND LAMP} / x / 1.1",
        r"100%% \U+0041 \M+5BFFE ^J 50%%d",
        "  two  blanks  ",
    ],
)
def test_any_text_survives(content):
    sheet = Drawing(content, 10.0, 10.0, (), (Text(Pen.LABEL, (1.0, 1.0), 2.0, content),))
    read = dxf_reader.read(dxf.write(sheet))
    assert (read.title, read.texts[0].content) == (content, content)


def test_line_ends_in_a_text_become_blanks():
    sheet = Drawing("t", 10.0, 10.0, (), (Text(Pen.LABEL, (1.0, 1.0), 2.0, "a\r\n0\nEOF"),))
    assert dxf_reader.read(dxf.write(sheet)).texts[0].content == "a  0 EOF"


@settings(max_examples=40, deadline=None)
@given(st.text(max_size=30))
def test_a_text_never_breaks_the_file(content):
    sheet = Drawing("t", 10.0, 10.0, (), (Text(Pen.LABEL, (1.0, 1.0), 2.0, content),))
    assert dxf_reader.read(dxf.write(sheet)) == sheet


def test_other_units_are_read_as_millimetres():
    document = ezdxf.new("R2000", units=ezdxf.units.IN)
    document.modelspace().add_lwpolyline(
        [(0, 0), (10, 0), (10, 4)], close=True, dxfattribs={"layer": "CUT"}
    )
    stream = io.StringIO()
    document.write(stream)
    (path,) = dxf_reader.read(document.encode(stream.getvalue())).paths
    assert path.pen is Pen.CUT
    assert path.points == ((0, 0), (254, 0), pytest.approx((254, 101.6)))  # 25.4 mm to the inch


def test_old_polylines_and_lines_are_read_and_other_layers_passed_over():
    document = ezdxf.new("R12")
    space = document.modelspace()
    ring = [(0, 0), (10, 0), (10, 4), (0, 0)]
    space.add_polyline2d(ring, dxfattribs={"layer": "cut"})
    space.add_line((1, 1), (5, 1), dxfattribs={"layer": "grain"})
    space.add_circle((1, 1), 5, dxfattribs={"layer": "0"})
    stream = io.StringIO()
    document.write(stream)
    assert dxf_reader.read(document.encode(stream.getvalue())).paths == (
        Path(Pen.CUT, ((0, 0), (10, 0), (10, 4)), closed=True),
        Path(Pen.GRAIN, ((1, 1), (5, 1))),
    )


def test_curves_on_our_layers_are_refused_by_name():
    document = ezdxf.new("R2000", units=4)
    space = document.modelspace()
    space.add_circle((1, 1), 5, dxfattribs={"layer": "cut"})
    space.add_spline([(0, 0), (1, 0), (2, 1)], dxfattribs={"layer": "stitch"})
    stream = io.StringIO()
    document.write(stream)
    with pytest.raises(OrderError) as caught:
        dxf_reader.read(document.encode(stream.getvalue()))
    assert [fault.value for fault in caught.value.faults] == ["CIRCLE", "SPLINE"]


def test_coordinates_that_are_not_numbers_are_refused():
    data = dxf.write(SHEET).replace(b"1600.33", b"nan")
    with pytest.raises(OrderError, match="finite"):
        dxf_reader.read(data)


def test_an_unknown_unit_is_refused():
    data = dxf.write(SHEET)
    parsecs = data.replace(b"$INSUNITS\n 70\n4", b"$INSUNITS\n 70\n20")
    assert parsecs != data
    with pytest.raises(OrderError, match="INSUNITS"):
        dxf_reader.read(parsecs)


@pytest.mark.parametrize("data", [b"", b"hello", b"\x89PNG\r\n\x1a\n\x00", b"  0\nSECTION\n"])
def test_data_that_are_not_dxf_are_refused(data):
    with pytest.raises(OrderError, match="DXF"):
        dxf_reader.read(data)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.integers(0, 255), st.booleans())
def test_a_damaged_file_is_either_read_or_refused(place, byte, cut_off):
    data = bytearray(dxf.write(SHEET))
    place %= len(data)
    data[place] = byte
    damaged = bytes(data[:place] if cut_off else data)
    with suppress(OrderError):
        read = dxf_reader.read(damaged)
        assert all(math.isfinite(x + y) for path in read.paths for x, y in path.points)


def luminance(colour):
    """Relative luminance of a colour by WCAG 2.1: linear light of sRGB, weighted."""
    linear = (
        v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4
        for v in (each / 255 for each in colour)
    )  # fmt: skip
    return sum(weight * v for weight, v in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def test_labels_show_on_a_dark_and_on_a_light_screen():
    """WCAG 2.1 asks for a contrast of 3 to 1 for large text, (L1 + 0.05) / (L2 + 0.05)."""
    layer = _opened(dxf.write(SHEET)).layers.get("label")
    light = luminance(int2rgb(DXF_DEFAULT_COLORS[layer.color]))
    assert (1.0 + 0.05) / (light + 0.05) >= 3  # on white
    assert (light + 0.05) / 0.05 >= 3  # on black


@pytest.mark.parametrize("release", list(dxf.Release))
@pytest.mark.parametrize("angle", [0.0, 45.0, 90.0])
def test_a_reader_that_ignores_alignment_finds_a_text_where_it_stands(release, angle):
    """The first point of a text is its lower left corner: half its width and height away."""
    text = replace(NOTE, angle=angle)
    (entity,) = _opened(dxf.write(replace(SHEET, texts=(text,)), release)).query(
        'TEXT[layer=="label"]'
    )
    (x, y), height = text.at, text.height
    first = entity.dxf.insert
    away = math.dist((first.x, first.y), (x, y))
    assert height / 2 < away < 0.4 * len(text.content) * height
    along = (x - first.x) * math.cos(math.radians(angle)) + (y - first.y) * math.sin(
        math.radians(angle)
    )
    assert along == pytest.approx(0.65 * len(text.content) * height / 2, abs=1e-3)
    assert (entity.dxf.align_point.x, entity.dxf.align_point.y) == pytest.approx((x, y))


@pytest.mark.parametrize("release", list(dxf.Release))
def test_the_extents_of_a_file_are_those_of_what_it_draws(release):
    document = _opened(dxf.write(SHEET, release))
    boxes = ezdxf.bbox.extents(
        entity for entity in document.modelspace() if entity.dxftype() != "TEXT"
    )
    for name, corner in (("$EXTMIN", boxes.extmin), ("$EXTMAX", boxes.extmax)):
        stated = document.header[name]
        assert (stated[0], stated[1]) == pytest.approx((corner.x, corner.y), abs=1e-6)


@pytest.mark.parametrize("release", list(dxf.Release))
def test_the_title_is_in_an_entry_of_our_own(release):
    document = _opened(dxf.write(replace(SHEET, title="Grüner Samt"), release))
    (tag,) = (t for t in document.layers.get("cut").get_xdata("CLOTHWRIGHT") if t.code == 1000)
    assert tag.value == ("Grüner Samt" if release is dxf.Release.R2000 else "Gruener Samt")
    assert "TITLE" not in document.ezdxf_metadata()
