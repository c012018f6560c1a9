"""Panels from the maker's own drawings."""

import io
import math
import os
from datetime import date

import ezdxf
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from nesting.drawings.pieces import writer as piece_dxf
from nesting.drawings.pieces.writer import Piece
from nesting.errors import Fault, OrderError
from nesting.exporters.pieces import pieces_dxf
from nesting.panels.making import make_panels
from nesting.panels.product import products
from nesting.tolerances import CHORD_MM

OUTLINE = products()["outline"]
DAY = date(2026, 4, 1)
HEAD = 'width="1000mm" height="1000mm" viewBox="0 0 1000 1000"'
SVG = f'<svg xmlns="http://www.w3.org/2000/svg" {HEAD}>{{}}</svg>'


def values(file, **more):
    return {each.name: each.default for each in OUTLINE.measurements} | {"file": file} | more


def made(file, allowance_mm=10.0, **more):
    given_values = values(file, **more)
    assert OUTLINE.faults(given_values, allowance_mm) == ()
    return make_panels(
        OUTLINE, given_values, item="leaf", cloth="c", quantity=1, allowance_mm=allowance_mm
    )


def faults(file, allowance_mm=10.0, **more):
    found = OUTLINE.faults(values(file, **more), allowance_mm)
    return tuple(Fault(*fault.texts("mm")) for fault in found)


def dxf(path, draw, unit=4, release="R2010"):
    document = ezdxf.new(release)
    document.header["$INSUNITS"] = unit
    draw(document.modelspace())
    text = io.StringIO()
    document.write(text)
    path.write_text(text.getvalue())
    return path


def svg(path, inside):
    path.write_text(SVG.format(inside))
    return path


def pieces(path, *all_pieces):
    path.write_bytes(piece_dxf.write("style", all_pieces, DAY, "a maker"))
    return path


SQUARE = ((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0))
INNER = tuple((x / 300 * 280 + 10, y / 200 * 180 + 10) for x, y in SQUARE)
GRAIN = ((50.0, 100.0), (250.0, 100.0))
PLAIN = Piece("flap", 2, "twill", SQUARE, GRAIN)
SEWN = Piece(
    "flap", 2, "twill", SQUARE, GRAIN, sew=((*INNER, INNER[0]),),
    notches=(((150.0, 0.0), (150.0, 6.0)),), drills=((100.0, 60.0),),
    internal=(((20.0, 20.0), (60.0, 20.0), (60.0, 50.0)),),
)  # fmt: skip


def rectangle(w, h):
    return lambda m: m.add_lwpolyline([(0, 0), (w, 0), (w, h), (0, h)], close=True)


@st.composite
def star_shaped(draw):
    """Corners about a middle, in any direction, at most 1 m across; no corner nearly on another."""
    count = draw(st.integers(3, 20))
    turns = draw(st.lists(st.integers(0, 119), min_size=count, max_size=count, unique=True))
    radii = draw(st.lists(st.floats(60, 480), min_size=count, max_size=count))
    corners = [
        (500 + r * math.cos(math.radians(3 * t)), 500 + r * math.sin(math.radians(3 * t)))
        for t, r in zip(sorted(turns), radii, strict=True)
    ]
    return corners if draw(st.booleans()) else corners[::-1]


@given(star_shaped(), st.sampled_from(("closed", "lines", "svg polygon", "svg path")))
@settings(deadline=None, max_examples=60)
def test_a_polygon_comes_out_as_it_was_drawn(tmp_path_factory, corners, way):
    """Rounding outward moves each side by less than 0.015 mm."""
    polygon = shapely.Polygon(corners)
    assume(polygon.is_valid and polygon.buffer(-20).area > 0)
    folder = tmp_path_factory.mktemp("drawn")
    if way == "closed":
        file = dxf(folder / "a.dxf", lambda m: m.add_lwpolyline(corners, close=True))
    elif way == "lines":
        ends = list(zip(corners, [*corners[1:], corners[0]], strict=True))
        file = dxf(folder / "a.dxf", lambda m: [m.add_line(*pair) for pair in ends[::-1]])
    else:
        points = " ".join(f"{x!r},{y!r}" for x, y in corners)
        shape = f'<path d="M{points}z"/>' if way == "svg path" else f'<polygon points="{points}"/>'
        file = svg(folder / "a.svg", shape)
    (panel,) = made(file).panels
    assert panel.stitch.area_mm2 == pytest.approx(polygon.area, abs=0.015 * polygon.length)
    assert panel.stitch.length / 100 == pytest.approx(
        polygon.bounds[2] - polygon.bounds[0], abs=0.03
    )


