"""The audit must find seams that do not meet."""

import math
from dataclasses import replace

import pytest

from nesting.geometry.curves import circle
from nesting.panels.drafting.draft import Draft, EdgeUse, Seam
from nesting.panels.drafting.finished import FinishedPanel
from nesting.panels.drafting.seams import measure_seams
from nesting.panels.parts.strips.strip import strip_panel
from nesting.panels.product import products


def disc_and_strip(diameter, run, ease=0.0):
    """A strip sewn round a disc, both by their finished sizes in millimetres."""
    plate = FinishedPanel("plate", 2, {"rim": circle(diameter / 2)})
    boxing = strip_panel("boxing", 1, run, 100, "along")
    rim, upper = (EdgeUse("plate", "rim"),), (EdgeUse("boxing", "upper"),)
    return Draft((plate, boxing), (Seam("round", upper, rim, ease_percent=ease),))


@pytest.mark.parametrize(
    ("cut_disc", "cut_strip", "allowance"),
    [
        # Published (cutoutandkeep.net, pop-art pouf): 44.5 cm disc, 1 cm allowance,
        # strip 44.5 × 3.14 - 2 = 137.7 cm; right is 135.5 cm.
        (445, 1377, 10),
        # Published rule of a bolster page (do-it-yourselfdesign 2013): 7 in ends,
        # 1/2 in allowance, body 7 × 3.14 = 21.98 in; right is 19.85 in.
        (7 * 25.4, 21.98 * 25.4, 12.7),
    ],
)
def test_published_sums_that_are_wrong_are_found(cut_disc, cut_strip, allowance):
    (seam,) = measure_seams(disc_and_strip(cut_disc - 2 * allowance, cut_strip - 2 * allowance))
    assert not seam.meets
    assert seam.difference_mm > 20


def test_boxing_measured_at_the_cut_edge_is_found(draft):
    """The usual mistake: it is longer by 2π allowances."""
    right = draft("round-cushion", diameter=400.0, thickness=60.0)
    wrong = draft("round-cushion", diameter=420.0, thickness=60.0)
    mixed = replace(right, panels=(right.panels[0], wrong.panels[1]))
    seams = measure_seams(mixed)
    assert [seam.meets for seam in seams] == [False, False, True]
    assert seams[0].difference_mm == pytest.approx(-20 * math.pi)


def test_a_cap_that_does_not_match_its_gores_is_found(draft):
    pouf = {"diameter": 500.0, "height": 380.0, "gores": 10}
    right = draft("gored-pouf", cap_diameter=180.0, **pouf)
    wrong = draft("gored-pouf", cap_diameter=181.0, **pouf)
    mixed = replace(right, panels=(right.panels[0], wrong.panels[1]))
    assert [seam.meets for seam in measure_seams(mixed)] == [True, True, False, False]


@pytest.mark.parametrize(("extra", "meets"), [(0.99, True), (1.01, False), (-1.01, False)])
def test_edges_may_differ_by_a_millimetre_and_no_more(extra, meets):
    (seam,) = measure_seams(disc_and_strip(400, 400 * math.pi + extra))
    assert seam.meets is meets


def test_declared_ease_explains_a_difference():
    """100 mm of ease on 1000 mm are 10 per cent."""
    run = 1000 / math.pi
    (eased,) = measure_seams(disc_and_strip(run, 1100, ease=10))
    assert eased.meets
    assert eased.ease_percent == 10
    assert not measure_seams(disc_and_strip(run, 1100))[0].meets


def test_ease_that_is_declared_but_not_drawn_is_found():
    (seam,) = measure_seams(disc_and_strip(1000 / math.pi, 1000, ease=10))
    assert not seam.meets
    assert seam.unexplained_mm == pytest.approx(-100)


def test_both_sides_of_a_seam_are_named_as_the_maker_sees_them(make):
    pouf = {"diameter": 500.0, "height": 380.0, "gores": 10, "cap_diameter": 180.0}
    head = make("gored-pouf", **pouf).seams[2]
    assert (head.first, head.second) == ("10 × gore top", "cap rim")
    # 180π = 565.487 mm
    assert (head.first_mm, head.second_mm) == pytest.approx((565.487, 565.487), abs=0.001)


@pytest.mark.parametrize("use", [EdgeUse("lid", "rim"), EdgeUse("plate", "hem")])
def test_a_seam_of_an_edge_that_is_not_there_is_refused(use):
    whole = disc_and_strip(400, 400 * math.pi)
    with pytest.raises(KeyError):
        measure_seams(replace(whole, seams=(Seam("wrong", (use,), (use,)),)))


def test_marks_on_corners_are_not_counted_as_notches(make):
    """The six corners of a teardrop bag's base and cap show where its panels are joined."""
    bag = {m.name: m.shown for m in products()["teardrop-bag"].measurements}
    made = make("teardrop-bag", 10.0, **bag)
    counts = {seam.seam: seam.notches for seam in made.seams}
    assert counts["panels to cap"] == counts["panels to base"] == (0, 0)
    for panel in made.panels:
        if panel.name in ("cap", "base"):
            assert not panel.notches


def test_a_double_mark_where_two_edges_meet_smoothly_is_counted_as_it_is_cut(make):
    """A drum's bottom in two halves: its double mark lies at an end of the zip, cut single."""
    drum = {"diameter": 500.0, "height": 350.0, "strips": 2}
    for closure, doubles in (("none", 1), ("zip", 0)):
        made = make("drum-pouf", 10.0, **drum, closure=closure)
        (seam,) = (s for s in made.seams if s.seam == "side to bottom plate")
        assert seam.notches[1] == doubles


def test_without_an_allowance_no_notch_is_counted(make):
    sizes = {"length": 500.0, "width": 400.0, "thickness": 80.0}
    assert any(any(seam.notches) for seam in make("box-cushion", 10.0, **sizes).seams)
    assert not any(any(seam.notches) for seam in make("box-cushion", 0.0, **sizes).seams)
