"""How much cloth, beside what makers and tables say; areas and lengths are worked by hand."""

import math

import pytest

from nesting import Limits, pack

INCH, YARD = 25.4, 914.4


def rectangle(length, height):
    return [(0, 0), (length, 0), (length, height), (0, height)]


def test_six_gores_lie_shorter_than_a_maker_laid_them_and_their_boxes_do_not():
    """Six gores of 60 × 180 cm nested on 150 cm of cloth in 450 cm (jovialspondoodles 2012).

    Two of their boxes lie abreast, so that six need 3·180 = 540 cm. The page does not draw the
    gore; ours has the sine of a sphere's gore, 2/π of its box, so six have 275 cm by area.
    """
    half = [(x, 300 * math.sin(math.pi * x / 1800)) for x in range(0, 1801, 100)]
    gore = [(x, 300 + y) for x, y in half] + [(x, 300 - y) for x, y in half[-2:0:-1]]
    asked = {"quantities": [6], "turns": (0, 180), "limits": Limits(steps=4), "workers": 1}
    nested = pack([gore], 1500, **asked)
    boxes = pack([rectangle(1800, 600)], 1500, **asked)
    assert boxes.used_length_mm == boxes.lower_bound_mm == 5400
    assert 2750 * 0.99 < nested.lower_bound_mm <= nested.used_length_mm <= 4500


#: Yards of cloth 35 to 36, 44 to 45, 52 to 54 and 58 to 60 in wide for the same garment. The
#: table is usually credited to the New Jersey (Rutgers) Extension (from memory).
TABLE = [
    (1.75, 1.375, 1.125, 1),
    (2, 1.625, 1.375, 1.25),
    (2.5, 2.125, 1.75, 1.625),
    (3.125, 2.5, 2, 1.875),
    (4.25, 3.125, 2.625, 2.375),
    (5, 3.875, 3.125, 2.875),
]
WIDTHS_IN = (36, 45, 54, 60)


def test_cloths_of_every_width_take_about_the_same_area_as_the_table_says():
    """Eight plates of 17 in, eight strips of 17 × 5 and five panels of 9 × 21 in on four widths.

    The table's rows keep 0.90 to 1.12 of the area of their first column, so it says no more than
    that cloth is bought by area, within 12 %. Our lengths must say that too, and follow one
    another as the mean of its rows within 12 %.
    """
    panels = [rectangle(a * INCH, b * INCH) for a, b in ((17, 17), (17, 5), (9, 21))]
    yards = [
        pack(
            panels,
            width * INCH,
            quantities=[8, 8, 5],
            turns=(0, 180),
            limits=Limits(steps=5),
            workers=1,
        ).used_length_mm
        / YARD
        for width in WIDTHS_IN
    ]
    ours = [yard * width for yard, width in zip(yards, WIDTHS_IN, strict=True)]
    assert [area / ours[0] for area in ours] == [pytest.approx(1, abs=0.12)] * 4
    for column, yard in enumerate(yards):
        mean = sum(row[column] / row[0] for row in TABLE) / len(TABLE)
        assert yard / yards[0] == pytest.approx(mean, rel=0.12)
