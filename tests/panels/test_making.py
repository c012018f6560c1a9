"""For any valid measurements, seams match and cut lines lie where they must."""

import math
from itertools import chain, pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LinearRing, LineString, Point, Polygon, box

from nesting.panels.drafting.finished import EdgeSort
from nesting.panels.drafting.unlike_parts import divide_unlike_parts
from nesting.panels.making import make_panels
from nesting.panels.measurements import MeasurementKind
from nesting.panels.product import products

#: Grid units that rounding outward may put between two lines.
ROUNDING = 3

CUSHION = {m.name: m.default for m in products()["box-cushion"].measurements} | {
    "length": 500.0,
    "width": 400.0,
    "thickness": 80.0,
    "strip_grain": "any",
}


#: Edges of these sorts may be sewn to nothing.
HEMMED = {EdgeSort.HEM, EdgeSort.ROLLED}

#: Products of which nothing is sewn to anything.
UNSEWN = {"panel", "outline"}

#: Products that have panels with a neck or an inside corner.
WAISTED = {"shaped-seat", "teardrop-bag"}


def values_of(measurement):
    """Anything within the limits of one measurement, lengths up to 3 m, counts up to 12 more."""
    kind, least, greatest = measurement.kind, measurement.least, measurement.greatest
    absent = [] if measurement.required else [st.just(measurement.default)]
    if kind is MeasurementKind.CHOICE:
        return st.one_of(st.sampled_from(measurement.choices), *absent)
    if kind is MeasurementKind.FLAG:
        return st.booleans()
    if kind in (MeasurementKind.POINTS, MeasurementKind.FILE):
        return st.just(measurement.shown)  # shapes of their own: each product tests its own
    if kind is MeasurementKind.NUMBER:
        return st.one_of(st.floats(least, greatest), *absent)
    if kind in (MeasurementKind.COUNT, MeasurementKind.COUNT_OR_AUTO):
        auto = [st.just("auto")] if kind is MeasurementKind.COUNT_OR_AUTO else []
        most = int(min(greatest, least + 44))
        few = st.integers(int(least), min(most, int(least) + 12))
        return st.one_of(few, st.integers(int(least), most), *auto, *absent)
    lengths = st.floats(least, min(greatest, 3_000.0))
    whole = lengths.map(round).map(float).filter(lambda mm: mm >= least)
    return st.one_of(lengths, whole, *absent)


@st.composite
def items(draw):
    product = draw(st.sampled_from(sorted(products().values(), key=lambda p: p.name)))
    values = {m.name: draw(values_of(m)) for m in product.measurements}
    allowance = draw(st.sampled_from((0.0, 3.0, 10.0, 12.7, 25.0)))
    defaults = {m.name: m.default for m in product.measurements if not m.required}
    for _ in range(4):  # as a maker would: what is refused is taken out again
        refused = {fault.place for fault in product.faults(values, allowance)}
        values |= {name: value for name, value in defaults.items() if name in refused}
    assume(not product.faults(values, allowance))
    return product, values, allowance


def made_from(item):
    product, values, allowance = item
    return make_panels(
        product, values, item="seat", cloth="twill", quantity=3, allowance_mm=allowance
    )


@given(items())
@settings(deadline=None, max_examples=150)
def test_all_seams_meet_within_half_a_millimetre(item):
    assert all(abs(seam.unexplained_mm) <= 0.5 for seam in made_from(item).seams)


@given(items())
@settings(deadline=None, max_examples=100)
def test_every_edge_of_a_product_is_sewn_to_something(item):
    product, values, _ = item
    assume(product.name not in UNSEWN)
    draft = product.draft(values)
    sewn = {(use.panel, use.edge) for seam in draft.seams for use in chain(seam.first, seam.second)}
    every = {(panel.name, edge) for panel in draft.panels for edge in panel.edges}
    hemmed = {(p.name, edge) for p in draft.panels for edge in p.edges if p.sort(edge) in HEMMED}
    assert every - hemmed <= sewn <= every


@given(items())
@settings(deadline=None, max_examples=100)
def test_drawn_edges_are_as_long_as_the_seams_say(item):
    """Chords of a whole curve fall short by a seventh of a millimetre at most."""
    product, values, _ = item
    for panel in product.draft(values).panels:
        for edge in panel.edges.values():
            assert 0 <= edge.length_mm - LineString(edge.points).length + 1e-6 < 0.15


