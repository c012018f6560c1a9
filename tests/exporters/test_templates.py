import io
from dataclasses import replace

import numpy as np
import pypdf
import pytest
from pixels import PER_MM, count, lines_across, lines_up, rendered
from worked_lays import disc, gore, rectangle

from nesting.drawings.print.paper import A4, LETTER
from nesting.exporters.templates.book import templates
from nesting.exporters.templates.template import CUT, halves, whole
from nesting.exporters.templates.tiling import Printing, divided
from nesting.geometry.symmetry import Axis
from nesting.panels.panel import DrillMark, Notch
from nesting.units import CM, MM, M

SMALL = rectangle(18 * CM, 12 * CM, name="flap", item="bag", quantity=3)
LONG = rectangle(30 * CM, 12 * CM, name="side", item="bag", quantity=2, per_item=2)
LEAF = gore(62 * CM, 16 * CM, name="gore", item="pouf", per_item=8)

#: Pages before the first sheet when there are at most eight templates.
BEFORE = 2


def _pages(data):
    return pypdf.PdfReader(io.BytesIO(data)).pages


@pytest.mark.parametrize(("paper", "points"), [(A4, (595.276, 841.890)), (LETTER, (612, 792))])
def test_every_page_is_a_sheet_of_the_paper(paper, points):
    data = templates([SMALL, LONG, LEAF], "Order", "cm", Printing(paper))
    sizes = [tuple(map(float, page.mediabox[2:])) for page in _pages(data)]
    assert sizes[0] == pytest.approx(points, abs=0.001)
    assert all(size in ((w, h), (h, w)) for size in sizes for w, h in [sizes[0]])


def test_both_squares_measure_what_they_say_to_a_pixel():
    grey = rendered(templates([SMALL], "Order", "cm"))
    tops = lines_across(grey, 99)
    assert len(tops) == 4
    assert tops[1] - tops[0] == pytest.approx(100 * PER_MM, abs=1)
    assert tops[3] - tops[2] == pytest.approx(101.6 * PER_MM, abs=1)
    for above, below, side in ((tops[0], tops[1], 100), (tops[2], tops[3], 101.6)):
        left, right = lines_up(grey[int(above) : int(below) + 2], 99)
        assert right - left == pytest.approx(side * PER_MM, abs=1)


def test_a_panel_on_one_sheet_measures_its_cut_size_to_a_pixel():
    grey = rendered(templates([SMALL], "Order", "cm"), BEFORE)
    left, right = lines_up(grey, 119)
    top, low = lines_across(grey, 179)
    assert right - left == pytest.approx(180 * PER_MM, abs=1)
    assert low - top == pytest.approx(120 * PER_MM, abs=1)


@pytest.mark.parametrize(("paper", "margin"), [(A4, 15), (LETTER, 25)])
def test_nothing_is_printed_in_the_margins(paper, margin):
    data = templates([LONG, LEAF], "Order", "cm", Printing(paper, margin, halves=True))
    edge = margin * PER_MM - 3  # half of the trim lines, 0.2 mm wide, lies outside
    for number in range(count(data)):
        grey = rendered(data, number)
        inside = np.zeros(grey.shape, bool)
        inside[edge:-edge, edge:-edge] = True
        assert (grey[~inside] == 255).all()
        assert (grey < 128).any()


def test_what_a_sheet_shows_is_clipped_to_its_live_area():
    data = templates([LONG], "Order", "cm")
    content = _pages(data)[BEFORE].get_contents()
    operations = pypdf.generic.ContentStream(content, None).operations
    windows = [[float(v) for v in operands] for operands, name in operations if name == b"re"]
    # by hand: A4 upright (a tie), margins of 10 mm, a foot of 13 mm
    assert [pytest.approx((10, 23, 190, 264), abs=1e-3)] == windows


def _strips(data):
    """The overlap as both sheets of a template on two show it, less a millimetre for its lines."""
    first, second = (rendered(data, BEFORE + i) for i in range(2))
    inner = slice(11 * PER_MM, -24 * PER_MM)
    wide = first.shape[1]
    end, start = wide - 10 * PER_MM, 10 * PER_MM
    one = first[inner, end - 9 * PER_MM : end - PER_MM]
    other = second[inner, start + PER_MM : start + 9 * PER_MM]
    return one, other


def test_neighbouring_sheets_show_the_same_in_their_overlap():
    one, other = _strips(templates([LONG], "Order", "cm", Printing(overlap=10)))
    assert (one < 128).sum() > 100  # the panel's edges and the matching marks
    assert np.abs(one.astype(int) - other.astype(int)).max() <= 64
    assert ((one < 128) != (other < 128)).mean() < 0.002


def test_glued_together_two_sheets_make_the_panel_to_a_pixel():
    data = templates([LONG], "Order", "cm", Printing(overlap=10))
    first, second = (rendered(data, BEFORE + i) for i in range(2))
    end = first.shape[1] - 20 * PER_MM  # margin and overlap: the second lies over it from there
    glued = np.hstack((first[:, :end], second[:, 10 * PER_MM :]))
    edges = lines_up(glued[20 * PER_MM : -24 * PER_MM], 119)
    assert edges[-1] - edges[0] == pytest.approx(300 * PER_MM, abs=1)


