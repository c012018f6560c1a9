"""Pattern pieces by ASTM D6673, read back by ezdxf."""

import io
import math
from dataclasses import replace
from datetime import date

import ezdxf
import oracles
import pytest
import shapely
import worked_lays

from nesting.drawings.pieces import writer as piece_dxf
from nesting.drawings.pieces.writer import Piece
from nesting.exporters.pieces import pieces_dxf
from nesting.orders.order import Item
from nesting.panels.panel import DrillMark, Notch
from nesting.panels.product import products
from nesting.planning.items import make_item
from nesting.units import CM, MM

LAY = worked_lays.mixed_lay()
DAY = date(2026, 3, 14)


def written(*panels, **more):
    return pieces_dxf(
        panels or LAY.panels, "Reading nook", "cm", created=DAY, author="clothwright 1", **more
    )


def opened(export):
    return ezdxf.read(io.StringIO(export.files["pieces.dxf"].decode("ascii"), newline=None))


def blocks(document):
    return {block.name: block for block in document.blocks if not block.name.startswith("*")}


def on(block, layer, kind=None):
    return [e for e in block if e.dxf.layer == str(layer) and (kind is None or e.dxftype() == kind)]


def texts(entities):
    """Keys and values of the texts that systems read."""
    return dict(e.dxf.text.split(": ", 1) for e in entities if e.dxftype() == "TEXT")


def ring_of(entity):
    return [(p.x, p.y) for p in entity.points()]


def test_the_auditor_finds_nothing_and_the_release_is_one_that_every_reader_knows():
    document = opened(written())
    auditor = document.audit()
    assert (auditor.errors, auditor.fixes) == ([], [])
    assert document.dxfversion == "AC1009"


def test_there_is_one_block_for_each_panel_with_its_outline_within_a_hundredth():
    found = list(blocks(opened(written())).values())
    assert len(found) == len(LAY.panels)
    for block, panel in zip(found, LAY.panels, strict=True):
        (boundary,) = on(block, 1, "POLYLINE")
        (sew,) = on(block, 14, "POLYLINE")
        for entity, outline in ((boundary, panel.cut), (sew, panel.stitch)):
            assert entity.is_closed
            assert ring_of(entity) == [
                pytest.approx((x / 100, y / 100), abs=0.01) for x, y in outline.points
            ]


def test_a_second_reader_finds_the_same_vertices():
    tags = oracles.dxf_tags(written().files["pieces.dxf"])
    layers, vertices = [], []
    for index, (code, value) in enumerate(tags):
        if (code, value) == (0, "VERTEX"):
            layers.append(tags[index + 1][1])
            vertices.append((float(tags[index + 2][1]), float(tags[index + 3][1])))
    meant = [p for panel in LAY.panels for p in (*panel.cut.points, *panel.stitch.points)]
    assert vertices == [pytest.approx((x / 100, y / 100)) for x, y in meant]
    assert set(layers) == {"1", "14"}


def test_each_block_says_what_it_is_and_how_often_it_is_cut():
    found = blocks(opened(written()))
    told = [texts(on(block, 1)) for block in found.values()]
    assert [
        (each["Piece Name"], each["Quantity"], each["Material"], each["Size"]) for each in told
    ] == [
        ("cushion / plate", "2", "teal twill", "ONE"),
        ("cushion / boxing", "1", "teal twill", "ONE"),
        ("pouf / cap", "1", "teal twill", "ONE"),
        ("pouf / gore", "2", "teal twill", "ONE"),
    ]
    assert "allowance included: seam 1.0 cm" in told[0]["Annotation"]
    notes = [e.dxf.text for e in on(found["P1"], 15, "TEXT")]
    assert "cut 2" in notes


