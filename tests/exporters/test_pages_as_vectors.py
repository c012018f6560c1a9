"""Printed pages from their vectors: true scale, not mirrored, assembled from their sheets.

The lines are read from the content streams by `vector_pages`; the panels are lopsided,
so that no mirror image passes for them.
"""

import re
from collections import defaultdict
from dataclasses import replace
from itertools import pairwise

import pytest
import shapely
from shapely import affinity
from vector_pages import pages
from worked_lays import mixed_lay, order_lay, stepped

from nesting.drawings.print import pdf
from nesting.drawings.print.page import View
from nesting.drawings.print.paper import A4, LETTER
from nesting.exporters.marking.pages import marking_pages
from nesting.exporters.marking.wall_plan import wall_plan
from nesting.exporters.templates.book import templates
from nesting.exporters.templates.on_roll import roll_templates
from nesting.exporters.templates.tiling import Printing
from nesting.layouts.mirroring import Face
from nesting.panels.panel import DrillMark
from nesting.units import CM

#: How far a printed line may be from its place (mm): the file rounds its numbers.
ALLOWED_MM = 0.001


def lopsided(length, height):
    """A stepped strip with every kind of mark, none of them in the middle."""
    strip = stepped(length, height, name="side", item="bag")
    x, y = length // 5, height // 4
    return replace(
        strip,
        drills=(DrillMark((x, y)),),
        lines=(((2 * x, y), (3 * x, y), (3 * x, y + CM)),),
        inner_cuts=(((4 * x, y), (4 * x, 2 * y)),),
    )


def mm(points):
    return [(x / 100, y / 100) for x, y in points]


def wanted(panel):
    """What a template must show, by the width and dashes of its lines; a cross is 6 mm wide."""
    (tail_x, y), (head_x, _) = mm(panel.grain)
    arrow = [[(tail_x, y), (head_x, y)], [(head_x - 10, y + 4), (head_x, y), (head_x - 10, y - 4)]]
    ring, sewn = mm(panel.cut.points), mm(panel.stitch.points)
    crosses = [
        line
        for u, v in mm(drill.at for drill in panel.drills)
        for line in ([(u - 3, v), (u + 3, v)], [(u, v - 3), (u, v + 3)])
    ]
    notches = [mm((notch.foot, notch.tip)) for notch in panel.notches]
    return {
        (0.5, (), 0.0): [[*ring, ring[0]], *map(mm, panel.inner_cuts)],
        (0.25, (4.0, 2.0), 0.35): [[*sewn, sewn[0]]],
        (0.4, (), 0.0): [*notches, *crosses],
        (0.2, (), 0.35): [mm(line) for line in panel.lines],
        (0.3, (), 0.35): arrow,
    }


def drawn(sheets, look):
    """All that several sheets, each with its shift, show with lines of one look."""
    shapes = [
        affinity.translate(line.shape, *shift) for page, shift in sheets for line in page.of(*look)
    ]
    return shapely.union_all(shapes)


def same(shape, other):
    """Whether two sets of lines cover each other."""
    return not shape.is_empty and shapely.hausdorff_distance(shape, other, 0.1) <= ALLOWED_MM


def shows(sheets, panel, turns=(0,)):
    """Whether sheets show everything of a panel at true size, at one place and turn."""
    cut = drawn(sheets, (0.5, (), 0.0))
    return any(_shows(sheets, cut, panel, turn) for turn in turns)


def _shows(sheets, cut, panel, turn):
    meant = {
        look: affinity.rotate(shapely.MultiLineString(lines), turn, origin=(0, 0))
        for look, lines in wanted(panel).items()
    }
    x0, y0 = meant[0.5, (), 0.0].bounds[:2]
    shift = cut.bounds[0] - x0, cut.bounds[1] - y0
    return all(
        same(drawn(sheets, look), affinity.translate(lines, *shift))
        for look, lines in meant.items()
    )


def joins(page):
    """The middles of the matching marks of a sheet, by the two sheets that each is named for."""
    marks = [line.shape.centroid for line in page.of(0.2, (), 0.0) if len(line.points) == 5]
    found = defaultdict(list)
    for words, place in page.words:
        if re.fullmatch(r"[A-Z]+\d+ · [A-Z]+\d+", words):
            mark = min(marks, key=shapely.Point(place).distance)
            found[words].append((round(mark.x, 3), round(mark.y, 3)))
    return {name: sorted(places) for name, places in found.items()}