@given(items())
@settings(deadline=None, max_examples=150)
def test_the_cut_line_is_one_allowance_from_the_stitch_line_everywhere(item):
    """Never nearer; and never beyond the mitred allowance, rounding apart.

    Where edges have allowances of their own: never nearer than the least, never
    beyond the greatest, and half-way along a long chord that of its edge.
    """
    for panel in made_from(item).panels:
        assume(panel.stitch)
        assume(item[1].get("line") != "cut")  # the stitch line follows the cut line there
        stitch, cut = Polygon(panel.stitch.points), Polygon(panel.cut.points)
        allowances = {edge.allowance for edge in panel.edges}
        around = LinearRing(panel.cut.points)
        assert cut.covers(stitch)
        assert around.distance(stitch) >= min(allowances) - 0.01
        most = stitch.buffer(max(allowances) + ROUNDING, join_style="mitre", mitre_limit=100)
        assert most.covers(cut)
        for edge in panel.edges:
            chord = LineString(max(pairwise(edge.points), key=lambda pair: math.dist(*pair)))
            apart = around.distance(chord.interpolate(0.5, normalized=True))
            assert apart <= edge.allowance + ROUNDING
            if chord.length > 2 * max(allowances):
                assert apart >= edge.allowance - 0.01


def room_about_the_middle(finished):
    """Whether arrow and label fit there, as they do not in the triangle of a wedge."""
    x0, y0, x1, y1 = finished.bounds
    x, y, wide, high = (x0 + x1) / 2, (y0 + y1) / 2, x1 - x0, y1 - y0
    room = box(x - 0.37 * wide, y - 0.07 * high, x + 0.37 * wide, y + 0.32 * high)
    return finished.covers(room)


@given(items())
@settings(deadline=None, max_examples=100)
def test_the_least_corner_is_the_origin_and_marks_lie_inside(item):
    for panel in made_from(item).panels:
        cut = Polygon(panel.cut.points)
        finished = Polygon(panel.stitch.points) if panel.stitch else cut
        assert panel.cut.bounds[:2] == (0, 0)
        (tail_x, tail_y), (head_x, head_y) = panel.grain
        assert tail_y == head_y
        assert tail_x <= head_x
        assert finished.covers(LineString(panel.grain))
        if len({edge.allowance for edge in panel.edges}) == 1 and room_about_the_middle(finished):
            assert abs(tail_x + head_x - panel.cut.length) <= 1
        assert finished.covers(Point(panel.label))
        if panel.cut.height > 100:
            assert panel.label[1] > tail_y


@given(items())
@settings(deadline=None, max_examples=100)
def test_finished_sizes_are_kept_to_a_hundredth_of_a_millimetre(item):
    product, values, _ = item
    draft, _ = divide_unlike_parts(product.draft(values))
    for panel, finished in zip(made_from(item).panels, draft.panels, strict=True):
        drawn = panel.stitch or panel.cut
        least = min(drawn.length, drawn.height)
        assert 0 <= least - 100 * finished.narrowest_mm + 1e-4 <= 2
        # corners go outward, but one that stands near the middle of a side may go either way
        within, around = (
            Polygon(finished.ring).buffer(by, join_style="mitre").area for by in (-0.011, 0.011)
        )
        assert within <= drawn.area_mm2 <= around


@given(items())
@settings(deadline=None, max_examples=60)
def test_gores_discs_and_plates_stay_convex(item):
    """No corner turns inward by more than rounding can make it: 2 parts in a thousand.

    Where edges of unlike allowances meet, the cut line may step.
    """
    assume(item[0].name not in WAISTED)
    made = made_from(item).panels
    for panel in (p for p in made if len({edge.allowance for edge in p.edges}) == 1):
        hull = Polygon(panel.cut.points).convex_hull
        assert hull.area - panel.cut.area2 / 2 <= 1e-5 * hull.area


def test_a_panel_carries_the_item_and_its_numbers():
    made = made_from((products()["box-cushion"], CUSHION, 10.0))
    plate = made.panels[0]
    assert (plate.item, plate.cloth, plate.quantity, plate.per_item) == ("seat", "twill", 3, 2)
    assert plate.copies == 6
    assert plate.allowance == 1_000


def test_panels_are_made_alike_every_time():
    item = (products()["box-cushion"], CUSHION, 10.0)
    assert made_from(item) == made_from(item)


def test_the_whole_surface_of_a_cushion_is_covered():
    """2·(50·40) + 2·(50 + 40)·8 = 5440 cm² (by hand)."""
    made = made_from((products()["box-cushion"], CUSHION, 0.0))
    area = sum(panel.per_item * panel.cut.area_mm2 for panel in made.panels)
    assert area == pytest.approx(544_000)


@given(st.floats(100, 3000), st.floats(0.1, 0.9), st.integers(4, 24))
@settings(deadline=None, max_examples=30)
def test_the_gores_of_a_sphere_cover_the_zone_between_its_caps(diameter, part, gores):
    """Archimedes: the zone has the area π·D·H, here with H = √(D² - c²)."""
    values = {m.name: m.default for m in products()["gored-pouf"].measurements}
    values |= {"diameter": diameter, "gores": gores, "cap_diameter": part * diameter}
    made = made_from((products()["gored-pouf"], values, 0.0))
    zone = math.pi * diameter**2 * math.sqrt(1 - part**2)
    left_out = gores * 2 * 0.05 * made.seams[0].first_mm
    found = gores * made.panels[0].cut.area_mm2
    assert zone - left_out <= found <= zone + left_out