@pytest.mark.parametrize("format_", ["dxf", "svg"])
def test_a_drawing_lies_on_the_cloth_as_it_is_seen_on_the_screen(tmp_path, format_):
    """An L with its long arm up at the left, its short arm along the lower edge."""
    seen = [(0, 0), (300, 0), (300, 100), (100, 100), (100, 500), (0, 500)]
    if format_ == "dxf":
        file = dxf(tmp_path / "l.dxf", lambda m: m.add_lwpolyline(seen, close=True))
    else:  # y runs down there
        points = " ".join(f"{x},{600 - y}" for x, y in seen)
        file = svg(tmp_path / "l.svg", f'<polygon points="{points}"/>')
    (panel,) = made(file, 0.0).panels
    assert set(panel.cut.points) == {(100 * x, 100 * y) for x, y in seen}


@pytest.mark.parametrize(
    ("turn", "along_mm", "across_mm"), [(None, 300, 200), (90.0, 200, 300), (270.0, 200, 300)]
)
def test_the_grain_may_run_anywhere_in_the_drawing(tmp_path, turn, along_mm, across_mm):
    file = dxf(tmp_path / "a.dxf", rectangle(300, 200))
    (panel,) = made(file, 0.0, grain_degrees=turn).panels
    assert (panel.cut.length, panel.cut.height) == (100 * along_mm, 100 * across_mm)


def test_a_slanting_grain_turns_the_panel_by_its_angle(tmp_path):
    """300 by 200 mm at 30 degrees: 300 cos 30 + 200 sin 30 = 359.8 mm along."""
    (panel,) = made(dxf(tmp_path / "a.dxf", rectangle(300, 200)), 0.0, grain_degrees=30.0).panels
    assert panel.cut.length / 100 == pytest.approx(359.81, abs=0.03)


def test_a_finished_shape_gets_the_allowance_and_a_cut_line_stays(tmp_path):
    file = dxf(tmp_path / "a.dxf", rectangle(300, 200))
    (finished,) = made(file).panels
    assert (finished.cut.length, finished.stitch.length) == (32_000, 30_000)
    (cut,) = made(file, line="cut").panels
    assert (cut.cut.length, cut.stitch, cut.notches) == (30_000, None, ())
    (inside,) = made(file, line="cut", allowance_within=15.0).panels
    assert inside.cut.length == 30_000
    assert inside.stitch.length == pytest.approx(27_000, abs=5)
    assert shapely.LinearRing(inside.cut.points).distance(
        shapely.LinearRing(inside.stitch.points)
    ) >= 1500  # fmt: skip


@given(star_shaped(), st.floats(0.5, 40))
@settings(deadline=None, max_examples=40)
def test_a_stitch_line_set_in_is_the_allowance_inside_the_cut_line(
    tmp_path_factory, corners, allowance_mm
):
    """On a convex shape the distance is the allowance everywhere, apart from rounding."""
    hull = shapely.Polygon(corners).convex_hull
    ring = hull.exterior.coords[:-1]
    assume(hull.buffer(-allowance_mm - 20).area > 0)
    file = dxf(
        tmp_path_factory.mktemp("drawn") / "a.dxf", lambda m: m.add_lwpolyline(ring, close=True)
    )
    (panel,) = made(file, 0.0, line="cut", allowance_within=allowance_mm).panels
    around = shapely.LinearRing(panel.cut.points)
    apart = [around.distance(shapely.Point(point)) / 100 for point in panel.stitch.points]
    assert min(apart) >= allowance_mm - 1e-4
    assert max(apart) <= allowance_mm + 0.06


def test_units_may_be_inches(tmp_path):
    """24 by 16 inches are 609.6 by 406.4 mm, by $INSUNITS, by the order, by SVG's width."""
    for unit, more in ((1, {}), (0, {"unit": "in"})):
        (panel,) = made(dxf(tmp_path / "a.dxf", rectangle(24, 16), unit), 0.0, **more).panels
        assert (panel.cut.length, panel.cut.height) == (60_960, 40_640)
    file = tmp_path / "b.svg"
    head = 'width="30in" height="30in" viewBox="0 0 30 30"'
    shape = '<rect width="24" height="16"/>'
    file.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {head}>{shape}</svg>')
    (panel,) = made(file, 0.0).panels
    assert (panel.cut.length, panel.cut.height) == (60_960, 40_640)


