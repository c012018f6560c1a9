"""Shaped seats: any straight-sided plate, mirrored where it must be."""

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LinearRing, LineString, Point, Polygon
from shapely.affinity import scale

from nesting.panels.making import make_panels
from nesting.panels.product import products

L = ((0.0, 0.0), (600.0, 0.0), (600.0, 250.0), (300.0, 250.0), (300.0, 500.0), (0.0, 500.0))
T = products()["shaped-seat"].measurements[0].example


def placed(outline):
    """A polygon with its least corner at the origin, in hundredths of a millimetre."""
    shape = Polygon(outline)
    x, y = shape.bounds[:2]
    return Polygon([(a - x, b - y) for a, b in outline])


def test_an_l_is_cut_as_a_plate_and_its_mirror_image(make, by_name):
    """600·250 + 300·250 = 225 000 mm²; boxing 600 + 250 + 300 + 250 + 300 + 500 = 2200 (hand)."""
    made = make("shaped-seat", 10.0, corners=L, thickness=80.0, strips=1, strip_grain="along")
    panels = by_name(made.panels)
    assert set(panels) == {"top-plate", "bottom-plate", "boxing"}
    top, bottom = (placed(panels[n].stitch.points) for n in ("top-plate", "bottom-plate"))
    assert top.area / 1e4 == pytest.approx(225_000, abs=40)
    image = placed(list(scale(top, yfact=-1).exterior.coords)[:-1])
    assert image.symmetric_difference(bottom).area / 1e4 < 60
    assert top.symmetric_difference(bottom).area / 1e4 > 100_000
    assert panels["boxing"].cut.length / 100 == pytest.approx(2220, abs=0.02)
    assert made.area_mm2 == pytest.approx(2 * 225_000 + 2200 * 80)
    assert made.volume_litres == pytest.approx(18)
    assert all(seam.meets for seam in made.seams)


def test_corners_given_the_other_way_round_make_the_same_plates(make, by_name):
    one = by_name(make("shaped-seat", 10.0, corners=L, thickness=80.0).panels)
    other = by_name(make("shaped-seat", 10.0, corners=L[::-1], thickness=80.0).panels)
    for plate in ("top-plate", "bottom-plate"):
        assert placed(one[plate].cut.points).equals(placed(other[plate].cut.points))


def test_a_shape_that_is_its_own_mirror_image_in_the_grain_line_is_cut_twice(make, by_name):
    """T: 480·480 + 2·100·60 = 242 400 mm² (by hand); the trapezoid tapers along the grain."""
    plate = by_name(make("shaped-seat", corners=T, thickness=80.0).panels)["plate"]
    assert plate.per_item == 2
    assert plate.cut.area_mm2 == pytest.approx(242_400)
    trapezoid = ((0.0, 0.0), (400.0, 50.0), (400.0, 450.0), (0.0, 500.0))
    made = make("shaped-seat", 10.0, corners=trapezoid, thickness=60.0)
    plate = by_name(made.panels)["plate"]
    assert plate.stitch.area_mm2 == pytest.approx(180_000, abs=20)  # (500 + 400)/2·400
    leg = math.hypot(400, 50)  # 403.113
    seams = sorted(seam.first_mm for seam in made.seams if "top plate" in seam.seam)
    assert seams == pytest.approx([400, leg, leg, 500])


def test_inside_corners_are_clipped(make, by_name):
    panels = by_name(make("shaped-seat", 10.0, corners=L, thickness=80.0).panels)
    assert [sum(n.clip for n in panels[p].notches) for p in ("top-plate", "bottom-plate")] == [1, 1]
    plate = by_name(make("shaped-seat", 10.0, corners=T, thickness=80.0).panels)["plate"]
    assert sum(n.clip for n in plate.notches) == 2


def test_the_zip_lies_in_the_boxing_of_the_longest_side_or_of_the_one_asked_for(make):
    """600 - 2·10 = 580 mm of opening; the sixth side 500 - 2·10 = 480 mm."""
    for side, opening in ((None, 580), (6, 480)):
        made = make("shaped-seat", 10.0, corners=L, thickness=80.0, closure="zip", zip_side=side)
        (zipped,) = (n for n in made.notions if n.kind == "zip")
        assert zipped.lengths_mm[1] == pytest.approx(opening)
        assert all(seam.meets for seam in made.seams)


