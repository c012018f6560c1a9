"""An inner bag of panels of its own, and beads that no child can get at."""

import pytest
from hypothesis import assume, given, settings
from test_making import items

from nesting.panels.article import article_draft, article_faults
from nesting.panels.drafting.sewing import NotionKind, Stitch
from nesting.panels.making import make_panels
from nesting.panels.parts.filling import is_filled
from nesting.panels.product import products
from nesting.reports.sewing_steps import step_rows

FILLED = sorted(
    name
    for name, product in products().items()
    if is_filled(product.draft({m.name: m.shown for m in product.measurements}))
)

POUF = {"diameter": 500.0, "height": 380.0, "cap_diameter": 180.0}
BEADS = {"fill": "beads", "closure": "zip"}


def lined(name, cloth="calico", **given_):
    product = products()[name]
    values = {m.name: given_.get(m.name, m.shown) for m in product.measurements}
    assert article_faults(product, values, 10.0) == ()
    return make_panels(
        product, values, item="seat", cloth="twill", quantity=1, allowance_mm=10.0, liner=cloth
    )


def words_of(made, units="cm"):
    return [row.words for row in step_rows(made, units)]


def test_cushions_poufs_and_bags_are_filled_and_single_pieces_are_not():
    assert FILLED == [
        "bolster", "box-cushion", "drum-pouf", "footstool", "gored-pouf", "knife-edge-cushion",
        "round-cushion", "shaped-seat", "teardrop-bag", "tetra-bag", "waterfall-cushion", "wedge",
    ]  # fmt: skip


def test_a_liner_has_every_panel_of_its_cover_from_its_own_cloth(by_name):
    panels = by_name(lined("gored-pouf", **POUF).panels)
    assert {name: panel.cloth for name, panel in panels.items()} == {
        "gore": "twill", "cap": "twill", "liner-gore": "calico", "liner-cap": "calico",
    }  # fmt: skip
    assert (panels["liner-gore"].per_item, panels["liner-cap"].per_item) == (8, 2)


def test_a_liner_is_three_per_cent_larger_than_its_cover(by_name):
    """Cap 180 · 1.03 + 2 · 10 = 205.4 mm cut; plate 500 × 400: 535 × 432 mm cut (by hand)."""
    cap = by_name(lined("gored-pouf", **POUF).panels)["liner-cap"]
    assert cap.cut.length / 100 == pytest.approx(205.4, abs=0.05)
    box = {"length": 500.0, "width": 400.0, "thickness": 80.0}
    plate = by_name(lined("box-cushion", **box).panels)["liner-plate"]
    assert (plate.cut.length, plate.cut.height) == (53_500, 43_200)


def test_a_liner_has_no_zip_welt_buttons_or_handles(by_name):
    box = {"length": 500.0, "width": 400.0, "thickness": 80.0}
    outside = {"closure": "zip", "welt_cord": 5.0, "buttons": "four", "handles": 1}
    panels = by_name(lined("box-cushion", **box, **outside).panels)
    inner = {name for name in panels if name.startswith("liner-")}
    assert inner == {"liner-plate", "liner-boxing-long", "liner-boxing-short"}
    assert panels["liner-plate"].drills == ()
    ends = by_name(lined("bolster", ends="gathered", gather=50.0).panels)
    assert ends["liner-end"].cut.length == ends["liner-end"].cut.height  # a disc


@pytest.mark.parametrize("name", FILLED)
def test_every_seam_of_a_liner_is_audited_and_sewn_in_a_step_of_its_own(name):
    made = lined(name)
    inner = [seam for seam in made.seams if seam.seam.startswith("liner: ")]
    assert inner
    assert all(seam.meets for seam in inner)
    told = [each for step in made.steps for each in step.seams]
    assert sorted(told) == sorted(seam.seam for seam in made.seams)
    uses = {use.panel for seam in inner for use in (*seam.first_run, *seam.second_run)}
    assert all(each.startswith("liner-") for each in uses)


@given(items())
@settings(deadline=None, max_examples=100)
def test_whatever_is_filled_can_have_a_liner_that_meets_and_is_larger_by_the_stated_amount(item):
    product, values, allowance = item
    assume(product.name in FILLED)
    plain = values | {m.name: m.default for m in product.measurements if m.outside}
    assume(not product.faults(plain, allowance))
    made = make_panels(
        product, values, item="seat", cloth="twill", quantity=1, allowance_mm=allowance,
        liner="calico",
    )  # fmt: skip
    assert all(seam.meets for seam in made.seams)
    assert all((p.cloth == "calico") == p.name.startswith("liner-") for p in made.panels)
    draft = article_draft(product, plain, lined=True)
    inner = {panel.name: panel for panel in draft.panels if panel.lining}
    cover = [panel for panel in draft.panels if not panel.lining]
    assert len(inner) == len(cover)
    for panel in cover:
        larger = inner[f"liner-{panel.name}"]
        assert larger.per_item == panel.per_item
        for edge, curve in panel.edges.items():
            assert larger.edges[edge].length_mm == pytest.approx(1.03 * curve.length_mm)
        assert larger.area_mm2 == pytest.approx(1.03**2 * panel.area_mm2)


