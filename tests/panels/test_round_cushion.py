"""Round cushions against published discs and strips."""

import math

import pytest

INCH = 25.4


def disc_and_strip(made, by_name, unit):
    """Cut diameter of the disc and cut run of the strip, drawn along the grain."""
    panels = by_name(made.panels)
    return panels["plate"].cut.height / 100 / unit, panels["boxing"].cut.length / 100 / unit


@pytest.mark.parametrize(
    ("finished", "expected", "near"),
    [
        # 16π + 1 = 51.265 in; published as 51.5 in (cutoutandkeep.net, floor cushion).
        (16, (17, 16 * math.pi + 1), 51.5),
        # Bolsters of 9 and 6 in: 10 in ends, body 29.26 (thespruce.com 2977940);
        # 7 in ends, body 19.84 (do-it-yourselfdesign 2013); both with π = 3.14.
        (9, (10, 9 * math.pi + 1), 29.26),
        (6, (7, 6 * math.pi + 1), 19.84),
    ],
)
def test_discs_and_strips_in_inches(make, by_name, finished, expected, near):
    made = make(
        "round-cushion",
        INCH / 2,
        diameter=finished * INCH,
        thickness=14 * INCH,
        strip_grain="along",
    )
    found = disc_and_strip(made, by_name, INCH)
    assert found == pytest.approx(expected, abs=0.002)
    assert found[1] == pytest.approx(near, abs=0.25)


def test_a_disc_cut_at_44_5_cm_needs_a_strip_of_135_5_cm(make, by_name):
    """42.5π + 2 = 135.52 cm (computed) with an allowance of 1 cm."""
    made = make("round-cushion", 10.0, diameter=425.0, thickness=300.0, strip_grain="along")
    assert disc_and_strip(made, by_name, 10) == pytest.approx((44.5, 135.52), abs=0.005)


def test_it_is_made_of_two_plates_and_one_strip(make):
    panels = make("round-cushion", diameter=400.0, thickness=60.0).panels
    assert [(p.name, p.per_item) for p in panels] == [("plate", 2), ("boxing", 1)]


def test_both_rims_and_the_join_are_seams(make):
    made = make("round-cushion", diameter=400.0, thickness=60.0)
    assert [seam.first_mm for seam in made.seams] == pytest.approx(
        [400 * math.pi, 400 * math.pi, 60]
    )
    assert all(seam.meets for seam in made.seams)


def test_the_double_notch_of_the_disc_meets_the_join_of_the_strip(make, by_name):
    """Quarter points of a small cushion: 3 + 2 notches on the disc, 3 on each edge of the strip."""
    made = make("round-cushion", 10.0, diameter=300.0, thickness=60.0, strip_grain="along")
    panels = by_name(made.panels)
    assert len(panels["plate"].notches) == 5
    quarter = 300 * math.pi / 4
    feet = sorted(n.foot[0] / 100 - 10 for n in panels["boxing"].notches)
    assert feet == pytest.approx([quarter] * 2 + [2 * quarter] * 2 + [3 * quarter] * 2, abs=0.03)


def test_an_allowance_wider_than_half_the_strip_is_refused(faults):
    assert "seam_allowance" in faults("round-cushion", 31.0, diameter=400.0, thickness=60.0)