@pytest.mark.parametrize("given", [T, T[::-1]])
def test_sides_are_named_by_the_number_that_takes_the_zip(draft, given):
    """From corner 1 to corner 2 is side 1, whichever way round the corners are given."""
    plate = draft("shaped-seat", corners=given, thickness=80.0).panel("plate")
    assert set(plate.edges) == {f"side {i}" for i in range(1, 9)}
    for i, (one, other) in enumerate(pairwise((*given, given[0])), start=1):
        ends = {plate.edges[f"side {i}"].points[0], plate.edges[f"side {i}"].points[-1]}
        assert ends == {one, other}


@pytest.mark.parametrize("strips", [1, 3])
@pytest.mark.parametrize(("given", "other"), [(T, 5), (T[::-1], 3)])
def test_boxing_is_joined_at_an_end_of_the_longest_side(draft, strips, given, other):
    """600 mm at the back of the T; corners given the other way round end beside its third side."""
    joining = draft("shaped-seat", corners=given, thickness=80.0, strips=strips).joinings[0]
    longest = 4
    assert joining.joins[0] == f"the corner between side {longest} and side {other}"


def test_a_welt_is_begun_in_the_middle_of_the_longest_side_by_its_number(draft):
    steps = draft("shaped-seat", corners=T, thickness=80.0, welt_cord=4.0).steps
    assert any("the middle of side 4" in step.words for step in steps)


def test_a_centre_button_of_an_l_stands_in_the_middle_of_its_area(draft, by_name):
    """Area 150 000 + 75 000 mm²: (150·300 + 75·150)/225 = 250 mm along, 208.3 across (by hand)."""
    panels = by_name(draft("shaped-seat", corners=L, thickness=80.0, buttons="centre").panels)
    (above,), (below,) = panels["top-plate"].drills, panels["bottom-plate"].drills
    assert above.at == pytest.approx((250, 208.333), abs=0.001)
    assert below.at == pytest.approx((above.at[0], -above.at[1]))


def test_buttons_off_the_plate_or_at_its_edge_are_refused(faults):
    """The area of a frame open at one side has its middle in the opening."""
    bay = ((0, 0), (600, 0), (600, 100), (100, 100), (100, 500), (600, 500), (600, 600), (0, 600))
    seat = {"corners": bay, "thickness": 80.0, "strip_grain": "any"}
    found = faults("shaped-seat", 10.0, **seat, buttons="centre")
    assert "must lie in it" in found["buttons"].rule
    assert "button_spacing" in faults(
        "shaped-seat", 10.0, **seat, buttons="diamond", button_spacing=110.0
    )


def test_a_diamond_keeps_half_a_spacing_from_every_edge(draft, by_name):
    seat = {"corners": L, "thickness": 80.0, "buttons": "diamond", "button_spacing": 90.0}
    plate = by_name(draft("shaped-seat", **seat).panels)["top-plate"]
    around = LinearRing(plate.ring)
    assert len(plate.drills) > 5
    assert all(around.distance(Point(drill.at)) > 44.999 for drill in plate.drills)


@pytest.mark.parametrize(
    ("corners", "rule", "value"),
    [
        (((0, 0), (500, 400), (500, 0), (0, 400)), "must not cross", "[250 200]"),
        (((0, 0), (500, 0), (250, 0)), "must not cross", ""),
        (((0, 0), (500, 0), (500, 400), (500, 404)), "corners 3 and 4", "(500, 404)"),
        (((0, 0), (500, 0), (500, 400), (0, 0)), "corners 4 and 1", "(0, 0)"),
    ],
)
def test_shapes_that_cannot_be_sewn_are_refused_with_the_place(faults, corners, rule, value):
    found = faults("shaped-seat", 5.0, corners=corners, thickness=80.0)["corners"]
    assert rule in found.rule
    assert value in found.value