def assembled(sheets):
    """The sheets with their shifts, each laid to a neighbour so that their marks are one."""
    marks = [joins(page) for page in sheets]
    shifts, waiting = {0: (0.0, 0.0)}, [0]
    while waiting:
        one = waiting.pop()
        for other in range(len(sheets)):
            for name in marks[one].keys() & marks[other].keys() if other not in shifts else ():
                assert len(marks[one][name]) == len(marks[other][name]) == 2
                offsets = [
                    (ax + shifts[one][0] - bx, ay + shifts[one][1] - by)
                    for (ax, ay), (bx, by) in zip(marks[one][name], marks[other][name], strict=True)
                ]
                assert offsets[0] == pytest.approx(offsets[1], abs=ALLOWED_MM)
                shifts[other] = offsets[0]
                waiting.append(other)
    assert len(shifts) == len(sheets)
    return [(page, shifts[i]) for i, page in enumerate(sheets)]


PANEL = lopsided(64 * CM, 30 * CM)

PRINTINGS = [Printing(), Printing(LETTER, 15, 20), Printing(A4, 5, 30)]


@pytest.mark.parametrize("printing", PRINTINGS)
def test_the_sheets_of_a_template_make_its_panel_when_their_marks_are_joined(printing):
    _, _, *sheets = pages(templates([PANEL], "Order", "cm", printing))
    assert len(sheets) >= 6
    assert shows(assembled(sheets), PANEL)


def test_a_panel_on_one_sheet_is_printed_at_true_size_and_not_mirrored():
    small = lopsided(18 * CM, 14 * CM)
    (sheet,) = pages(templates([small], "Order", "cm"))[2:]
    assert shows([(sheet, (0.0, 0.0))], small)


def test_each_panel_of_a_roll_is_printed_at_true_size_and_not_mirrored():
    (page,) = pages(roll_templates([PANEL], "Order", "cm", 500))
    assert shows([(page, (0.0, 0.0))], PANEL, turns=(0, -90))


def test_a_panel_turned_on_a_roll_keeps_its_face():
    wide = lopsided(40 * CM, 64 * CM)
    (page,) = pages(roll_templates([wide], "Order", "cm", 500))
    assert shows([(page, (0.0, 0.0))], wide, turns=(-90,))


def test_a_panel_wider_than_the_roll_is_whole_when_its_pages_are_joined():
    wide = lopsided(120 * CM, 70 * CM)
    sheets = pages(roll_templates([wide], "Order", "cm", 400))
    assert len(sheets) > 1
    assert shows(assembled(sheets), wide)


def mirrored_view(mark):
    """A view whose figure is printed as its mirror image, as a faulty matrix would."""

    def flip(inner):
        if hasattr(inner, "points"):
            return replace(inner, points=tuple((x, 300.0 - y) for x, y in inner.points))
        return inner

    if not isinstance(mark, View):
        return mark
    figure = replace(mark.figure, marks=tuple(map(flip, mark.figure.marks)))
    return replace(mark, figure=figure)


def larger_view(mark):
    return replace(mark, scale=mark.scale * 1.001) if isinstance(mark, View) else mark


@pytest.mark.parametrize("spoil", [mirrored_view, larger_view])
@pytest.mark.parametrize("printed", [templates, lambda *a: roll_templates(*a, 500)])
def test_a_mirrored_or_stretched_template_would_be_found(monkeypatch, spoil, printed):
    sound = pdf.write
    monkeypatch.setattr(
        pdf,
        "write",
        lambda title, given: sound(
            title, [replace(page, marks=tuple(map(spoil, page.marks))) for page in given]
        ),
    )
    sheets = pages(printed([PANEL], "Order", "cm"))
    sheets = [(sheets[0], (0.0, 0.0))] if len(sheets) == 1 else assembled(sheets[2:])
    assert not shows(sheets, PANEL)


# Pictures of a lay: wall plan and marking-out

LAY = mixed_lay()


def seen(lay, face):
    """The outlines of a lay as they lie on the table; face down, the edges change places."""
    width = lay.cloth.width / 100
    rings = [mm(placed.outline.points) for placed in lay.placed]
    if face is Face.DOWN:
        rings = [[(x, width - y) for x, y in ring] for ring in rings]
    return shapely.MultiLineString([[*ring, ring[0]] for ring in rings])