def test_several_outlines_are_several_panels_where_the_order_says_so(tmp_path):
    def draw(m):
        rectangle(300, 200)(m)
        m.add_circle((900, 0), 100)

    file = dxf(tmp_path / "a.dxf", draw)
    (fault,) = faults(file)
    assert "must have 1 closed outline: 2 found" in fault.rule
    assert fault.remedy.startswith("add panels = 2")
    assert [panel.name for panel in made(file, panels=2).panels] == ["outline-1", "outline-2"]
    assert "must have 3 closed outlines: 2 found" in faults(file, panels=3)[0].rule


BAD = {
    "open": (
        lambda m: m.add_lwpolyline([(0, 0), (300, 0), (300, 200)]),
        'layer "0", LWPOLYLINE, entity', "the path must be closed, but it ends here",
    ),
    "crossing itself": (
        lambda m: m.add_lwpolyline([(0, 0), (300, 200), (300, 0), (0, 200)], close=True),
        "at (150, 100)", "must not cross or touch itself",
    ),
    "touching itself": (
        lambda m: m.add_lwpolyline(
            [(0, 0), (300, 0), (300, 200), (150, 0.001), (0, 200)], close=True),
        "at (0, 0)", "must not come within 0.02 mm of itself",
    ),
    "flat": (
        lambda m: m.add_lwpolyline([(0, 0), (300, 0), (150, 0)], close=True),
        "at (0, 0)", "must enclose an area",
    ),
    "a point": (
        lambda m: m.add_lwpolyline([(7, 7), (7, 7), (7, 7), (7, 7)], close=True),
        "at (7, 7)", "must enclose an area",
    ),
    "one in the other": (
        lambda m: (m.add_circle((0, 0), 100), m.add_circle((9, 0), 40)),
        "CIRCLE", "must not lie inside another",
    ),
    "one across the other": (
        lambda m: (m.add_circle((0, 0), 100), m.add_circle((90, 0), 40)),
        "CIRCLE", "must not cross another",
    ),
    "drawn twice": (
        lambda m: (m.add_circle((0, 0), 100), m.add_circle((0, 0), 100)),
        "CIRCLE", "must not lie inside another",
    ),
    "too large": (rectangle(5001, 100), "LWPOLYLINE", "must not be larger than 5 m: 5001 × 100 mm"),
    "too small": (rectangle(9, 9), "LWPOLYLINE", "must not be smaller than 10 mm: 9 × 9 mm"),
    "empty": (lambda m: None, "the drawing", "must have a closed outline: it holds no lines"),
    "only texts": (lambda m: m.add_text("x"), "the drawing", "it holds 1 TEXT, which are not cut"),
    "traced": (
        lambda m: m.add_lwpolyline(
            [(300 * math.cos(i / 800), 300 * math.sin(i / 800)) for i in range(5000)], close=True
        ),
        "LWPOLYLINE", "must not have more than 4000 points: 5000",
    ),
}  # fmt: skip


@pytest.mark.parametrize("kind", sorted(BAD))
def test_a_shape_that_cannot_be_cut_is_refused_with_place_rule_and_remedy(tmp_path, kind):
    draw, place, rule = BAD[kind]
    found = faults(dxf(tmp_path / "bad.dxf", draw))
    assert {fault.place for fault in found} == {"file"}
    assert place in found[0].rule
    assert rule in found[0].rule
    assert all(fault.remedy for fault in found)