def test_a_bay_narrower_than_two_allowances_and_strange_zip_sides_are_refused(faults):
    bay = ((0, 0), (500, 0), (500, 400), (260, 400), (260, 200), (240, 200), (240, 400), (0, 400))
    assert "seam_allowance" in faults("shaped-seat", 12.0, corners=bay, thickness=80.0)
    assert faults("shaped-seat", 8.0, corners=bay, thickness=80.0) == {}
    assert "zip_side" in faults("shaped-seat", 5.0, corners=L, thickness=80.0, zip_side=2)
    zipped = {"corners": L, "thickness": 80.0, "closure": "zip", "zip_side": 7}
    assert "zip_side" in faults("shaped-seat", 5.0, **zipped)


@st.composite
def seats(draw):
    """Star-shaped plates: a corner in each of some directions, in and out at random."""
    count = draw(st.integers(3, 10))
    reach = st.floats(120, 700)
    ring = [
        (700 + r * math.cos(math.tau * i / count), 700 + r * math.sin(math.tau * i / count))
        for i, r in enumerate(draw(st.lists(reach, min_size=count, max_size=count)))
    ]
    return tuple(ring[:: draw(st.sampled_from((1, -1)))])


@given(
    seats(),
    st.floats(30, 200),
    st.one_of(st.integers(1, 12), st.just("auto")),
    st.booleans(),
    st.sampled_from((5.0, 10.0, 12.7)),
)
@settings(deadline=None, max_examples=40)
def test_any_seat_meets_at_its_seams_and_has_the_area_of_its_shape(
    corners, thickness, strips, zipped, allowance
):
    product = products()["shaped-seat"]
    values = {m.name: m.default for m in product.measurements}
    values |= {"corners": corners, "thickness": thickness, "strips": strips}
    values |= {"closure": "zip" if zipped else "none"}
    assume(not product.faults(values, allowance))
    made = make_panels(product, values, item="s", cloth="c", quantity=1, allowance_mm=allowance)
    assert all(abs(seam.unexplained_mm) <= 0.5 for seam in made.seams)
    area, around = Polygon(corners).area, LinearRing(corners).length
    assert made.area_mm2 == pytest.approx(2 * area + around * thickness)
    assert made.volume_litres == pytest.approx(area * thickness / 1e6)
    assert {s.seam for s in made.seams} == {n for step in made.steps for n in step.seams}
    for panel in made.panels:
        cut, stitch = Polygon(panel.cut.points), Polygon(panel.stitch.points)
        assert cut.is_valid
        assert cut.covers(stitch)
        ring = LinearRing(panel.cut.points)
        for one, other in pairwise([*panel.stitch.points, panel.stitch.points[0]]):
            middle = LineString([one, other]).centroid
            assert ring.distance(middle) == pytest.approx(100 * allowance, abs=3)


@pytest.mark.parametrize("corners", [L, T])
def test_a_plate_on_whole_centimetres_has_the_area_of_its_lattice_points(make, corners):
    """Pick's theorem: area = points inside + half those on the rim - 1, in square centimetres.

    Of a shape with square corners the rim has as many points as it is centimetres long, which
    is the length of the boxing too. Nothing of our geometry is used.
    """
    crosses = list(pairwise([*corners, corners[0]]))
    inside = on_rim = 0
    for x in range(0, 1000, 10):
        for y in range(0, 1000, 10):
            if any(min(a, c) <= x <= max(a, c) and min(b, d) <= y <= max(b, d)
                   for (a, b), (c, d) in crosses):  # fmt: skip
                on_rim += 1
            else:
                inside += sum(a == c > x and min(b, d) < y + 0.5 < max(b, d)
                              for (a, b), (c, d) in crosses) % 2  # fmt: skip
    area = inside + on_rim / 2 - 1
    made = make("shaped-seat", 10.0, corners=corners, thickness=80.0, strips=1)
    plates = [panel for panel in made.panels if "plate" in panel.name]
    (boxing,) = (panel for panel in made.panels if "boxing" in panel.name)
    assert sum(plate.per_item for plate in plates) == 2
    for plate in plates:
        assert plate.stitch.area_mm2 / 100 == pytest.approx(area, abs=0.5)
    assert max(boxing.stitch.length, boxing.stitch.height) / 1000 == pytest.approx(
        on_rim, abs=0.003
    )
