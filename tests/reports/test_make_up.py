"""The making-up sheet, read back and compared with what was made."""

import math
import re
from dataclasses import replace
from html.parser import HTMLParser
from itertools import combinations

import pytest
import shapely
import shapely.affinity

from nesting.panels.cautions import BEADS, BLADES, FIRE, LOCAL_RULES
from nesting.panels.drafting.draft import EdgeUse, Fact
from nesting.panels.drafting.seams import SeamMeasure
from nesting.panels.drafting.sewing import (
    Notion,
    NotionKind,
    Step,
    Stitch,
    beads,
    cord,
    fibre,
    foam,
)
from nesting.panels.making import make_panels
from nesting.panels.panel import DrillMark, Notch
from nesting.panels.product import products
from nesting.reports.make_up import Article, make_up_pages
from nesting.reports.panel_figures import panel_figures
from nesting.reports.seam_table import seam_rows
from nesting.units import CM, format_length, to_grid, to_mm


def made(name, allowance_mm=10.0, quantity=2, **given):
    product = products()[name]
    values = {m.name: given.get(m.name, m.shown) for m in product.measurements}
    return make_panels(
        product, values, item="seat", cloth="twill", quantity=quantity, allowance_mm=allowance_mm
    )


CUSHION = made("box-cushion", length=500.0, width=400.0, thickness=80.0)
POUF = made("gored-pouf", diameter=500.0, height=380.0, gores=10, cap_diameter=180.0)


class Page(HTMLParser):
    """What the pages say: captions, rows of tables, list items, and what they draw."""

    def __init__(self, data):
        super().__init__()
        self.figures, self.rows, self.points, self.text, self.loads = [], [], [], "", []
        self._open = []
        self.feed(data.decode())

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        self.loads += [given[key] for key in ("src", "href") if key in given]
        self._open.append(tag)
        if tag == "figure":
            self.figures.append({"texts": [], "caption": ""})
        if tag == "svg":
            self.figures[-1] |= given
        if tag == "path":
            self.figures[-1][given["class"]] = given["d"]
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append("")
        if tag == "li":
            self.points.append("")
        if tag in ("meta", "input", "path"):
            self._open.pop()

    def handle_endtag(self, tag):
        if tag != "path":
            assert self._open.pop() == tag, f"{tag} is not closed in its place"

    def handle_data(self, data):
        shown = " ".join(data.split())
        if "style" in self._open or not shown:
            return
        self.text += f"{shown} "
        if "text" in self._open:
            self.figures[-1]["texts"].append(shown)
        elif "figcaption" in self._open:
            self.figures[-1]["caption"] += f"{shown} "
        elif {"td", "th"} & set(self._open):
            self.rows[-1][-1] = f"{self.rows[-1][-1]} {shown}".strip()
        elif "li" in self._open:
            self.points[-1] = f"{self.points[-1]} {shown}".strip()

    def row(self, name):
        (found,) = [row for row in self.rows if row[0] == name]
        return found


def page(one, units="cm", summary="a cushion"):
    return Page(make_up_pages("Reading nook", units, [Article(one, summary)]))