def test_all_faults_of_a_drawing_are_told_at_once_but_no_more_than_can_be_read(tmp_path):
    def draw(m):
        m.add_lwpolyline([(0, 0), (300, 0), (300, 200)])
        m.add_lwpolyline([(0, 0), (30, 20), (30, 0), (0, 20)], close=True)
        m.add_3dface([(0, 0), (9, 0), (9, 9)])

    assert len(faults(dxf(tmp_path / "a.dxf", draw))) == 4  # an open path has two ends
    many = dxf(tmp_path / "b.dxf", lambda m: [m.add_line((n, 0), (n, 9)) for n in range(50)])
    found = faults(many)
    assert len(found) == 21
    assert "has 80 more faults like these" in found[-1].rule


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "must not be empty"),
        (b" \n\n", "must not be empty"),
        (bytes(range(256)) * 9, "must be a DXF or an SVG file"),
        (b"\x1f\x8b\x08rest", "must not be compressed"),
        (b"<svg", "well-formed XML"),
        ("<svg/>".encode("utf-16"), "must be svg, in the name space"),
        (b"0\nSECTION\n" + b"9" * (16 * 2**20), "must not be larger than 16 MB"),
    ],
)
def test_foreign_bytes_are_refused(tmp_path, data, words):
    file = tmp_path / "a.svg"
    file.write_bytes(data)
    (fault,) = faults(file)
    assert words in fault.rule
    assert fault.remedy


@given(st.binary(max_size=300), st.sampled_from((b"", b"0\nSECTION\n2\nENTITIES\n", b"<svg ")))
@settings(deadline=None, max_examples=80)
def test_no_bytes_make_a_traceback(tmp_path_factory, data, begin):
    file = tmp_path_factory.mktemp("bytes") / "a.dxf"
    file.write_bytes(begin + data)
    assert faults(file)


def test_a_file_that_goes_away_or_changes_is_noticed(tmp_path):
    file = dxf(tmp_path / "a.dxf", rectangle(300, 200))
    assert not faults(file)
    dxf(file, rectangle(300, 9_000))
    os.utime(file, ns=(1, 1))
    assert faults(file)
    file.unlink()
    assert "must be a file that can be read" in faults(file)[0].rule
    with pytest.raises(OrderError):
        OUTLINE.draft(values(file))


def test_an_allowance_wider_than_the_shape_bears_is_refused(tmp_path):
    file = dxf(tmp_path / "a.dxf", rectangle(300, 20))
    (fault,) = faults(file, 12.0)
    assert fault.place == "seam_allowance"
    assert not faults(file, 12.0, line="cut")
    (fault,) = faults(file, 12.0, line="cut", allowance_within=10.0)
    assert (fault.place, fault.value) == ("allowance_within", "10 mm")


# Pattern pieces by ASTM D6673

NAMES = [name for name in sorted(products()) if name != "outline"]


@pytest.mark.parametrize("name", [*NAMES, "outline"])
def test_the_pieces_of_every_product_come_back_as_they_were(tmp_path, name):
    product = products()[name]
    shown = {each.name: each.shown for each in product.measurements}
    ours = make_panels(product, shown, item="x", cloth="c", quantity=1, allowance_mm=12.0)
    file = tmp_path / "pieces.dxf"
    file.write_bytes(
        pieces_dxf(ours.panels, "o", "mm", created=DAY, author="m").files["pieces.dxf"]
    )
    theirs = made(file)
    assert [p.name for p in theirs.panels] == [f"x - {p.name}" for p in ours.panels]
    for one, other in zip(ours.panels, theirs.panels, strict=True):
        assert (one.cut, one.stitch) == (other.cut, other.stitch)
        assert [n.foot for n in one.notches] == [n.foot for n in other.notches]
        for a, b in zip(one.notches, other.notches, strict=True):
            assert math.dist(a.tip, b.tip) <= 1.5
        assert [d.at for d in one.drills] == [d.at for d in other.drills]
        assert (one.lines, one.inner_cuts) == (other.lines, other.inner_cuts)
        assert one.per_item == other.per_item
        assert {edge.allowance for edge in other.edges} == {1200}


@pytest.mark.parametrize("name", NAMES)
def test_pieces_written_as_halves_come_back_whole(tmp_path, name):
    product = products()[name]
    shown = {each.name: each.shown for each in product.measurements}
    ours = make_panels(product, shown, item="x", cloth="c", quantity=1, allowance_mm=12.0)
    export = pieces_dxf(ours.panels, "o", "mm", created=DAY, author="m", halves=True)
    file = tmp_path / "pieces.dxf"
    file.write_bytes(export.files["pieces.dxf"])
    for one, other in zip(ours.panels, made(file).panels, strict=True):
        for a, b in ((one.cut, other.cut), (one.stitch, other.stitch)):
            apart = shapely.Polygon(a.points).hausdorff_distance(shapely.Polygon(b.points))
            assert apart <= 1  # 0.01 mm
        assert len(one.notches) == len(other.notches)
        for notch in one.notches:
            assert min(math.dist(notch.foot, each.foot) for each in other.notches) <= 1.5


