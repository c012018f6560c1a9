"""DXF of release 12, for machines that read nothing later."""

import io
import re
from dataclasses import replace

import ezdxf
import oracles
import pytest
import shapely
from worked_lays import mixed_lay

from nesting.drawings.drawing import Drawing, Path, Pen, Text
from nesting.drawings.dxf import own_reader as dxf_own_reader
from nesting.drawings.dxf import reader as dxf_reader
from nesting.drawings.dxf import writer as dxf
from nesting.drawings.dxf.writer import Release
from nesting.drawings.tool import Tool
from nesting.errors import OrderError
from nesting.exporters.lay import lay_drawing
from nesting.geometry.curves import circle

LAY = lay_drawing(mixed_lay())
DATA = dxf.write(LAY, Release.R12)


def opened(data):
    return ezdxf.read(io.StringIO(data.decode("ascii")))


def test_the_auditor_finds_nothing():
    document = opened(DATA)
    auditor = document.audit()
    assert (auditor.errors, auditor.fixes) == ([], [])
    assert document.dxfversion == "AC1009"


def test_lines_are_old_polylines_with_the_same_vertices():
    entities = opened(DATA).modelspace().query('POLYLINE[layer!="scale"]')
    assert len(entities) == len(LAY.paths)
    for entity, path in zip(entities, LAY.paths, strict=True):
        assert (entity.dxf.layer, entity.is_closed) == (path.pen.value, path.closed)
        points = [(p.x, p.y) for p in entity.points()]
        assert points == [pytest.approx(p, abs=1e-4) for p in path.points]
    kinds = {kind for kind, _ in oracles.dxf_entities(DATA)}
    assert kinds == {"POLYLINE", "VERTEX", "SEQEND", "TEXT"}


def test_both_readers_find_the_same_lines_and_texts():
    whole, quick = dxf_reader.read(DATA), dxf_own_reader.read(DATA)
    assert quick.paths == whole.paths
    for found, meant in zip(quick.paths, LAY.paths, strict=True):
        assert list(found.points) == [pytest.approx(p, abs=1e-4) for p in meant.points]
    assert quick.texts == whole.texts
    assert [text.content for text in quick.texts] == [text.content for text in LAY.texts]


def test_a_square_of_100_mm_on_the_cloth_and_off_the_panels_states_its_size():
    document = opened(DATA)
    (square,) = document.modelspace().query('POLYLINE[layer=="scale"]')
    xs, ys = zip(*((p.x, p.y) for p in square.points()), strict=True)
    assert (max(xs) - min(xs), max(ys) - min(ys)) == (100, 100)
    # 70 cm of cloth are bought, 140 cm wide
    assert min(*xs, *ys) >= 0
    assert (max(xs) <= 700, max(ys) <= 1400) == (True, True)
    drawn = shapely.box(min(xs), min(ys), max(xs), max(ys))
    assert all(drawn.disjoint(shapely.Polygon(p.points)) for p in LAY.paths if p.pen is Pen.CUT)
    words = [text.dxf.text for text in document.modelspace().query('TEXT[layer=="scale"]')]
    assert words == ["UNIT: MILLIMETRE", "THIS SQUARE", "MEASURES", "100 X 100 MM"]


@pytest.mark.parametrize(
    ("length", "side", "free"), [(655.0, 50, True), (625.0, 20, True), (600.0, 20, False)]
)
def test_the_square_shrinks_with_the_room_and_never_passes_the_end_of_the_cloth(length, side, free):
    """A panel 600 mm long fills the width, so that 55, 25 and 0 mm are free behind it."""
    panel = Path(Pen.CUT, ((0.0, 0.0), (600.0, 0.0), (600.0, 900.0), (0.0, 900.0)), closed=True)
    document = opened(dxf.write(Drawing("t", length, 900.0, (panel,), ()), Release.R12))
    (square,) = document.modelspace().query('POLYLINE[layer=="scale"]')
    xs, ys = zip(*((p.x, p.y) for p in square.points()), strict=True)
    assert (max(xs) - min(xs), max(ys) - min(ys)) == (side, side)
    assert min(*xs, *ys) >= 0
    assert max(xs) <= length
    assert (min(xs) >= 600) == free
    words = [text.dxf.text for text in document.modelspace().query('TEXT[layer=="scale"]')]
    assert words[-1] == f"{side} X {side} MM"


def test_a_file_for_a_knife_has_no_square():
    document = opened(dxf.write(LAY, Release.R12, tool=Tool.KNIFE))
    assert not document.modelspace().query('*[layer=="scale"]')


def test_no_entity_has_a_handle_as_the_header_says():
    assert oracles.dxf_header(DATA)["$HANDLING"] == ["0"]
    assert all("5" not in dict(tags) for _, tags in oracles.dxf_entities(DATA))


def test_every_pen_has_a_layer_with_its_own_colour():
    layers = opened(DATA).layers
    assert len({layers.get(pen.value).dxf.color for pen in Pen}) == len(Pen)


def test_arcs_are_written_as_bulges():
    points = tuple((x + 300, y + 300) for x, y in circle(200.0).points[:-1])
    sheet = Drawing("t", 600.0, 600.0, (Path(Pen.CUT, points, closed=True),), ())
    data = dxf.write(sheet, Release.R12, arcs=True)
    (entity,) = opened(data).modelspace().query('POLYLINE[layer=="cut"]')
    assert [round(vertex.dxf.bulge, 3) for vertex in entity.vertices] == [1.0, 1.0]
    whole, quick = dxf_reader.read(data), dxf_own_reader.read(data)
    assert quick.within == whole.within > 0
    assert len(quick.paths[0].points) == len(whole.paths[0].points) > 50


def test_letters_outside_ascii_are_spelled_in_plain_ones():
    sheet = replace(LAY, title="Größe", texts=(Text(Pen.LABEL, (1.0, 1.0), 2.0, "枕 / é"),))
    data = dxf.write(sheet, Release.R12)
    assert data.isascii()
    assert re.fullmatch(r"\w+ / e", dxf_own_reader.read(data).texts[0].content)


@pytest.mark.parametrize(
    "data",
    [
        b"\x81",
        b"0\nSECTION\n2\nENTITIES\n0\nVERTEX\n8\ncut\n10\n1.0\n0\nENDSEC\n",
        DATA.replace(b"\n20.0\n", b"\ntwenty\n"),
    ],
)
def test_a_file_that_is_damaged_is_refused(data):
    with pytest.raises(OrderError, match="that this program wrote"):
        dxf_own_reader.read(data)