def test_the_style_is_told_once_outside_all_blocks_and_every_piece_is_inserted_once():
    space = opened(written()).modelspace()
    assert texts(space) == {
        "Style Name": "Reading nook",
        "Creation Date": "2026-03-14",
        "Author": "clothwright 1",
        "Sample Size": "ONE",
        "Units": "METRIC",
    }
    assert [e.dxf.name for e in space.query("INSERT")] == ["P1", "P2", "P3", "P4"]


def test_corners_are_turn_points_and_vertices_of_curves_are_curve_points():
    plate, _, cap, _ = blocks(opened(written())).values()
    assert (len(on(plate, 2)), len(on(plate, 3))) == (4, 0)
    assert (len(on(cap, 2)), len(on(cap, 3))) == (0, len(LAY.panels[2].cut.points))


def test_a_notch_is_a_point_on_the_boundary_with_its_depth_and_its_way_in():
    plate = next(iter(blocks(opened(written())).values()))
    lower, upper = on(plate, 4, "POINT")
    # by hand, in the fixture: at half of 42 cm, 7 mm deep; up from the lower edge, down from 32 cm
    assert tuple(lower.dxf.location) == (210.0, 0.0, 7.0)
    assert lower.dxf.angle == 90.0
    assert tuple(upper.dxf.location) == (210.0, 320.0, 7.0)
    assert upper.dxf.angle == 270.0


def test_the_grain_runs_from_tail_to_head():
    (grain,) = on(next(iter(blocks(opened(written())).values())), 7, "LINE")
    assert (tuple(grain.dxf.start)[:2], tuple(grain.dxf.end)[:2]) == (
        (105.0, pytest.approx(106.66, abs=0.01)),
        (315.0, pytest.approx(106.66, abs=0.01)),
    )


def test_drill_marks_lines_and_slits_of_a_panel_have_their_layers():
    plate = replace(
        LAY.panels[0],
        drills=(DrillMark((21 * CM, 16 * CM)),),
        lines=(((5 * CM, 5 * CM), (10 * CM, 5 * CM)),),
        inner_cuts=(((20 * CM, 5 * CM), (20 * CM, 9 * CM)),),
    )
    (block,) = blocks(opened(written(plate))).values()
    assert [tuple(e.dxf.location)[:2] for e in on(block, 13, "POINT")] == [(210.0, 160.0)]
    (line,) = on(block, 8)
    assert ring_of(line) == [(50.0, 50.0), (100.0, 50.0)]
    (slit,) = on(block, 11)
    assert (ring_of(slit), slit.is_closed) == ([(200.0, 50.0), (200.0, 90.0)], False)


def test_a_half_is_bounded_by_its_mirror_line_and_gives_the_whole_when_mirrored():
    (block,) = blocks(opened(written(LAY.panels[0], halves=True))).values()
    (boundary,) = on(block, 1, "POLYLINE")
    (mirror,) = on(block, 6, "LINE")
    half = shapely.Polygon(ring_of(boundary))
    # by hand: a plate of 42 x 32 cm, so its half is 42 x 16 cm
    assert half.area == pytest.approx(420 * 160)
    assert {mirror.dxf.start.y, mirror.dxf.end.y} == {160.0}
    assert {mirror.dxf.start.x, mirror.dxf.end.x} == {0.0, 420.0}
    image = shapely.affinity.scale(half, yfact=-1, origin=(0, 160))
    whole = shapely.Polygon([(x / 100, y / 100) for x, y in LAY.panels[0].cut.points])
    assert half.union(image).symmetric_difference(whole).area < 0.01
    (sew,) = on(block, 14, "POLYLINE")
    assert not sew.is_closed
    assert len(on(block, 4)) == 1  # the notch in the upper edge only


@pytest.mark.parametrize("y", [15_999, 16_000, 16_001])
def test_a_slit_on_the_mirror_line_is_kept_though_the_grid_puts_it_beside(y):
    slitted = replace(LAY.panels[0], inner_cuts=(((10 * CM, y), (30 * CM, y)),))
    (block,) = blocks(opened(written(slitted, halves=True))).values()
    (slit,) = on(block, 11)
    assert ring_of(slit) == [(100.0, y / 100), (300.0, y / 100)]


