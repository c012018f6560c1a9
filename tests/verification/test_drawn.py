"""Faults planted in a lay drawing, checked as it is and after reading back its DXF file."""

import math
from dataclasses import replace

import pytest
import worked_lays
from reading_back import by_arcs, by_plot, by_r12, by_svg
from worked_lays import TWILL

from nesting.cloth.cloth import Nap
from nesting.drawings.drawing import Path, Pen
from nesting.drawings.dxf import reader as dxf_reader
from nesting.drawings.dxf import writer as dxf
from nesting.exporters.lay import lay_drawing, lay_in_plain_letters
from nesting.geometry.outline import Outline
from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.units import CM
from nesting.verification.drawn import check_drawing

MIXED = worked_lays.mixed_lay()


def of_one_way():
    """A plate, a cap that touches it, and three gores above, all pointing one way, no gap."""
    cloth = replace(TWILL, nap=Nap.ONE_WAY, gap=0)
    plate = worked_lays.rectangle(40 * CM, 30 * CM, name="plate", item="stool")
    cap = worked_lays.disc(20 * CM, name="cap", item="stool")
    leaf = worked_lays.gore(62 * CM, 16 * CM, name="gore", item="pouf", per_item=3)
    low = cloth.selvedge
    placed = (
        PlacedPanel(plate, 1, 1, 0, 2 * CM, low),
        PlacedPanel(cap, 1, 1, 0, 42 * CM, low),
        *(PlacedPanel(leaf, 1, n, 0, 2 * CM, low + (15 + 16 * n) * CM) for n in (1, 2, 3)),
    )
    return ClothLay(cloth, (plate, cap, leaf), placed, 50 * CM, proved_optimal=False)


ONE_WAY = of_one_way()


@pytest.fixture(params=["drawing", "file"])
def check(request):
    """Check a drawing of a lay: as it is, or after reading back its DXF file."""

    def checked(drawing, lay=MIXED):
        if request.param == "file":
            drawing = dxf_reader.read(dxf.write(drawing))
        return check_drawing(drawing, lay.cloth, lay.panels)

    return checked


def cut_of(drawing, lay, name):
    """Index of the panel's cut path: the exporter keeps the order of the lay."""
    names = [f"{p.panel.item} / {p.panel.name} / {p.copy}.{p.part}" for p in lay.placed]
    cuts = [index for index, path in enumerate(drawing.paths) if path.pen is Pen.CUT]
    return cuts[names.index(name)]


def with_path(drawing, index, path):
    """The drawing with one path replaced, or removed if ``path`` is None."""
    new = () if path is None else (path,)
    return replace(drawing, paths=(*drawing.paths[:index], *new, *drawing.paths[index + 1 :]))


def marks_of(drawing, lay, name):
    """Indices of all marks of the panel, and of its cut path as the last."""
    last = cut_of(drawing, lay, name)
    others = (Pen.CUT, Pen.SELVEDGE)
    before = [i for i, path in enumerate(drawing.paths[:last]) if path.pen in others]
    return range(before[-1] + 1, last + 1)


def moved(drawing, lay, name, move):
    """The drawing with every point of one panel, label included, moved by a function."""
    indices = marks_of(drawing, lay, name)
    paths = [
        replace(path, points=tuple(move(*p) for p in path.points)) if i in indices else path
        for i, path in enumerate(drawing.paths)
    ]
    texts = [
        replace(text, at=move(*text.at)) if text.content == name else text for text in drawing.texts
    ]
    return replace(drawing, paths=tuple(paths), texts=tuple(texts))


def renamed(drawing, names):
    """The drawing with labels exchanged."""
    texts = tuple(replace(t, content=names.get(t.content, t.content)) for t in drawing.texts)
    return replace(drawing, texts=texts)


def numbers(findings):
    return [one.number for one in findings]


@pytest.mark.parametrize("lay", [MIXED, ONE_WAY])
def test_a_sound_drawing_has_no_findings(check, lay):
    assert check(lay_drawing(lay), lay) == ()


