"""What the sewer gets: thread, filling, foam, buttons; steps in order."""

import math

import pytest

from nesting.panels.drafting import sewing
from nesting.panels.drafting.draft import Draft
from nesting.panels.drafting.finished import polygon, rectangle
from nesting.panels.drafting.sewing import NotionKind, Step, Stitch
from nesting.panels.parts.tufting import BUTTONS, button_faults, buttoned
from nesting.panels.product import products

SIDES = ("lower", "right", "upper", "left")


def test_a_lockstitched_seam_takes_two_and_a_half_times_its_length():
    """melgeecrafts: 220 cm of seam, 550 cm of thread; and 15 % waste (apparelscience)."""
    assert sewing.thread([(Stitch.LOCKSTITCH, 2200.0)]).lengths_mm == pytest.approx((5500 * 1.15,))


def test_fibre_of_a_cushion_of_24_by_24_by_4_inches():
    """coziepillow: 1.33 ft³ at 14 oz are 18.6 oz, the middle of 12 to 16 oz; 1 oz = 28.3495 g.

    It rounds down twice: 4/3 ft³ · 14 = 18.667 oz.
    """
    litres = 24 * 24 * 4 * 2.54**3 / 1000
    least, greatest = sewing.fibre(litres).kilograms
    assert (least + greatest) / 2 / 0.0283495 == pytest.approx(18.667, abs=0.001)
    assert least / greatest == pytest.approx(12 / 16)


def test_beads_fill_65_to_80_per_cent():
    """ITplast 2026."""
    assert sewing.beads(200.0).litres == pytest.approx((130, 160))


def test_foam_is_half_an_inch_longer_and_wider():
    """Goodoldboat 117937: foam is cut 1/2 in over the finished length and width."""
    assert sewing.foam(500.0, 400.0, 80.0).lengths_mm[:3] == pytest.approx((512.7, 412.7, 80))


def test_a_zip_is_longer_than_its_opening():
    """12 mm of tape are sewn in beyond each end (common practice)."""
    length, opening = sewing.zip_fastener(300.0).lengths_mm
    assert (length, opening) == (324, 300)


def test_thread_of_a_cushion_follows_from_all_its_seams(make):
    """500 x 400 x 80: two plates of 1800 mm, four joins of 80 mm: 3920 mm, by hand."""
    made = make("box-cushion", length=500.0, width=400.0, thickness=80.0)
    (thread,) = [n for n in made.notions if n.kind is NotionKind.THREAD]
    assert thread.lengths_mm[0] == pytest.approx(3920 * 2.5 * 1.15)
    assert made.volume_litres == pytest.approx(16)
    assert made.area_mm2 == pytest.approx(544_000)


def test_nothing_is_sewn_on_a_plain_panel(make):
    assert make("panel", length=500.0, width=400.0).notions == ()


def test_a_pouf_holds_what_its_profile_turns(make):
    """A ball of 60 cm: 4/3·π·30³ cm³ = 113.097 l."""
    made = make("gored-pouf", diameter=600.0)
    assert made.volume_litres == pytest.approx(113.097, abs=0.001)


def test_a_capped_pouf_has_the_volume_of_its_profile_by_quadrature(make):
    """∫π·r² dh over the ellipse, by scipy."""
    from scipy.integrate import quad

    made = make("gored-pouf", diameter=500.0, height=380.0, cap_diameter=180.0)
    high = 190 / math.sqrt(1 - (180 / 500) ** 2)
    volume, _ = quad(lambda h: math.pi * 250**2 * (1 - (h / high) ** 2), -190, 190)
    assert made.volume_litres == pytest.approx(volume / 1e6)


def thread_mm(made):
    (thread,) = [n for n in made.notions if n.kind is NotionKind.THREAD]
    return thread.lengths_mm[0]


def test_thread_of_a_zip_between_gores_is_that_of_both_its_edges(make):
    """The opening of 300 mm is sewn to two tapes: 300 mm more of seam than without a zip."""
    pouf = {"diameter": 500.0, "height": 380.0, "fill": "fibre"}
    zipped = {"closure": "zip", "closure_place": "seam", "closure_length": 300.0}
    without, with_zip = make("gored-pouf", **pouf), make("gored-pouf", **pouf, **zipped)
    assert thread_mm(with_zip) - thread_mm(without) == pytest.approx(300 * 2.5 * 1.15)


