"""Panels by their points, and products of one size."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from test_planning import ONE_STEP

from nesting.errors import OrderError, SeamError
from nesting.layouts.storage import as_record
from nesting.orders.building import build_order
from nesting.panels.drafting.draft import EdgeUse, Seam
from nesting.panels.drafting.finished import rectangle
from nesting.panels.given import FixedProduct, panel_from_points
from nesting.panels.making import make_panels
from nesting.panels.panel import GrainRule
from nesting.planning.files import lay_files
from nesting.planning.plan import plan_order
from nesting.units import MM
from nesting.verification.checker import check_record

#: A trapezoid: 520 and 380 mm wide, 480 mm deep.
SEAT = [(0, 0), (520, 0), (450, 480), (70, 480)]
BOX = [(10, 20), (610, 20), (610, 420), (10, 420)]

CANVAS = {"name": "canvas", "width": 140, "nap": "either-way"}


def made(*panels, allowance_mm=10.0):
    product = FixedProduct("mat", panels)
    options = {"item": "mat", "cloth": "canvas", "quantity": 1, "allowance_mm": allowance_mm}
    return make_panels(product, {}, **options).panels


def order(product, **item):
    tables = {"product": product.name, "name": "chair", "quantity": 2, "cloth": "canvas", **item}
    mat = {"product": "panel", "name": "mat", "quantity": 3, "cloth": "canvas"}
    return build_order(
        "Kitchen",
        units="cm",
        cloths=[CANVAS],
        items=[tables, {**mat, "length": 30, "width": 20}],
        products=[product],
    )


def refusal(*args, **given):
    with pytest.raises(OrderError) as caught:
        panel_from_points(*args, **given)
    return [fault.rule for fault in caught.value.faults]


def test_the_allowance_is_added_to_a_finished_outline():
    (panel,) = made(panel_from_points("mat", BOX))
    assert (panel.cut.length, panel.cut.height) == (620 * MM, 420 * MM)
    assert (panel.stitch.length, panel.stitch.height) == (600 * MM, 400 * MM)
    assert panel.stitch.bounds[:2] == (10 * MM, 10 * MM)


def test_a_cut_line_is_cut_as_it_stands():
    (panel,) = made(panel_from_points("mat", BOX, cut=True))
    assert (panel.cut.length, panel.cut.height) == (600 * MM, 400 * MM)
    assert panel.stitch is None
    assert panel.notches == ()


@pytest.mark.parametrize("cut", [False, True])
def test_the_way_round_and_a_repeated_first_point_make_no_difference(cut):
    panel = panel_from_points("seat", SEAT, cut=cut)
    (expected,) = made(panel)
    for points in (SEAT[::-1], [*SEAT, SEAT[0]], [SEAT[0], *SEAT]):
        (found,) = made(panel_from_points("seat", points, cut=cut))
        assert set(found.cut.points) == set(expected.cut.points)


@given(st.floats(-1e5, 1e5), st.floats(-1e5, 1e5))
def test_where_the_points_lie_makes_no_difference_to_the_panel_but_rounding(dx, dy):
    (here,) = made(panel_from_points("seat", SEAT))
    (there,) = made(panel_from_points("seat", [(x + dx, y + dy) for x, y in SEAT]))
    pairs = zip(here.cut.bounds, there.cut.bounds, strict=True)
    assert max(abs(a - b) for a, b in pairs) <= 2


def test_number_and_grain_are_as_they_are_said():
    (panel,) = made(panel_from_points("seat", SEAT, per_item=3, any_grain=True))
    assert panel.per_item == 3
    assert panel.grain_rule is GrainRule.ANY
    assert made(panel_from_points("seat", SEAT))[0].grain_rule is GrainRule.AS_DRAWN


@pytest.mark.parametrize(
    ("points", "rule"),
    [
        ([(0, 0), (60, 60), (60, 0), (0, 60)], "must not cross or touch itself"),
        ([(0, 0), (60, 0)], "at least three points"),
        ([(0, 0), (60, 0), (120, 0)], "at least three points"),
        ([], "at least three points"),
        ([(0, 0), (0.6, 0), (0.6, 45)], "1 mm to 20 m"),
        ([(0, 0), (60_000, 0), (60, 45)], "1 mm to 20 m"),
        ([(0, 0), (60, float("inf")), (60, 45)], "within 1 km"),
        ([(0, 0), ("60", 0), (60, 45)], "pairs of numbers"),
        ([(0, 0, 0), (60, 0, 0), (60, 45, 0)], "pairs of numbers"),
        ("seat", "pairs of numbers"),
        (None, "pairs of numbers"),
    ],
)
def test_points_that_make_no_panel_are_refused(points, rule):
    (found,) = refusal("seat", points)
    assert rule in found


def test_a_crossing_is_named_by_its_place():
    with pytest.raises(OrderError, match=r'panel "seat".*at \(30.00, 30.00\) mm'):
        panel_from_points("seat", [(0, 0), (60, 60), (60, 0), (0, 60)])


@pytest.mark.parametrize("name", ["", " seat", "s" * 101, "a\tb", "\ud800", 7])
def test_names_that_no_label_can_hold_are_refused(name):
    (found,) = refusal(name, SEAT)
    assert "must have a name" in found


@pytest.mark.parametrize("per_item", [0, -1, 1.5, True, "2"])
def test_a_number_of_panels_is_a_whole_one(per_item):
    assert refusal("seat", SEAT, per_item=per_item) == ["must be needed once or more in one item"]


def test_given_panels_are_planned_and_written_with_everything_else():
    """Of each of two chairs a top, twice, and a base; and three mats."""
    top = panel_from_points("top", SEAT, per_item=2)
    base = panel_from_points("base", SEAT, cut=True, any_grain=True)
    plan = plan_order(order(FixedProduct("chair", (top, base))), ONE_STEP, workers=1)
    (lay,) = plan.lay.cloths
    laid = sorted((one.panel.item, one.panel.name) for one in lay.placed)
    assert laid == [*[("chair", "base")] * 2, *[("chair", "top")] * 4, *[("mat", "panel")] * 3]
    assert check_record(as_record(plan.lay)) == ()
    assert {"layout.json", "canvas.dxf", "report.html", "make-up.html"} <= set(lay_files(plan))


def test_an_allowance_too_wide_for_a_given_panel_is_a_fault_of_the_order():
    narrow = [(0, 0), (300, 0), (300, 15), (0, 15)]
    product = FixedProduct("strap", (panel_from_points("strap", narrow),))
    with pytest.raises(OrderError, match=r'item 1 "chair", seam_allowance: .*"strap"'):
        order(product, seam_allowance=1)
    as_cut = FixedProduct("strap", (panel_from_points("strap", narrow, cut=True),))
    assert order(as_cut, seam_allowance=1).items[0].made_as is as_cut


TOP = rectangle("top", 1, 600, 400, ("front", "right", "back", "left"))
FLAP = rectangle("flap", 1, 600, 150, ("seam", "right", "hem", "left"))
JOIN = Seam("flap", (EdgeUse("top", "front"),), (EdgeUse("flap", "seam"),))


def test_seams_of_a_fixed_product_are_measured():
    plan = plan_order(order(FixedProduct("bag", (TOP, FLAP), (JOIN,))), ONE_STEP, workers=1)
    (seam,) = plan.made[0].seams
    assert (seam.first_mm, seam.second_mm) == (600.0, 600.0)


def test_seams_of_a_fixed_product_that_do_not_meet_are_refused():
    short = rectangle("flap", 1, 590, 150, ("seam", "right", "hem", "left"))
    with pytest.raises(SeamError, match=r"600.0 mm.*590.0 mm"):
        plan_order(order(FixedProduct("bag", (TOP, short), (JOIN,))), ONE_STEP, workers=1)


@pytest.mark.parametrize(
    "seam",
    [
        replace(JOIN, first=(EdgeUse("lid", "front"),)),
        replace(JOIN, second=(EdgeUse("flap", "top"),)),
    ],
)
def test_a_seam_of_an_edge_that_is_not_there_is_refused_at_once(seam):
    with pytest.raises(ValueError, match="there is no such edge"):
        FixedProduct("bag", (TOP, FLAP), (seam,))


def test_two_panels_of_one_name_are_refused_at_once():
    with pytest.raises(ValueError, match="share a name"):
        FixedProduct("bag", (TOP, TOP))


def test_a_given_panel_that_does_not_fit_the_cloth_is_told_what_would_help():
    from nesting.errors import PanelTooLargeError

    tall = [(0, 0), (300, 0), (300, 1500), (0, 1500)]
    product = FixedProduct("curtain", (panel_from_points("curtain", tall, cut=True),))
    with pytest.raises(PanelTooLargeError, match=r"150.0 cm across .*cross_grain"):
        plan_order(order(product), ONE_STEP, workers=1)