@pytest.mark.parametrize("name", ["round-cushion", "drum-pouf", "knife-edge-cushion"])
@pytest.mark.parametrize("halves", [False, True])
def test_a_slit_comes_back_from_pieces_whole_and_halved(tmp_path, name, halves):
    product = products()[name]
    shown = {each.name: each.shown for each in product.measurements} | {"closure": "slit"}
    ours = make_panels(product, shown, item="x", cloth="c", quantity=1, allowance_mm=12.0)
    export = pieces_dxf(ours.panels, "o", "mm", created=DAY, author="m", halves=halves)
    file = tmp_path / "pieces.dxf"
    file.write_bytes(export.files["pieces.dxf"])
    slits = 0
    for one, other in zip(ours.panels, made(file).panels, strict=True):
        assert len(one.inner_cuts) == len(other.inner_cuts)
        for slit, back in zip(one.inner_cuts, other.inner_cuts, strict=True):
            apart = shapely.LineString(slit).hausdorff_distance(shapely.LineString(back))
            assert apart <= 1.5  # 0.015 mm: the middle of a panel may lie between two grid lines
            slits += 1
    assert slits == 1


def test_a_half_is_unfolded_with_all_its_marks(tmp_path):
    half = Piece(
        "flap", 1, "c", SQUARE, GRAIN, mirror=((0.0, 0.0), (300.0, 0.0)),
        notches=(((300.0, 50.0), (294.0, 50.0)), ((0.0, 0.0), (6.0, 0.0))),
        drills=((100.0, 60.0), (150.0, 0.0)),
        internal=(((20.0, 0.0), (20.0, 30.0)), ((40.0, 20.0), (60.0, 20.0))),
    )  # fmt: skip
    (panel,) = made(pieces(tmp_path / "p.dxf", half)).panels
    assert (panel.cut.length, panel.cut.height) == (30_000, 40_000)
    assert {n.foot for n in panel.notches} == {(30_000, 25_000), (30_000, 15_000), (0, 20_000)}
    assert {d.at for d in panel.drills} == {(10_000, 26_000), (10_000, 14_000), (15_000, 20_000)}
    assert len(panel.lines) == 4


def test_edges_with_allowances_of_their_own_come_back_and_are_told(tmp_path):
    product = products()["box-cushion"]
    shown = {each.name: each.shown for each in product.measurements}
    shown |= {"closure": "zip", "zip_allowance": 20.0}
    ours = make_panels(product, shown, item="x", cloth="c", quantity=1, allowance_mm=10.0)
    file = tmp_path / "pieces.dxf"
    file.write_bytes(
        pieces_dxf(ours.panels, "o", "mm", created=DAY, author="m").files["pieces.dxf"]
    )
    theirs = made(file)
    for one, other in zip(ours.panels, theirs.panels, strict=True):
        assert (one.cut, one.stitch) == (other.cut, other.stitch)
    told = [fact.in_unit("mm") for fact in theirs.facts]
    assert any("its allowance goes from 10 mm to 20 mm" in words for words in told)


def test_marks_are_taken_by_layer(tmp_path):
    (panel,) = made(pieces(tmp_path / "p.dxf", SEWN)).panels
    assert (panel.name, panel.per_item) == ("flap", 2)
    assert [(n.foot, n.tip) for n in panel.notches] == [((15_000, 0), (15_000, 600))]
    assert [d.at for d in panel.drills] == [(10_000, 6_000)]
    assert panel.lines == (((2_000, 2_000), (6_000, 2_000), (6_000, 5_000)),)
    assert panel.inner_cuts == ()


def test_a_grain_line_turns_the_whole_piece(tmp_path):
    """The grain runs upward, so the length along the roll is the drawn height."""
    up = Piece("flap", 1, "c", SQUARE, ((50.0, 20.0), (50.0, 180.0)), drills=((100.0, 60.0),))
    (panel,) = made(pieces(tmp_path / "p.dxf", up)).panels
    assert (panel.cut.length, panel.cut.height) == (20_000, 30_000)
    assert [d.at for d in panel.drills] == [(6_000, 20_000)]  # (x, y) becomes (y, 300 - x)