def test_thread_of_an_inner_bag_is_that_of_every_seam_sewn_twice(make):
    """Beads lie in a bag of the cover's own panels: three times the thread of a fibre filling."""
    pouf = {"diameter": 500.0, "height": 380.0}
    fibre, beads = (make("gored-pouf", **pouf, fill=fill) for fill in ("fibre", "beads"))
    assert thread_mm(beads) == pytest.approx(3 * thread_mm(fibre))
    told = [
        [n.words for n in made.notions if n.kind is NotionKind.THREAD] for made in (beads, fibre)
    ]
    assert ["inner bag" in words for (words,) in told] == [True, False]


@pytest.mark.parametrize("name", sorted(products()))
def test_every_seam_is_sewn_in_some_step(name):
    product = products()[name]
    draft = product.draft({m.name: m.shown for m in product.measurements})
    if draft.steps:
        told = [seam for step in draft.steps for seam in step.seams]
        assert sorted(told) == sorted(seam.name for seam in draft.seams)
        assert all(step.words.count("{}") == len(step.lengths_mm) for step in draft.steps)
    for notion in draft.notions:
        assert notion.words.count("{}") == len(notion.lengths_mm)


def test_a_step_that_names_no_seam_is_refused():
    panel = rectangle("a", 1, 10.0, 10.0, SIDES)
    with pytest.raises(ValueError, match="no seam has the name"):
        Draft((panel,), (), steps=(Step("sew", ("side",)),))


def values(buttons, spacing=100.0):
    return {BUTTONS[0].name: buttons, BUTTONS[1].name: spacing}


@pytest.mark.parametrize(
    ("buttons", "expected"),
    [
        ("none", set()),
        ("centre", {(250, 200)}),
        ("four", {(100, 100), (400, 100), (100, 300), (400, 300)}),
    ],
)
def test_buttons_stand_in_the_centre_or_at_equal_inset(buttons, expected):
    panel = buttoned(rectangle("plate", 1, 500.0, 400.0, SIDES), values(buttons))
    assert {drill.at for drill in panel.drills} == expected


def test_a_diamond_grid_is_shifted_by_half_in_every_other_row():
    """500 x 400 at 100: rows at 200 ± 0, 50, 100, 150; 50 mm at least from every edge."""
    panel = buttoned(rectangle("plate", 1, 500.0, 400.0, SIDES), values("diamond"))
    rows = {}
    for drill in panel.drills:
        rows.setdefault(drill.at[1], []).append(drill.at[0])
    assert sorted(rows) == [50, 100, 150, 200, 250, 300, 350]
    assert sorted(rows[200]) == [50, 150, 250, 350, 450]
    assert sorted(rows[150]) == [100, 200, 300, 400]


def test_buttons_that_have_no_room_are_refused():
    plate = rectangle("plate", 1, 500.0, 400.0, SIDES)
    assert button_faults(plate, values("four", 199.0)) == ()
    assert button_faults(plate, values("four", 200.0))[0].place == "button_spacing"
    assert button_faults(plate, values("centre", 200.0)) == ()


def test_a_grid_of_countless_buttons_is_refused_before_it_is_made():
    """20 m square with a button to every 2 cm would have two million of them."""
    plate = rectangle("plate", 1, 20_000.0, 20_000.0, SIDES)
    (fault,) = button_faults(plate, values("diamond", 20.0))
    assert "no more than 500 buttons" in str(fault)
    assert "about 2000000" in str(fault)


def test_a_diamond_grid_leaves_out_what_lies_beside_the_panel():
    """An L: nothing stands where its corner of 200 x 200 is missing."""
    corners = [(0, 0), (600, 0), (600, 300), (400, 300), (400, 500), (0, 500)]
    seat = polygon("seat", 1, {f"e{i}": (float(x), float(y)) for i, (x, y) in enumerate(corners)})
    at = {drill.at for drill in buttoned(seat, values("diamond", 150.0)).drills}
    assert (300.0, 250.0) in at
    assert not any(x > 400 and y > 300 for x, y in at)