@pytest.mark.parametrize("name", ["cushion / plate / 1.2", "pouf / cap / 1.1", "pouf / gore / 1.2"])
@pytest.mark.parametrize("way", [0, 60, 120, 180, 240, 300])
def test_a_vertex_moved_by_a_tenth_is_found(check, name, way):
    drawing = lay_drawing(MIXED)
    index = cut_of(drawing, MIXED, name)
    points = list(drawing.paths[index].points)
    x, y = points[len(points) // 3]
    angle = math.radians(way)
    points[len(points) // 3] = (x + 0.1 * math.cos(angle), y + 0.1 * math.sin(angle))
    path = replace(drawing.paths[index], points=tuple(points))
    (finding,) = [one for one in check(with_path(drawing, index, path)) if one.number == 202]
    assert finding.where == f"teal twill: {name}"
    assert "differs by 0.10 mm" in finding.detail


def test_swapped_names_are_found_at_both_panels(check):
    first, second = "cushion / plate / 1.1", "pouf / gore / 1.1"
    findings = check(renamed(lay_drawing(MIXED), {first: second, second: first}))
    assert numbers(findings) == [202, 202]
    assert {one.where for one in findings} == {f"teal twill: {name}" for name in (first, second)}


def test_a_panel_against_the_nap_is_found(check):
    name = "pouf / gore / 1.2"
    box = next(p for p in ONE_WAY.placed if (p.panel.name, p.part) == ("gore", 2)).outline.bounds
    middle_x, middle_y = (box[0] + box[2]) / 100, (box[1] + box[3]) / 100
    drawing = moved(lay_drawing(ONE_WAY), ONE_WAY, name, lambda x, y: (middle_x - x, middle_y - y))
    (finding,) = check(drawing, ONE_WAY)
    assert (finding.number, finding.where) == (401, f"teal twill: {name}")


def test_a_panel_turned_under_its_grain_line_is_found(check):
    cut = Outline(((0, 0), (40 * CM, 0), (40 * CM, 30 * CM), (0, 20 * CM)))
    wedge = replace(ONE_WAY.panels[0], cut=cut, stitch=None)
    lay = replace(ONE_WAY, panels=(wedge,), placed=(replace(ONE_WAY.placed[0], panel=wedge),))
    drawing = lay_drawing(lay)
    assert check(drawing, lay) == ()
    index = cut_of(drawing, lay, "stool / plate / 1.1")
    turned = tuple((440 - x, 330 - y) for x, y in drawing.paths[index].points)
    path = replace(drawing.paths[index], points=turned)
    assert 202 in numbers(check(with_path(drawing, index, path), lay))
    mirrored = tuple((x, 330 - y) for x, y in drawing.paths[index].points)
    path = replace(drawing.paths[index], points=mirrored)
    assert {202, 203} <= set(numbers(check(with_path(drawing, index, path), lay)))


def test_a_removed_panel_is_found(check):
    drawing, name = lay_drawing(MIXED), "pouf / cap / 1.1"
    indices = marks_of(drawing, MIXED, name)
    paths = tuple(path for i, path in enumerate(drawing.paths) if i not in indices)
    texts = tuple(text for text in drawing.texts if text.content != name)
    (finding,) = check(replace(drawing, paths=paths, texts=texts))
    assert (finding.number, finding.where) == (101, f"teal twill: {name}")


def test_a_removed_cut_line_leaves_its_label_outside_all_outlines(check):
    drawing, name = lay_drawing(MIXED), "pouf / cap / 1.1"
    findings = check(with_path(drawing, cut_of(drawing, MIXED, name), None))
    # the last two are the cap's stitch line and notch, now in no outline
    assert numbers(findings) == [601, 101, 608, 608]
    assert (
        f"the label {name} at (120.00, 765.00) mm is not inside any cut outline"
        in findings[0].detail
    )


def test_a_panel_over_the_selvedge_line_is_found(check):
    name = "cushion / plate / 1.1"
    drawing = moved(lay_drawing(MIXED), MIXED, name, lambda x, y: (x, y - 0.1))
    (finding,) = check(drawing)
    assert (finding.number, finding.where) == (301, f"teal twill: {name}")
    assert finding.detail.startswith("0.10 mm beyond the lower selvedge line")


def test_a_panel_in_its_neighbour_is_found(check):
    name = "stool / cap / 1.1"
    assert (
        check(moved(lay_drawing(ONE_WAY), ONE_WAY, name, lambda x, y: (x - 0.02, y)), ONE_WAY) == ()
    )
    (finding,) = check(
        moved(lay_drawing(ONE_WAY), ONE_WAY, name, lambda x, y: (x - 0.1, y)), ONE_WAY
    )
    assert finding.number == 303
    assert finding.where == "teal twill: stool / plate / 1.1 and stool / cap / 1.1"
    assert finding.detail.startswith("0.10 mm deep")


def test_a_panel_in_the_gap_of_its_neighbour_is_found(check):
    name = "cushion / plate / 1.2"
    (finding,) = check(moved(lay_drawing(MIXED), MIXED, name, lambda x, y: (x, y - 0.1)))
    assert finding.number == 304
    assert finding.detail.startswith("2.90 mm apart instead of 3.00 mm")


def test_a_copy_drawn_twice_is_found(check):
    names = {"pouf / gore / 1.2": "pouf / gore / 1.1"}
    findings = check(renamed(lay_drawing(MIXED), names))
    assert [(one.number, one.where) for one in findings] == [
        (102, "teal twill: pouf / gore / 1.1"),
        (101, "teal twill: pouf / gore / 1.2"),
    ]


def test_an_unknown_name_and_a_missing_one_are_found(check):
    drawing = lay_drawing(MIXED)
    assert numbers(check(renamed(drawing, {"pouf / cap / 1.1": "pouf / lid / 1.1"}))) == [103, 101]
    assert numbers(check(renamed(drawing, {"pouf / cap / 1.1": "the cap"}))) == [601, 101]


def test_two_labels_in_one_outline_are_found(check):
    drawing = lay_drawing(MIXED)
    (label,) = [text for text in drawing.texts if text.content == "pouf / cap / 1.1"]
    twice = replace(drawing, texts=(*drawing.texts, replace(label, content="pouf / cap / 9.9")))
    (finding,) = check(twice)
    assert finding.number == 601
    assert "pouf / cap / 1.1, pouf / cap / 9.9" in finding.detail


def test_a_missing_second_or_skew_grain_line_is_found(check):
    drawing, name = lay_drawing(MIXED), "pouf / cap / 1.1"
    (grain,) = [
        index
        for index in marks_of(drawing, MIXED, name)
        if drawing.paths[index].pen is Pen.GRAIN and len(drawing.paths[index].points) == 2
    ]
    tail, head = drawing.paths[grain].points
    skew = replace(drawing.paths[grain], points=(tail, (head[0], head[1] + 0.5)))
    second = replace(drawing, paths=(*drawing.paths, drawing.paths[grain]))
    for faulty in (with_path(drawing, grain, None), with_path(drawing, grain, skew), second):
        (finding,) = check(faulty)
        assert (finding.number, finding.where) == (602, f"teal twill: {name}")


def test_an_open_cut_line_is_found(check):
    drawing = lay_drawing(MIXED)
    index = cut_of(drawing, MIXED, "pouf / cap / 1.1")
    opened = replace(drawing.paths[index], closed=False)
    findings = check(with_path(drawing, index, opened))
    # the last two are its stitch line and notch, now in no outline
    assert numbers(findings) == [605, 601, 101, 608, 608]


@pytest.mark.parametrize("y", [15.0, 1385.0])
def test_a_missing_or_moved_selvedge_line_is_found(check, y):
    drawing = lay_drawing(MIXED)
    (index,) = [
        i
        for i, path in enumerate(drawing.paths)
        if path.pen is Pen.SELVEDGE and {point[1] for point in path.points} == {y}
    ]
    points = tuple((x, y + 0.1) for x, y in drawing.paths[index].points)
    for path in (None, replace(drawing.paths[index], points=points)):
        (finding,) = check(with_path(drawing, index, path))
        assert (finding.number, finding.detail) == (603, f"no line at y = {y:.2f} mm")


def test_a_cloth_edge_of_another_length_is_found(check):
    drawing = lay_drawing(MIXED)
    (index,) = [
        i for i, path in enumerate(drawing.paths) if path.pen is Pen.SELVEDGE and path.closed
    ]
    points = tuple((800.0 if x else x, y) for x, y in drawing.paths[index].points)
    (finding,) = check(with_path(drawing, index, replace(drawing.paths[index], points=points)))
    assert (finding.number, finding.detail) == (
        604,
        "no closed line from (0, 0) to (700.00, 1400.00) mm",
    )


def test_everything_is_missing_from_an_empty_sheet(check):
    drawing = replace(lay_drawing(MIXED), paths=(), texts=())
    assert numbers(check(drawing)) == [101] * 6 + [604, 603, 603]


def test_paths_without_points_or_numbers_raise_no_error():
    drawing = lay_drawing(MIXED)
    odd = (
        Path(Pen.CUT, ()),
        Path(Pen.CUT, ((0, 0), (math.nan, 1), (2, 2)), closed=True),
        Path(Pen.GRAIN, ((50, 50), (50, 50))),
    )
    findings = check_drawing(
        replace(drawing, paths=(*drawing.paths, *odd)), MIXED.cloth, MIXED.panels
    )
    assert numbers(findings) == [605, 605]


def test_an_item_may_have_slashes_in_its_name(check):
    panel = replace(ONE_WAY.panels[0], item="window seat / left")
    lay = replace(ONE_WAY, panels=(panel,), placed=(replace(ONE_WAY.placed[0], panel=panel),))
    assert check(lay_drawing(lay), lay) == ()


def test_an_outline_that_crosses_itself_is_found(check):
    drawing, name = lay_drawing(MIXED), "pouf / cap / 1.1"
    index = cut_of(drawing, MIXED, name)
    points = list(drawing.paths[index].points)
    points[10], points[11] = points[11], points[10]
    crossed = replace(drawing.paths[index], points=tuple(points))
    findings = check(with_path(drawing, index, crossed))
    assert (201, f"teal twill: {name}") in [(one.number, one.where) for one in findings]


@pytest.mark.parametrize("way", [by_r12, by_arcs, by_svg, by_plot])
def test_in_every_format_a_sound_lay_has_no_findings_and_planted_faults_are_found(way):
    drawing, name = lay_drawing(MIXED), "pouf / gore / 1.1"

    def found(faulty):
        return numbers(check_drawing(way(faulty), MIXED.cloth, MIXED.panels))

    assert found(drawing) == []
    assert found(moved(drawing, MIXED, name, lambda x, y: (x, y + 3.2))) == [303]  # 0.2 mm deep
    assert found(moved(drawing, MIXED, name, lambda x, y: (x, y + 1.0))) == [304]  # 2 mm apart
    assert 101 in found(renamed(drawing, {name: "pouf / gore / 1.7"}))


@pytest.mark.parametrize(("way", "least"), [(by_plot, 0.02 + 2 * 0.0177), (by_svg, 0.02)])
def test_a_format_is_allowed_its_own_rounding_and_no_more(way, least):
    """The cap lies 3 mm from the plate below it; it may be nearer by less than the allowance."""
    drawing, name = lay_drawing(ONE_WAY), "pouf / gore / 1.1"
    for off, wanted in ((least - 0.015, []), (least + 0.03, [303])):
        nearer = moved(drawing, ONE_WAY, name, lambda x, y, off=off: (x, y + off))
        assert numbers(check_drawing(way(nearer), ONE_WAY.cloth, ONE_WAY.panels)) == wanted


def test_names_in_plain_letters_are_recognised_and_others_are_not():
    panels = {p: replace(p, item="Größe" if p.item == "pouf" else "é") for p in MIXED.panels}
    lay = replace(
        MIXED,
        panels=tuple(panels.values()),
        placed=tuple(replace(one, panel=panels[one.panel]) for one in MIXED.placed),
    )
    plain, notes = lay_in_plain_letters(lay)
    assert len(notes) == 2
    assert {one.panel.item for one in plain.placed} == {"Groesse", "e"}
    drawing = lay_drawing(plain)
    assert check_drawing(drawing, lay.cloth, lay.panels) == ()
    other = renamed(drawing, {"Groesse / cap / 1.1": "Gruesse / cap / 1.1"})
    assert numbers(check_drawing(other, lay.cloth, lay.panels)) == [103, 101]