def test_matching_marks_are_named_by_both_sheets():
    first, second = (page.extract_text() for page in _pages(templates([LONG], "Order", "cm"))[2:])
    assert "A1 · A2" in first
    assert "A1 · A2" in second


def test_every_sheet_says_which_panel_it_is_of_and_how_often_it_is_cut():
    data = templates([SMALL, LONG, LEAF], "Reading nook", "cm")
    pages = _pages(data)[BEFORE:]
    for page, panel in zip(pages[:3], [SMALL, LONG, LONG], strict=True):
        text = page.extract_text()
        for words in (
            f"{panel.item} / {panel.name}",
            f"cut {panel.copies} from teal twill",
            "allowance included: seam 1.0 cm",
            "grain along the arrow",
            "50 mm",
            "Reading nook",
        ):
            assert words in text
    assert "page 3 of" in pages[0].extract_text()


def test_the_map_names_every_template_its_size_and_its_pages():
    text = _pages(templates([SMALL, LONG], "Order", "cm"))[1].extract_text()
    assert "18.0 cm × 12.0 cm, whole, page 3" in text
    assert "30.0 cm × 12.0 cm, whole, pages 4 to 5" in text


def test_many_templates_have_as_many_maps_as_they_need():
    panels = [replace(SMALL, name=f"flap {i}") for i in range(17)]
    data = templates(panels, "Order", "cm")
    assert count(data) == 1 + 3 + 17
    assert "page 5" in _pages(data)[1].extract_text()


def test_a_cut_size_without_an_allowance_says_so():
    plain = replace(SMALL, stitch=None, notches=(), allowance=0)
    assert "no seam allowance" in _pages(templates([plain], "Order", "cm"))[2].extract_text()


def test_equal_panels_give_equal_bytes():
    assert templates([LONG], "Order", "cm") == templates([LONG], "Order", "cm")


# Halves on the fold


def _named(panel):
    return {half.fold: half for half in halves(panel, "cm")}


def test_a_rectangle_may_be_folded_both_ways():
    along, across = _named(LONG)[Axis.ALONG], _named(LONG)[Axis.ACROSS]
    assert (along.length, along.height) == (300, 60)
    assert (across.length, across.height) == (150, 120)


def test_a_gore_may_be_folded_both_ways_and_each_half_has_half_its_area():
    import shapely

    for half in halves(LEAF, "cm"):
        assert shapely.Polygon(half.ring).area == pytest.approx(LEAF.cut.area_mm2 / 2, rel=1e-9)
    assert len(halves(LEAF, "cm")) == 2


@pytest.mark.parametrize("panel", [LONG, LEAF, disc(20 * CM, name="cap", item="pouf")])
def test_a_half_and_its_mirror_image_make_the_whole(panel):
    import shapely
    from shapely.affinity import scale, translate

    whole_panel = shapely.Polygon([(x / 100, y / 100) for x, y in panel.cut.points])
    for half in halves(panel, "cm"):
        there = shapely.Polygon(half.ring)
        flip = (1, -1) if half.fold is Axis.ALONG else (-1, 1)
        back = scale(there, *flip, origin=(0, 0))
        opened = shapely.union(there, back)
        moved = translate(opened, -opened.bounds[0], -opened.bounds[1])
        assert moved.symmetric_difference(whole_panel).area < 1e-6


def test_a_notch_without_a_twin_forbids_the_fold():
    (foot, tip) = (0, 30 * MM), (7 * MM, 30 * MM)
    notched = replace(LONG, notches=(*LONG.notches, Notch(foot, tip)))
    assert set(_named(notched)) == set()
    twin = Notch((0, 90 * MM), (7 * MM, 90 * MM))
    assert set(_named(replace(notched, notches=(*notched.notches, twin)))) == {Axis.ALONG}


def test_a_stitch_line_off_the_middle_forbids_the_fold():
    from nesting.geometry.outline import Outline

    ring = ((CM, CM), (29 * CM, CM), (29 * CM, 10 * CM), (CM, 10 * CM))
    assert set(_named(replace(LONG, stitch=Outline(ring)))) == {Axis.ACROSS}


def test_a_panel_one_grid_unit_off_is_printed_whole():
    from nesting.geometry.outline import Outline

    ring = ((0, 0), (30 * CM, 0), (30 * CM, 12 * CM + 1), (0, 12 * CM))
    assert halves(replace(LONG, cut=Outline(ring), stitch=None, notches=()), "cm") == ()