def test_a_boundary_without_sew_line_is_the_cut_line_unless_the_order_says_otherwise(tmp_path):
    file = pieces(tmp_path / "p.dxf", PLAIN)
    (cut,) = made(file).panels
    assert (cut.cut.length, cut.stitch) == (30_000, None)
    (finished,) = made(file, line="finished").panels
    assert (finished.cut.length, finished.stitch.length) == (32_000, 30_000)


def test_notches_of_a_finished_shape_are_set_out_over_the_allowance(tmp_path):
    notched = Piece("flap", 1, "c", SQUARE, GRAIN, notches=SEWN.notches)
    (panel,) = made(pieces(tmp_path / "p.dxf", notched), line="finished").panels
    (notch,) = panel.notches
    assert notch.foot == (16_000, 0)
    assert notch.tip == (16_000, 700)  # 3 mm short of the stitch line


def test_a_cut_out_and_a_slit_are_cut_and_told(tmp_path):
    ring = ((100.0, 80.0), (120.0, 80.0), (120.0, 100.0), (100.0, 80.0))
    piece = Piece("{a}", 1, "c", SQUARE, GRAIN, inner_cuts=(ring, ((40.0, 50.0), (90.0, 70.0))))
    found = made(pieces(tmp_path / "p.dxf", piece))
    slit, cut_out = found.panels[0].inner_cuts
    assert slit == ((4_000, 5_000), (9_000, 7_000))
    assert cut_out == ((10_000, 8_000), (12_000, 8_000), (12_000, 10_000), (10_000, 8_000))
    assert found.panels[0].lines == ()
    assert "{a}: 2 cuts inside it, made before its outline is cut" in [
        fact.in_unit("mm") for fact in found.facts
    ]


@pytest.mark.parametrize("slit", [((20.0, 0.0), (20.0, 30.0)), ((20.0, 0.0), (90.0, 0.0))])
def test_a_slit_across_or_on_the_mirror_line_of_a_half_is_one_slit(tmp_path, slit):
    half = Piece(
        "flap", 1, "c", SQUARE, GRAIN, mirror=((0.0, 0.0), (300.0, 0.0)), inner_cuts=(slit,)
    )
    (panel,) = made(pieces(tmp_path / "p.dxf", half)).panels
    ((start, end),) = panel.inner_cuts
    (x, _), (u, v) = slit
    expected = {(x, 200 + v), (u, 200 - v)}  # the middle of the whole lies at 200 mm
    assert {(a / 100, b / 100) for a, b in (start, end)} == expected


@pytest.mark.parametrize(
    ("piece", "words"),
    [
        ({"boundary": ((0.0, 0.0), (300.0, 200.0), (300.0, 0.0), (0.0, 200.0))},
         'piece "flap", boundary, at (150, 100) mm: must not cross or touch itself'),
        ({"sew": (((-5.0, 5.0), (290.0, 10.0), (290.0, 190.0), (-5.0, 5.0)),)},
         'piece "flap", sew line: must lie inside the boundary'),
        ({"sew": (((10.0, 10.0), (290.0, 10.0), (290.0, 190.0)),)},
         "the path must be closed, but it ends here"),
        ({"sew": 2 * SEWN.sew}, "may have one closed sew line on layer 14: 2"),
        ({"notches": (((150.0, 30.0), (150.0, 36.0)),)}, "on the boundary: it is 30 mm off"),
        ({"drills": ((500.0, 5.0),)}, 'drill mark at (500, 5) mm: must lie inside the boundary'),
        ({"internal": (((5.0, 5.0), (500.0, 5.0)),)}, "internal line at (5, 5) mm: must lie"),
        ({"inner_cuts": (((5.0, 5.0), (5.0, 500.0)),)}, "inner cut at (5, 5) mm: must lie"),
        ({"inner_cuts": (((5.0, 5.0), (50.0, 5.0), (50.0, 50.0)),)},
         "the path must be closed, but it ends here"),
        ({"inner_cuts": 2 * (((5.0, 5.0), (50.0, 5.0)), ((50.0, 5.0), (90.0, 5.0)))},
         "no more than two lines may meet at a point"),
        ({"quantity": 0}, 'must have a whole number from 1 to 1000 as Quantity: "0"'),
        ({"mirror": ((0.0, -50.0), (300.0, -50.0))}, "must be half of an outline that its line"),
    ],
)  # fmt: skip
def test_pieces_that_cannot_be_cut_are_refused(tmp_path, piece, words):
    given_piece = {"boundary": SQUARE, "quantity": 1, "grain": GRAIN} | piece
    file = pieces(tmp_path / "p.dxf", Piece("flap", material="c", **given_piece))
    assert words in "\n".join(fault.rule for fault in faults(file))