@given(items())
@settings(deadline=None, max_examples=60)
def test_every_opening_leaves_some_of_its_seam_to_be_sewn(item):
    product, values, _ = item
    draft = article_draft(product, values, lined=product.name in FILLED)
    for step in draft.steps:
        if step.leaves_an_opening:
            (opened,) = [s for s in draft.seams if s.name in step.seams and s.opening_mm]
            assert 0 < opened.opening_mm < draft.run_mm(opened.second)
            assert opened.times == 1


def test_beads_go_into_the_liner_inside_the_cover_and_both_are_closed():
    told = " ".join(words_of(lined("gored-pouf", **POUF, **BEADS))).lower()
    order = (
        "liner: sew the gores", "leave 20.0 cm open in its middle", "liner right side out",
        "cover: sew the gores", "cover right side out", "put the empty liner into the cover",
        "beads through a funnel",
        "sew it shut by machine, two rows", "close the zip of the cover",
    )  # fmt: skip
    places = [told.index(words) for words in order]
    assert places == sorted(places)


def test_every_seam_of_a_liner_for_beads_is_sewn_in_two_rows_and_that_takes_thread(make):
    made = lined("gored-pouf", **POUF, **BEADS)
    stitches = {(s.seam.startswith("liner: "), s.stitch) for s in made.seams}
    assert stitches == {(True, Stitch.TWO_ROWS), (False, Stitch.LOCKSTITCH)}
    # The cover's seams once, the liner's 3 % longer and twice; the zip's two edges with the cover.
    fibre = make("gored-pouf", **POUF)
    zipped = make("gored-pouf", **POUF, closure="zip")
    threads = [
        notion.lengths_mm[0]
        for each in (made, zipped, fibre)
        for notion in each.notions
        if notion.kind is NotionKind.THREAD
    ]
    assert threads[0] == pytest.approx(threads[1] + 2 * 1.03 * threads[2])


def test_cotton_for_an_inner_bag_is_bought_only_where_the_order_has_no_liner(make):
    without, with_liner = make("gored-pouf", **POUF, **BEADS), lined("gored-pouf", **POUF, **BEADS)
    cotton = [[n for n in each.notions if "cotton" in n.words] for each in (without, with_liner)]
    assert list(map(len, cotton)) == [1, 0]
    assert any("empty" in step.words for step in without.steps)


def test_foam_is_put_into_its_liner_before_both_go_into_the_cover():
    told = " ".join(words_of(lined("box-cushion", closure="zip"))).lower()
    order = "foam into the liner", "opening by hand", "liner with its foam into", "close the zip"
    places = [told.index(words) for words in order]
    assert places == sorted(places)


def test_a_liner_adds_nothing_to_the_surface_of_an_article(make):
    assert lined("gored-pouf", **POUF).area_mm2 == make("gored-pouf", **POUF).area_mm2


def test_a_zip_before_beads_is_one_that_children_cannot_open(make):
    zips = [
        next(n.words for n in make("drum-pouf", diameter=500.0, height=350.0, closure="zip",
                                   fill=fill).notions if n.kind is NotionKind.ZIP)
        for fill in ("beads", "fibre")
    ]  # fmt: skip
    assert ["special tool" in words for words in zips] == [True, False]


@pytest.mark.parametrize("name", ["drum-pouf", "footstool", "gored-pouf", "tetra-bag"])
@pytest.mark.parametrize("closure", ["none", "slit"])
def test_beads_behind_what_is_closed_by_hand_are_refused_with_the_reason(name, closure):
    product = products()[name]
    choices = {m.name: m.choices for m in product.measurements}
    if closure not in choices["closure"]:
        closure = "none"
    values = {m.name: m.shown for m in product.measurements} | {"fill": "beads"}
    (fault,) = article_faults(product, values | {"closure": closure}, 10.0)
    assert fault.place == "fill"
    assert "closed by hand" in fault.rule
    assert "suffocate" in fault.rule
    assert 'closure = "zip"' in fault.remedy
    assert article_faults(product, values | {"closure": "zip"}, 10.0) == ()


@pytest.mark.parametrize("name", FILLED)
def test_nothing_is_filled_with_beads_unless_the_order_says_so(name, make):
    shown = {m.name: m.shown for m in products()[name].measurements}
    assert not any(notion.litres for notion in make(name, 10.0, **shown).notions)


@pytest.mark.parametrize(("units", "size"), [("cm", "20.0 cm"), ("mm", "200 mm"), ("in", "8 in")])
def test_an_opening_has_a_round_size_in_the_unit_of_the_order(make, units, size):
    """Two hands' width, 20 cm or 8 in (common practice)."""
    pouf = make("gored-pouf", **POUF)
    assert any(f"leave {size} open in its middle" in words for words in words_of(pouf, units))


@pytest.mark.parametrize("name", FILLED)
def test_sewing_says_right_sides_together_and_turning_right_side_out(name, make):
    shown = {m.name: m.shown for m in products()[name].measurements}
    for closure in ("none", "zip"):
        told = " ".join(words_of(make(name, 10.0, **shown | {"closure": closure})))
        assert "right sides together" in told
        assert "right side out through its" in told
        assert "part of the" not in told
        assert "{" not in told