def test_halves_are_printed_where_they_save_sheets_and_are_asked_for():
    asked = Printing(halves=True)
    wide = rectangle(26 * CM, 34 * CM, name="plate", item="bag")
    assert count(templates([wide], "Order", "cm")) == BEFORE + 2
    data = templates([wide], "Order", "cm", asked)
    assert count(data) == BEFORE + 1
    assert "on the fold" in _pages(data)[BEFORE].extract_text()
    assert "fold: lay this edge on the fold" in _pages(data)[BEFORE].extract_text()
    assert "A template with a fold is one half of its panel." in _pages(data)[
        0
    ].extract_text().replace("\n", " ")
    assert "on the fold" not in _pages(templates([SMALL], "Order", "cm", asked))[2].extract_text()


def test_the_half_on_paper_measures_half_the_panel_to_a_pixel():
    wide = rectangle(26 * CM, 34 * CM, name="plate", item="bag")
    data = templates([wide], "Order", "cm", Printing(halves=True))
    grey = rendered(data, BEFORE)
    left, right = lines_up(grey, 165)
    assert right - left == pytest.approx(260 * PER_MM, abs=1)
    (top,) = lines_across(grey, 255)
    ends = np.flatnonzero(grey[:, round(left)] < 128)
    assert ends.max() - top == pytest.approx(170 * PER_MM, abs=4)  # the fold line is 0.5 mm wide


def test_notches_of_a_half_are_those_on_its_side():
    (half,) = [h for h in halves(LONG, "cm") if h.fold is Axis.ALONG]
    assert len(half.panel.notches) == 2
    two_ended = [m for m in half.figure.marks if len(getattr(m, "points", ())) == 2]
    # one notch of two, the grain arrow's shaft, the fold
    assert len(two_ended) == 3


def test_labels_lie_within_their_panel():
    import shapely

    for panel in (SMALL, LEAF, disc(15 * CM, name="cap", item="pouf")):
        for template in (whole(panel, "cm"), *halves(panel, "cm")):
            ring = shapely.Polygon(template.ring)
            words = [mark for mark in template.figure.marks if hasattr(mark, "content")]
            assert words
            assert all(ring.contains(shapely.Point(mark.at)) for mark in words)


def test_the_fewest_sheets_decide_between_upright_and_lying_paper():
    tall = rectangle(15 * CM, 25 * CM, name="p", item="i")
    lying = rectangle(25 * CM, 15 * CM, name="p", item="i")
    assert [divided(whole(p, "cm"), Printing()).paper.width for p in (tall, lying)] == [210, 297]


def test_respelled_names_are_told_on_the_first_page():
    odd = [replace(SMALL, name=f"毛 {i}") for i in range(10)]
    text = " ".join(_pages(templates(odd, "Order", "cm"))[0].extract_text().split())
    assert (
        "These names are spelled with the letters that can be printed here: “Mao 0”, “Mao 1”,"
        in text
    )
    assert "“Mao 7” and 2 more." in text


def test_drill_marks_and_inner_lines_are_drawn_and_forbid_a_fold_that_they_do_not_mirror():
    drills = (DrillMark((10 * CM, 6 * CM)), DrillMark((20 * CM, 6 * CM)))
    inner = ((5 * CM, 3 * CM), (25 * CM, 3 * CM))
    slit = ((15 * CM, 2 * CM), (15 * CM, 4 * CM))  # on the fold across the grain
    marked = replace(LONG, drills=drills, lines=(inner,), inner_cuts=(slit,))
    assert set(_named(marked)) == {Axis.ACROSS}
    (half,) = halves(marked, "cm")
    strokes = [m.points for m in half.figure.marks if len(getattr(m, "points", ())) == 2]
    # by hand, from the fold at 15 cm: the line from 0 to 10 cm, the drill at 5 cm
    assert ((0.0, 30.0), (100.0, 30.0)) in [tuple(sorted(points)) for points in strokes]
    assert ((47.0, 60.0), (53.0, 60.0)) in strokes
    assert ((0.0, 20.0), (0.0, 40.0)) in [
        m.points for m in half.figure.marks if getattr(m, "look", None) == CUT
    ]
    strokes = [m for m in whole(marked, "cm").figure.marks if hasattr(m, "points")]
    assert [m.look for m in strokes if m.points == ((150.0, 20.0), (150.0, 40.0))] == [CUT]
    drawn = [m.points for m in strokes]
    assert ((50.0, 30.0), (250.0, 30.0)) in drawn
    assert sum(points == ((97.0, 60.0), (103.0, 60.0)) for points in drawn) == 1


@pytest.mark.parametrize("size", [(3 * MM, 3 * MM), (1 * M, 5 * MM), (5 * MM, 3 * M)])
def test_tiny_and_narrow_panels_are_printed_too_whole_and_in_halves(size):
    length, height = size
    grain = ((length // 4, height // 2), (3 * length // 4, height // 2))
    sliver = replace(rectangle(*size, name="tab", item="bag"), stitch=None, notches=(), grain=grain)
    for printing in (Printing(), Printing(halves=True)):
        pages = _pages(templates([sliver], "Order", "cm", printing))
        assert "bag / tab" in pages[BEFORE].extract_text()
    assert len(halves(sliver, "cm")) == 2