def picture(page):
    """The outlines of the panels on a page, put together from its rows by the rulers below them.

    Returns their lines in millimetres of the page from the lower cut end, the width of
    the cloth there and the number of rows.
    """
    edges = sorted({round(level.bounds[1], 3) for level in levels(page.of(0.35, (), 0.0))})
    rows = list(zip(edges[::2], edges[1::2], strict=True))[::-1]
    panels = shapely.union_all([line.shape for line in page.of(0.3, (), 0.0)])
    pieces, along = [], 0.0
    for low, top in rows:
        (ruler,) = [r for r in levels(page.of(0.2, (), 0.3)) if 0.5 < low - r.bounds[1] < 1.5]
        start, _, end, _ = ruler.bounds
        row = panels & shapely.box(start, low - 0.05, end, top + 0.05)
        pieces.append(affinity.translate(row, along - start, -low))
        along += end - start
    return shapely.union_all(pieces), rows[0][1] - rows[0][0], len(rows)


def levels(lines):
    """The level segments of lines."""
    for part in shapely.get_parts([line.shape for line in lines]):
        for a, b in pairwise(part.coords):
            if abs(a[1] - b[1]) < 1e-6 and abs(a[0] - b[0]) > 1:
                yield shapely.LineString([a, b])


def long_lay():
    """The lay on a long cloth, of which a picture has several rows."""
    return replace(LAY, cloth=replace(LAY.cloth, buy_step=700 * CM))


@pytest.mark.parametrize("face", Face)
@pytest.mark.parametrize("lay", [LAY, long_lay()])
def test_the_wall_plan_shows_every_outline_to_the_scale_that_it_states(lay, face):
    page = pages(wall_plan(lay, "Order", "cm", face))[0]
    (scale,) = [float(w.split(":")[1]) for w, _ in page.words if w.startswith("scale 1 :")]
    shapes, wide, _ = picture(page)
    assert wide * scale == pytest.approx(lay.cloth.width / 100, abs=0.05)
    true = affinity.scale(shapes, scale, scale, origin=(0, 0))
    assert shapely.hausdorff_distance(true, seen(lay, face), 0.1) <= 0.005 * scale
    other = Face.DOWN if face is Face.UP else Face.UP
    assert shapely.hausdorff_distance(true, seen(lay, other), 0.1) > 10


@pytest.mark.parametrize("face", Face)
@pytest.mark.parametrize("lay", [LAY, long_lay()])
def test_the_picture_of_the_marking_pages_is_to_one_scale_and_not_mirrored(lay, face):
    page = pages(marking_pages(order_lay(lay), "cm", face))[0]
    shapes, wide, _ = picture(page)
    scale = lay.cloth.width / 100 / wide
    true = affinity.scale(shapes, scale, scale, origin=(0, 0))
    assert shapely.hausdorff_distance(true, seen(lay, face), 0.1) <= 0.005 * scale


def test_the_picture_of_a_long_cloth_is_put_together_from_rows():
    page = pages(marking_pages(order_lay(long_lay()), "cm"))[0]
    assert picture(page)[2] > 1


@pytest.mark.parametrize("face", Face)
def test_the_small_pictures_of_the_list_lie_as_their_panels_and_are_not_mirrored(face):
    """Each is a panel made smaller; the boxing alone has six corners."""
    page = pages(marking_pages(order_lay(LAY), "cm", face))[1]
    small = [line.shape for line in page.of(0.3, (), 0.0)]
    assert len(small) == len(LAY.placed)
    (boxing,) = [shape for shape in small if len(shape.coords) == 7]
    (placed,) = [one for one in LAY.placed if one.panel.name == "boxing"]
    ring = mm(placed.outline.points)
    own = shapely.LinearRing([(x, -y) for x, y in ring] if face is Face.DOWN else ring)
    scale = (boxing.bounds[3] - boxing.bounds[1]) / (own.bounds[3] - own.bounds[1])
    shrunk = affinity.scale(own, scale, scale, origin=(0, 0))
    apart = [a - b for a, b in zip(boxing.bounds[:2], shrunk.bounds[:2], strict=True)]
    assert shapely.hausdorff_distance(affinity.translate(shrunk, *apart), boxing, 0.1) <= ALLOWED_MM