def test_pieces_whose_names_would_be_one_on_a_panel_are_refused(tmp_path):
    file = pieces(
        tmp_path / "p.dxf",
        *(Piece(name, 1, "c", SQUARE, GRAIN) for name in ("seat / top", "seat  - top", "  ")),
    )
    rules = [fault.rule for fault in faults(file)]
    assert rules == [
        'piece "seat - top": must be there once: 2 times',
        "a piece: must have a name",
    ]


def test_what_the_order_says_against_the_pieces_is_refused_all_at_once(tmp_path):
    file = pieces(tmp_path / "p.dxf", SEWN)
    found = faults(file, line="cut", grain_degrees=90.0, allowance_within=5.0)
    assert [fault.place for fault in found] == ["line", "grain_degrees", "allowance_within"]
    assert "must have 3 pieces: 1 found" in faults(file, panels=3)[0].rule
    assert (
        "one unit of the drawing is 1 mm, but the order says in" in faults(file, unit="in")[0].rule
    )


def block(path, unit_text, draw, unit=0):
    """A file as another system might write it: light polylines, texts in small letters."""
    document = ezdxf.new("R2000")
    document.header["$INSUNITS"] = unit
    if unit_text:
        document.modelspace().add_text(unit_text)
    for name in ("front", "back"):
        each = document.blocks.new(name)
        each.add_text(f"piece name: {name}", dxfattribs={"layer": "1"})
        draw(each)
    text = io.StringIO()
    document.write(text)
    path.write_text(text.getvalue())
    return path


def on(layer):
    return {"dxfattribs": {"layer": str(layer)}}


def test_pieces_of_another_hand_are_read_in_inches_with_notches_as_lines(tmp_path):
    def draw(b):
        for a, c in (((0, 0), (12, 0)), ((12, 0), (12, 8)), ((12, 8), (0, 8)), ((0, 8), (0, 0))):
            b.add_line(a, c, **on(1))
        b.add_line((6, 0.25), (6, 0), **on(4))
        b.add_point((0, 4), **on(82))
        b.add_circle((3, 3), 0.1, **on(13))
        b.add_line((2, 4), (10, 4), **on(7))
        b.add_lwpolyline([(1, 1), (2, 1)], **on(9))

    found = made(block(tmp_path / "p.dxf", "UNITS: ENGLISH", draw)).panels
    assert [panel.name for panel in found] == ["front", "back"]
    panel = found[0]
    assert (panel.cut.length, panel.cut.height) == (30_480, 20_320)
    assert [(n.foot, n.tip) for n in panel.notches] == [
        ((15_240, 0), (15_240, 635)), ((0, 10_160), (400, 10_160)),
    ]  # fmt: skip
    assert [d.at for d in panel.drills] == [(7_620, 7_620)]
    assert panel.lines == ()


def test_pieces_that_say_no_unit_need_it_in_the_order(tmp_path):
    def draw(b):
        b.add_lwpolyline([(0, 0), (30, 0), (30, 20)], close=True, **on(1))

    file = block(tmp_path / "p.dxf", "", draw)
    assert "neither does" in faults(file)[0].rule
    assert made(file, unit="cm").panels[0].cut.length == 30_000
    assert made(block(tmp_path / "q.dxf", "", draw, unit=5)).panels[0].cut.length == 30_000


def test_one_piece_in_several_sizes_is_refused(tmp_path):
    document = ezdxf.new("R2000")
    document.header["$INSUNITS"] = 4
    for size in ("S", "M"):
        each = document.blocks.new(size)
        each.add_text("Piece Name: back", dxfattribs={"layer": "1"})
        each.add_lwpolyline([(0, 0), (300, 0), (300, 200)], close=True, **on(1))
    document.saveas(tmp_path / "p.dxf")
    (fault,) = faults(tmp_path / "p.dxf")
    assert 'piece "back": must be there once: 2 times' in fault.rule


def test_the_product_is_shown_with_a_drawing_of_our_own():
    (panel,) = made(None).panels
    assert panel.stitch.area_mm2 == pytest.approx(math.pi * 300**2 / 2, abs=CHORD_MM * 1600)
