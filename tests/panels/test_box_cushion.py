"""Box cushions against published examples."""

import pytest

from nesting.panels.panel import GrainRule

INCH = 25.4


def cut_sizes(panels):
    """Cut length along the grain and height across it, in inches."""
    return {p.name: (p.cut.length / 2540, p.cut.height / 2540) for p in panels}


def test_a_twelve_inch_cushion_has_thirteen_inch_plates_and_48_inches_of_stitch_line(make):
    """Beeson 2008, sewgirls.com: allowance 1/2 in; 12 in square."""
    made = make(
        "box-cushion",
        INCH / 2,
        length=12 * INCH,
        width=12 * INCH,
        thickness=4 * INCH,
        strips=1,
        strip_grain="along",
    )
    assert cut_sizes(made.panels) == {"plate": (13, 13), "boxing": (49, 5)}
    top = made.seams[0]
    assert top.first_mm == pytest.approx(48 * INCH)
    assert top.second_mm == pytest.approx(48 * INCH)


def test_foam_of_11_by_15_by_3_inches(make):
    """Plates 12 × 16, boxing 4 wide, allowance 1/2 in (ehow.co.uk 5112747)."""
    panels = make(
        "box-cushion", INCH / 2, length=11 * INCH, width=15 * INCH, thickness=3 * INCH
    ).panels
    sizes = cut_sizes(panels)
    assert sizes["plate"] == (12, 16)
    # Each strip is its side and one allowance at each end: 15 + 1 and 11 + 1.
    assert sizes["boxing-long"] == (4, 16)
    assert sizes["boxing-short"] == (4, 12)


def test_a_square_has_four_equal_strips(make):
    panels = make("box-cushion", length=500.0, width=500.0, thickness=80.0).panels
    assert [(p.name, p.per_item) for p in panels] == [("plate", 2), ("boxing", 4)]


@pytest.mark.parametrize(("length", "width"), [(500.0, 400.0), (400.0, 500.0)])
def test_an_oblong_has_two_long_and_two_short_strips(make, by_name, length, width):
    panels = make("box-cushion", length=length, width=width, thickness=80.0).panels
    assert [(p.name, p.per_item) for p in panels] == [
        ("plate", 2),
        ("boxing-long", 2),
        ("boxing-short", 2),
    ]
    named = by_name(panels)
    assert named["boxing-long"].cut.height == 50_000
    assert named["boxing-short"].cut.height == 40_000
    assert (named["plate"].cut.length, named["plate"].cut.height) == (length * 100, width * 100)


def test_one_strip_goes_all_round(make, by_name):
    panels = make("box-cushion", length=500.0, width=400.0, thickness=80.0, strips=1).panels
    assert [(p.name, p.per_item) for p in panels] == [("plate", 2), ("boxing", 1)]
    assert by_name(panels)["boxing"].cut.height == 180_000


@pytest.mark.parametrize(
    ("grain", "size", "rule"),
    [
        ("across", (8_000, 50_000), GrainRule.AS_DRAWN),
        ("along", (50_000, 8_000), GrainRule.AS_DRAWN),
        ("any", (8_000, 50_000), GrainRule.ANY),
    ],
)
def test_strips_lie_as_their_grain_says(make, grain, size, rule):
    strip = make(
        "box-cushion", length=500.0, width=500.0, thickness=80.0, strip_grain=grain
    ).panels[1]
    assert (strip.cut.length, strip.cut.height) == size
    assert strip.grain_rule is rule


def test_every_side_of_both_plates_and_every_corner_is_a_seam(make):
    made = make("box-cushion", length=500.0, width=400.0, thickness=80.0)
    assert [seam.first_mm for seam in made.seams] == [500, 400] * 4 + [80, 80]
    assert all(seam.meets for seam in made.seams)


def test_one_strip_is_notched_where_the_corners_of_the_plate_will_lie(make, by_name):
    """Inner corners of 500 × 400 from the start of the strip: 500, 900, 1400 (by hand)."""
    panels = make(
        "box-cushion",
        10.0,
        length=500.0,
        width=400.0,
        thickness=80.0,
        strips=1,
        strip_grain="along",
    ).panels
    boxing = by_name(panels)["boxing"]
    upper = {round(n.foot[0] / 100) - 10 for n in boxing.notches if n.foot[1] == 10_000}
    lower = {round(n.foot[0] / 100) - 10 for n in boxing.notches if n.foot[1] == 0}
    # With the middles of the sides; the back's is double, 6 mm apart.
    assert lower == upper == {250, 500, 700, 900, 1147, 1153, 1400, 1600}


def test_notches_of_a_plate_are_the_middles_of_its_sides(make, by_name):
    plate = by_name(make("box-cushion", 10.0, length=500.0, width=400.0, thickness=80.0).panels)[
        "plate"
    ]
    assert {n.foot for n in plate.notches} == {
        (26_000, 0),
        (52_000, 21_000),
        (26_000, 42_000),
        (0, 21_000),
    }


def test_an_allowance_wider_than_half_the_boxing_is_refused(faults):
    found = faults("box-cushion", 26.0, length=500.0, width=500.0, thickness=50.0)
    assert '"boxing" (50.0 mm)' in found["seam_allowance"].rule
    assert not faults("box-cushion", 25.0, length=500.0, width=500.0, thickness=50.0)