def test_a_slit_across_the_mirror_line_is_cut_off_at_it():
    across = replace(LAY.panels[0], inner_cuts=(((21 * CM, 6 * CM), (21 * CM, 26 * CM)),))
    (block,) = blocks(opened(written(across, halves=True))).values()
    (slit,) = on(block, 11)
    # by hand: the mirror line of a plate 32 cm wide is at 16 cm
    assert sorted(ring_of(slit)) == [(210.0, 160.0), (210.0, 260.0)]


def test_a_panel_that_does_not_mirror_itself_is_written_whole():
    plate = LAY.panels[0]
    lopsided = replace(plate, notches=(Notch((5 * CM, 0), (5 * CM, 7 * MM)),))
    (block,) = blocks(opened(written(lopsided, halves=True))).values()
    assert on(block, 6) == []
    assert len(ring_of(on(block, 1, "POLYLINE")[0])) == 4


def test_other_letters_are_spelled_with_plain_ones_and_told():
    panel = replace(LAY.panels[0], item="Größe", name="Подушка", cloth="soie écrue")
    export = written(panel)
    (block,) = blocks(opened(export)).values()
    assert texts(on(block, 1))["Piece Name"] == "Groesse / Podushka"
    assert export.files["pieces.dxf"].isascii()
    assert [note.split('"')[1] for note in export.notes] == ["Größe", "Подушка", "soie écrue"]


def test_names_that_come_to_be_the_same_are_kept_apart():
    panels = [
        replace(LAY.panels[0], item=item, name=name)
        for item, name in (("é", "x"), ("e", "x"), ("a / b", "c"), ("a", "b / c"))
    ]
    found = blocks(opened(written(*panels))).values()
    names = [texts(on(block, 1))["Piece Name"] for block in found]
    assert len(set(names)) == 4


def test_cut_outs_and_slits_have_a_layer_of_their_own():
    piece = Piece(
        name="p",
        quantity=1,
        material="m",
        boundary=((0.0, 0.0), (100.0, 0.0), (100.0, 80.0), (0.0, 80.0)),
        grain=((10.0, 40.0), (90.0, 40.0)),
        inner_cuts=(
            ((40.0, 30.0), (60.0, 30.0), (50.0, 50.0), (40.0, 30.0)),
            ((10.0, 10.0), (30.0, 10.0)),
        ),
    )
    data = piece_dxf.write("s", [piece], DAY, "a")
    (block,) = blocks(ezdxf.read(io.StringIO(data.decode("ascii"), newline=None))).values()
    cut_out, slit = on(block, 11, "POLYLINE")
    assert (cut_out.is_closed, slit.is_closed) == (True, False)
    assert ring_of(slit) == [(10.0, 10.0), (30.0, 10.0)]
    assert ring_of(cut_out) == [(40.0, 30.0), (60.0, 30.0), (50.0, 50.0)]


def test_pieces_of_one_name_are_refused():
    piece = Piece("p", 1, "m", ((0, 0), (1, 0), (1, 1)), ((0, 0), (1, 0)))
    with pytest.raises(ValueError, match="different names"):
        piece_dxf.write("s", [piece, piece], DAY, "a")


def test_gores_of_a_real_pouf_keep_their_curves():
    values = {m.name: m.default for m in products()["gored-pouf"].measurements}
    item = Item("pouf", "gored-pouf", 1, "teal twill", 12.0, {**values, "diameter": 500.0})
    gore = make_item(item).panels[0]
    (block,) = blocks(opened(written(gore))).values()
    turns, curves = len(on(block, 2)), len(on(block, 3))
    assert turns + curves == len(gore.cut.points)
    assert turns <= 8 < curves
    assert math.isclose(
        shapely.Polygon(ring_of(on(block, 1, "POLYLINE")[0])).area, gore.cut.area_mm2
    )