def extents(path):
    """Width and height of the lines of a path of relative steps."""
    numbers = [float(n) for n in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", path)]
    xs, ys = [numbers[0]], [numbers[1]]
    for dx, dy in zip(numbers[2::2], numbers[3::2], strict=True):
        xs.append(xs[-1] + dx)
        ys.append(ys[-1] + dy)
    return max(xs) - min(xs), max(ys) - min(ys)


@pytest.mark.parametrize("one", [CUSHION, POUF], ids=["cushion", "pouf"])
def test_every_panel_is_numbered_counted_and_drawn_to_its_stated_scale(one):
    figures = page(one).figures
    for number, (panel, figure) in enumerate(zip(one.panels, figures, strict=True), start=1):
        assert figure["caption"].startswith(
            f"{number}. {panel.name} , {panel.per_item} in each, {panel.copies} in total"
        )
        assert str(number) in figure["texts"]
        size = to_mm(panel.cut.length), to_mm(panel.cut.height)
        assert extents(figure["cut"]) == pytest.approx(size, abs=0.2)
        (scale,) = re.findall(r"1 : (\d+)", figure["caption"])
        (paper,) = re.findall(r"width: ([\d.]+)mm", figure["style"])
        assert float(figure["viewbox"].split()[2]) / float(paper) == pytest.approx(
            int(scale), rel=0.001
        )
        assert max(size[0] / 72, size[1] / 90) <= int(scale)


def test_panels_other_than_strips_share_a_scale():
    """62 cm over 72 mm of paper: 1:10 (8.6). A strip of 222 cm over 90 mm: 1:25 (24.7)."""
    scales = [figure.scale for figure in panel_figures(CUSHION.panels, "p")]
    assert len(set(scales)) == 1
    long = made("box-cushion", length=600.0, width=500.0, thickness=80.0, strips=1)
    by_name = {
        panel.name: figure.scale
        for panel, figure in zip(long.panels, panel_figures(long.panels, "p"), strict=True)
    }
    assert by_name == {"plate": 10, "boxing": 25}


@pytest.mark.parametrize("one", [CUSHION, POUF], ids=["cushion", "pouf"])
def test_every_edge_is_named_on_its_panel(one):
    for panel, figure in zip(one.panels, page(one).figures, strict=True):
        assert set(figure["texts"][:-1]) == {edge.name for edge in panel.edges}


@pytest.mark.parametrize("name", sorted(products()))
def test_names_are_inside_the_stitch_line_or_beside_the_panel_and_do_not_overlap(name):
    one = made(name)
    for panel, figure in zip(one.panels, panel_figures(one.panels, "p"), strict=True):
        inside, cut = (
            shapely.Polygon([(to_mm(x), -to_mm(y)) for x, y in outline.points])
            for outline in (panel.stitch, panel.cut)
        )
        x, y, width, height = map(float, figure.box.split())
        drawn = shapely.box(x, y, x + width, y + height)
        grounds = []
        for each in figure.edge_names:
            half, high = figure.letters * len(each.name) * 0.25, figure.letters * 0.45
            ground = shapely.box(each.x - half, each.y - high, each.x + half, each.y + high)
            grounds.append(shapely.affinity.rotate(ground, each.angle, origin=(each.x, each.y)))
            assert -90 <= each.angle <= 90
            assert drawn.covers(grounds[-1])
            assert cut.disjoint(grounds[-1]) if each.outside else inside.covers(grounds[-1])
        assert not any(a.intersects(b) for a, b in combinations(grounds, 2))


@pytest.mark.parametrize(
    ("one", "opening"), [(CUSHION, "48.0 cm"), (POUF, "20.0 cm")], ids=["cushion", "pouf"]
)
def test_steps_are_in_the_order_of_sewing_with_every_seam_once(one, opening):
    """Foam goes in along the back: 50 - 2 · 1 cm (by hand); fibre by two hands' width."""
    read = page(one)
    shown = [re.sub(r"^\d+ ", "", point) for point in read.points if re.match(r"\d+ ", point)]
    for step, point in zip(one.steps, shown, strict=True):
        words = Fact(step.words.replace("{opening}", opening), step.lengths_mm).in_unit("cm")
        assert point.lower().startswith(words.lower())
    for seam in one.seams:
        row = read.row(seam.seam)
        stays_open = f" leave {opening} open" if seam.opening_mm else ""
        assert row[2] == format_length(to_grid(seam.second_mm), "cm") + stays_open
        assert row[3] == ("once" if seam.times == 1 else f"{seam.times} times")
        assert row[4] == "1.0 cm"
        counts = dict(reversed(pair.split()) for pair in row[5].split(", ") if row[5] != "none")
        assert (int(counts.get("single", 0)), int(counts.get("double", 0))) == seam.notches
        assert row[6] == seam.stitch.value


def use(panel, edge):
    """One side of a seam: an edge."""
    return (EdgeUse(panel, edge),)


def test_edges_are_listed_with_the_number_of_their_panel():
    """The plate is panel 1, the long boxing 2; ten gores meet a cap."""
    edges = page(CUSHION).row("boxing to top plate, front")[1]
    assert edges == "[1] plate front to [2] boxing-long upper"
    seam = SeamMeasure("rim", (EdgeUse("plate", "left", 2), EdgeUse("plate", "front"),
                       EdgeUse("plate", "right")), use("boxing-long", "upper"),
                       1800.0, 1800.0, 0.0)  # fmt: skip
    shown = page(replace(CUSHION, seams=(seam,), steps=())).row("rim")[1]
    assert shown == "2 × [1] plate left + [1] plate front + right to [2] boxing-long upper"
    assert page(POUF).row("gores to cap at the top")[1] == "10 × [1] gore top to [2] cap rim"


def two_cloths(name, cloths, **given):
    product = products()[name]
    values = {m.name: given.get(m.name, m.shown) for m in product.measurements}
    return make_panels(
        product, values, item="seat", cloth="teal twill", quantity=1, allowance_mm=10.0,
        panel_cloths=cloths,
    )  # fmt: skip


def test_a_panel_from_another_cloth_is_distinguished_from_equal_ones():
    read = page(two_cloths("box-cushion", {"bottom-plate": "calico"}))
    captions = [figure["caption"] for figure in read.figures]
    assert captions[0].startswith("1. plate (top, teal twill) , 1 in each")
    assert captions[1].startswith("2. plate (bottom, calico) , 1 in each")
    assert "On the lay plan bottom-plate" in captions[1]
    assert captions[2].startswith("3. boxing-long , ")
    assert "On the lay" not in captions[2]
    front = "[1] plate (top, teal twill) front to [3] boxing-long upper"
    assert read.row("boxing to top plate, front")[1] == front
    front = "[2] plate (bottom, calico) front to [3] boxing-long lower"
    assert read.row("boxing to bottom plate, front")[1] == front
    assert " or " not in " ".join(row[1] for row in read.rows)


@pytest.mark.parametrize(
    ("name", "part", "shown"),
    [
        ("round-cushion", "top-plate", ["plate (bottom, teal twill)", "plate (top, calico)"]),
        ("shaped-seat", "bottom-plate", ["plate (top, teal twill)", "plate (bottom, calico)"]),
        ("drum-pouf", "bottom-plate", ["plate (top, teal twill)", "plate (bottom, calico)"]),
        ("footstool", "bottom", ["face (top, teal twill)", "face (bottom, calico)"]),
        ("knife-edge-cushion", "back", ["cover (front, teal twill)", "cover (back, calico)"]),
        ("bolster", "left-end", ["end (right, teal twill)", "end (left, calico)"]),
        ("waterfall-cushion", "left-side", ["side (right, teal twill)", "side (left, calico)"]),
    ],
)
def test_seams_name_the_one_of_a_pair_that_they_join(name, part, shown):
    read = page(two_cloths(name, {part: "calico"}))
    assert [name for name in shown if f"] {name} " in read.text] == shown
    assert not re.search(r"\[\d+ or \d+\]", read.text)


def test_the_two_of_a_pair_may_be_from_different_cloths():
    one = two_cloths("box-cushion", {"top-plate": "velvet", "bottom-plate": "calico"})
    names = [figure["caption"].split(" ,")[0] for figure in page(one).figures]
    assert names[:2] == ["1. plate (top, velvet)", "2. plate (bottom, calico)"]


def test_openings_ease_and_several_allowances_are_stated():
    seams = (
        SeamMeasure("zip", use("plate", "front"), use("plate", "back"), 400.0, 400.0, 0.0,
                    opening_mm=300.0, allowances_mm=(10.0, 20.0), notches=(2, 0)),
        SeamMeasure("ruffle", use("plate", "left"), use("plate", "right"), 600.0, 400.0, 50.0,
                    stitch=Stitch.GATHERING, allowances_mm=(10.0,), notches=(3, 1)),
        SeamMeasure("sleeve", use("plate", "left"), use("plate", "right"), 412.0, 400.0, 3.0),
    )  # fmt: skip
    one = replace(CUSHION, seams=seams, steps=(Step("sew", ("zip", "ruffle")),))
    read = page(one)
    assert read.row("zip")[2:6] == [
        "40.0 cm leave 30.0 cm open", "once", "1.0 cm and 2.0 cm", "2 single",
    ]  # fmt: skip
    assert read.row("ruffle")[1].endswith("the first edge is 50 % longer: gather it in")
    assert read.row("ruffle")[5:] == ["3 single, 1 double", "gathering stitch"]
    # a seam that no step names is still listed
    assert read.row("sleeve")[1].endswith("the first edge is 3 % longer: ease it in")
    assert "2 Sew the remaining seams" in read.text
    assert read.row("sleeve")[4:6] == ["none", "none"]


def test_the_end_of_a_welt_is_called_an_overlap_and_not_ease():
    """Four sides of 500 and 400 mm make 1800 mm, and 30 mm overlap the beginning."""
    welted = made("box-cushion", length=500.0, width=400.0, welt_cord=5.0, welt_strips=2)
    row = page(welted).row("welt at top plate")
    assert row[1] == (
        "2 × [4] welt lower to [1] plate left + front + right + back "
        "lap the end of the first edge over its start by 3.0 cm"
    )
    assert row[2:4] == ["180.0 cm", "once"]
    (shown,) = (each for each in seam_rows(welted, "cm") if each.seam == "welt at top plate")
    assert (shown.ease, shown.meets) == ("overlap 3.00 cm", True)
    assert {each.ease for each in seam_rows(CUSHION, "cm")} == {"none"}


def test_thread_is_stated_for_one_item_and_for_all():
    """3920 mm of seams (by hand in tests/panels/test_sewing.py), times 2.5 and 1.15: 11.27 m.

    Two take 22.54 m. Both are rounded up to whole metres.
    """
    (row,) = [row for row in page(CUSHION).rows if row[0].startswith("thread")]
    assert "about 12 m in total" in row[0]
    assert row[1] == "23 m"


def test_fillings_are_in_litres_and_kilograms_and_for_inches_in_feet_and_pounds():
    """100 l: 65 to 80 l of beads, 1.2014 to 1.6018 kg of fibre; 28.3168 l/ft³, 0.45359 kg/lb."""
    one = replace(CUSHION, notions=(beads(100.0), fibre(100.0)), volume_litres=100.0)
    read = page(one)
    assert "volume 100 litres" in read.text
    bead, fill = [row for row in read.rows if "bead" in row[0] or "fibre" in row[0]]
    assert bead[0].endswith("65.0 to 80.0 litres")
    assert bead[1] == "130 to 160 litres"
    assert fill[0].endswith("1.20 to 1.60 kg")
    assert fill[1] == "2.40 to 3.20 kg"
    read = page(one, units="in")
    assert "volume 100 litres (3.53 cubic feet)" in read.text
    bead, fill = [row for row in read.rows if "bead" in row[0] or "fibre" in row[0]]
    assert bead[0].endswith("65.0 to 80.0 litres (2.30 to 2.83 cubic feet)")
    assert fill[0].endswith("1.20 to 1.60 kg (2.65 to 3.53 lb)")


def test_other_notions_are_counted_and_keep_their_sizes():
    closing = Notion(NotionKind.ZIP, "zip at least {} long, for an opening of {}", (324.0, 300.0))
    button = Notion(NotionKind.BUTTON, "buttons", pieces=5)
    cotton = Notion(NotionKind.OTHER, "cotton for the inner bag")
    notions = (cotton, closing, button, foam(500.0, 400.0, 80.0), cord(1800.0, 4.0, pieces=2))
    read = page(replace(CUSHION, notions=notions))
    assert ["zip at least 32.4 cm long, for an opening of 30.0 cm", "2 pieces"] in read.rows
    assert ["cotton for the inner bag", "for 2 items"] in read.rows
    assert ["5 × buttons", "10 pieces"] in read.rows
    assert any("51.3 cm × 41.3 cm × 8.0 cm" in row[0] for row in read.rows)
    assert ["2 × welt cord 0.4 cm thick, 180.0 cm long", "4 pieces"] in read.rows


def test_clips_drill_marks_lines_and_cuts_inside_are_listed():
    plate, *rest = CUSHION.panels
    marked = replace(
        plate,
        notches=(*plate.notches, Notch((0, 0), (1, 1), clip=True)),
        drills=(DrillMark((10 * CM, 10 * CM), "button"), DrillMark((20 * CM, 10 * CM), "button")),
        lines=(((5 * CM, 5 * CM), (9 * CM, 5 * CM)),),
        inner_cuts=(
            ((5 * CM, 8 * CM), (9 * CM, 8 * CM)),
            ((20 * CM, 6 * CM), (24 * CM, 6 * CM), (22 * CM, 8 * CM), (20 * CM, 6 * CM)),
        ),
        railroaded=True,
    )
    read = page(replace(CUSHION, panels=(marked, *rest)))
    caption = read.figures[0]["caption"]
    shown = "1 clip at inside corners, 2 drill marks (button), 1 line, 1 slit, 1 cut-out"
    assert shown in caption
    assert "along the arrow, railroaded" in caption
    assert "Marks" not in read.figures[1]["caption"]


def test_cautions_end_with_local_rules_and_none_is_repeated():
    points = page(CUSHION).points
    assert [points.count(each) for each in (BLADES, FIRE, LOCAL_RULES)] == [1, 1, 1]
    assert points.index(LOCAL_RULES) > points.index(BLADES)


def test_a_plain_panel_has_no_seams_and_no_notions():
    read = page(made("panel", allowance_mm=0.0, length=500.0, width=400.0))
    assert read.rows == []
    assert "none: cut size" in read.figures[0]["caption"]
    assert "Order of sewing" not in read.text


def test_the_pages_load_nothing_and_show_names_unchanged():
    articles = [Article(CUSHION, "<b>soft</b>"), Article(POUF, "round")]
    data = make_up_pages("a <i>nook</i>", "cm", articles)
    read = Page(data)
    assert read.loads == ["#item-1", "#item-2"]
    assert "a <i>nook</i>" in read.text
    assert "<b>soft</b>; volume 16.0 litres" in read.text
    assert data == make_up_pages("a <i>nook</i>", "cm", articles)


def test_numbers_do_not_overlap_the_names_of_edges():
    for figure in panel_figures(POUF.panels, "p"):
        x, y = figure.number_at
        for each in figure.edge_names:
            assert math.dist((x, y), (each.x, each.y)) > 0.6 * figure.number_size


@pytest.mark.parametrize(
    ("name", "more"),
    [
        ("box-cushion", {"buttons": "four", "button_spacing": 120.0}),
        ("box-cushion", {"buttons": "centre", "strips": 8}),
        ("box-cushion", {"buttons": "diamond", "button_spacing": 70.0}),
        ("box-cushion", {"closure": "slit", "closure_place": "bottom"}),
        ("round-cushion", {"buttons": "centre", "closure": "slit"}),
    ],
)
def test_numbers_of_plates_cover_no_mark(name, more):
    """They stay clear of crosses with arms of 5 mm, slits, notches and the grain arrow."""
    panels = [p for p in made(name, **more).panels if "plate" in p.name]
    for panel, figure in zip(panels, panel_figures(panels, "p"), strict=True):
        x, y = figure.number_at
        assert figure.number_size
        ground = shapely.Point(x, -y).buffer(0.55 * figure.number_size)
        crosses = [shapely.Point(to_mm(d.at[0]), to_mm(d.at[1])).buffer(5) for d in panel.drills]
        runs = (*panel.lines, *panel.inner_cuts, panel.grain)
        runs += tuple((notch.foot, notch.tip) for notch in panel.notches)
        lines = [shapely.LineString([(to_mm(a), to_mm(b)) for a, b in run]) for run in runs]
        assert not any(ground.intersects(each) for each in (*crosses, *lines))


def test_facts_come_before_the_order_of_sewing():
    """After it, they might be alone on a second sheet."""
    pages = make_up_pages("order", "cm", [Article(CUSHION, "a cushion")]).decode()
    assert pages.index("Good to know") < pages.index("Order of sewing")


def test_an_item_filled_with_beads_has_the_caution_about_beads():
    for fill, warned in (("beads", True), ("fibre", False)):
        pouf = made("drum-pouf", diameter=500.0, height=350.0, fill=fill)
        pages = make_up_pages("order", "cm", [Article(pouf, "a pouf")])
        assert (BEADS in Page(pages).text) is warned
        assert LOCAL_RULES in Page(pages).text


def test_cautions_on_beads_and_children_stand_under_the_name_of_the_item():
    pages = make_up_pages("order", "cm", [Article(POUF, "a pouf")]).decode()
    title, panels = pages.index("</h2>"), pages.index("Panels for one")
    assert title < pages.index("Children: ") < panels
    assert pages.count("Children: ") == 1
    assert panels < pages.index("Fire: ")
