"""Long strips in pieces: where the joins fall, and that they meet the plates."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from nesting.panels.drafting.draft import Draft
from nesting.panels.drafting.finished import polygon
from nesting.panels.drafting.notches import marked_places
from nesting.panels.drafting.seams import measure_seams
from nesting.panels.drafting.unlike_parts import divide_unlike_parts
from nesting.panels.parts.strips.long_strip import long_strip
from nesting.panels.parts.strips.strip import Side, rim_of
from nesting.panels.product import products


def pieces_of(made):
    return sorted(
        (panel.name, panel.per_item, round(panel.cut.height / 100))
        for panel in made.panels
        if panel.name.startswith("boxing")
    )


@pytest.mark.parametrize(
    ("strips", "expected"),
    [
        (1, [("boxing", 1, 1800)]),
        (2, [("boxing", 2, 900)]),
        (3, [("boxing-1", 1, 900), ("boxing-2", 1, 500), ("boxing-3", 1, 400)]),
        (4, [("boxing-long", 2, 500), ("boxing-short", 2, 400)]),
        # Both long sides in two: 4 x 250, 2 x 400.
        (6, [("boxing-long", 2, 400), ("boxing-short", 4, 250)]),
        (8, [("boxing-long", 4, 250), ("boxing-short", 4, 200)]),
    ],
)
def test_the_boxing_of_500_by_400_in_so_many_strips(make, strips, expected):
    made = make("box-cushion", length=500.0, width=400.0, thickness=80.0, strips=strips)
    assert pieces_of(made) == expected
    assert all(seam.meets for seam in made.seams)


def test_each_join_costs_two_allowances_of_cloth(make):
    """1 strip: 1820 mm of cut length with 10 mm allowances; 3 strips: 40 mm more."""
    lengths = []
    for strips in (1, 3):
        made = make("box-cushion", 10.0, length=500.0, width=400.0, thickness=80.0, strips=strips)
        boxing = [p for p in made.panels if p.name.startswith("boxing")]
        lengths.append(sum(p.per_item * p.cut.height for p in boxing) / 100)
    assert lengths == [1820, 1860]


def test_joins_fall_on_corners_where_they_can_and_are_told(draft):
    two = draft("box-cushion", length=500.0, width=400.0, thickness=80.0, strips=2).joinings[0]
    assert (two.pieces, two.sides) == (2, 4)
    assert two.joins == (
        "the corner between back and left",
        "the corner between front and right",
    )
    five = draft("box-cushion", length=500.0, width=400.0, thickness=80.0, strips=5).joinings[0]
    assert five.joins[2] == "1/2 of front"


def test_a_strip_in_one_piece_is_joined_behind(draft):
    """At a corner where the plate has one, else in the middle of the back."""
    box = {"length": 500.0, "width": 400.0, "thickness": 80.0}
    stool = {"length": 600.0, "width": 400.0, "height": 350.0}
    drum = {"diameter": 500.0, "height": 350.0}
    for product, sizes, place in (
        ("box-cushion", box, "the corner between back and left"),
        ("box-cushion", box | {"corner_radius": 60.0}, "the double notch, in the middle of"),
        ("footstool", stool, "the corner between back and left"),
        ("footstool", stool | {"construction": "wrap"}, "the corner between back and bottom"),
        ("round-cushion", {"diameter": 450.0, "thickness": 80.0}, "middle of the back"),
        ("drum-pouf", drum, "middle of the back"),
    ):
        drawn = draft(product, **sizes, strips=1)
        (joining,) = drawn.joinings
        assert place in joining.fact.in_unit("cm")
        assert not joining.usual


def test_a_join_within_a_side_is_notched_on_the_plate(draft):
    """Five strips: the front is joined in its middle, 250 mm from either corner."""
    whole = draft("box-cushion", length=500.0, width=400.0, thickness=80.0, strips=5)
    assert 250.0 in {at for at, _ in marked_places(whole)["plate", "front"]}


def test_a_round_strip_in_three_meets_the_disc_with_marks_at_its_joins(make, draft):
    made = make("round-cushion", diameter=300.0, thickness=60.0, strips=3)
    assert [(p.name, p.per_item) for p in made.panels] == [("plate", 2), ("boxing", 3)]
    assert made.panels[1].cut.height / 100 == pytest.approx(100 * math.pi, abs=0.02)
    assert all(seam.meets for seam in made.seams)
    rim = {round(at, 1) for at, _ in marked_places(draft(
        "round-cushion", diameter=300.0, thickness=60.0, strips=3
    ))["plate", "rim"]}  # fmt: skip
    assert {314.2, 628.3} <= rim


def test_the_join_seam_is_counted_as_often_as_it_is_sewn(make):
    joins = [s for s in make("round-cushion", diameter=300.0, thickness=60.0, strips=3).seams
             if s.seam == "boxing join"]  # fmt: skip
    assert [join.times for join in joins] == [3]


def test_pieces_in_a_row_are_named_once_with_their_number(make):
    made = make("round-cushion", diameter=300.0, thickness=60.0, strips=3)
    seams = {seam.seam: seam for seam in made.seams}
    assert seams["boxing to top plate"].second == "3 × boxing upper"


def test_pieces_with_corners_at_unlike_places_are_unlike_panels():
    """Sides of 200 and 300 mm, and of 300 and 200: both 500 long, the corner elsewhere."""
    sides = [Side(f"s{i}", run) for i, run in enumerate((200.0, 300.0, 300.0, 200.0))]
    strip = long_strip("boxing", sides, 50.0, 2, "along", ())
    assert [(p.name, p.per_item) for p in strip.panels] == [("boxing-1", 1), ("boxing-2", 1)]
    again = long_strip("boxing", [*sides[:2], *sides[:2]], 50.0, 2, "along", ())
    assert [(p.name, p.per_item) for p in again.panels] == [("boxing", 2)]


def notched(draft, marked, run, *, against, from_mm=0.0):
    """Notches of one side of a seam, and where its edges meet, from its start in millimetres."""
    found, ends, met = set(), {0.0}, 0.0
    around = draft.run_mm(run) if from_mm else math.inf
    for use in run:
        edge = draft.edge(use)
        for at, double in marked.get((use.panel, use.edge), ()):
            place = met + (edge.length_mm - at if against else at)
            found.add((round((place - from_mm) % around, 2), double))
        met += edge.length_mm
        ends.add((met - from_mm) % around)
    if len(run) == 1 and draft.edge(run[0]).closed:
        found |= {(0.0, double) for at, double in found if at == round(met, 2)}
    return found, ends


def assert_notches_meet(draft):
    """Each notch beside a notch, or beside a join or a corner, within half a millimetre.

    Welt bends round as it is sewn, and has none.
    """
    draft, _ = divide_unlike_parts(draft)
    marked = marked_places(draft)
    for seam in (seam for seam in draft.seams if not seam.overlap_mm):
        one, other = (
            notched(draft, marked, seam.first, against=False, from_mm=seam.from_mm),
            notched(draft, marked, seam.second, against=True),
        )
        for (found, _), (others, ends) in ((one, other), (other, one)):
            for at, double in found:
                beside = any(abs(at - a) <= 0.5 and double == d for a, d in others)
                assert beside or any(abs(at - end) <= 0.5 for end in ends), (seam.name, at)


@given(
    st.floats(150, 1500),
    st.floats(150, 1500),
    st.floats(5, 74),
    st.integers(1, 4),
    st.sampled_from(("none", "zip")),
    st.sampled_from(("boxing", "bottom")),
)
@settings(deadline=None, max_examples=60)
def test_notches_of_plates_and_boxing_meet_round_rounded_corners(x, y, r, strips, closure, place):
    product = products()["box-cushion"]
    values = {m.name: m.default for m in product.measurements}
    values |= {"length": x, "width": y, "thickness": 80.0, "corner_radius": r, "strips": strips}
    values |= {"closure": closure, "closure_place": place if closure == "zip" else None}
    assume(not product.faults(values, 10.0))
    drawn = product.draft(values)
    assert_notches_meet(drawn)
    # Every place where a straight side meets a round has its notch, where there is room.
    marked = marked_places(drawn)
    if r > 13 and min(x, y) - 2 * r > 13:
        for panel in drawn.panels:
            rims = [edge for edge in panel.edges if edge not in ("zip", "start", "end")]
            for edge in rims if "plate" in panel.name else ():
                assert (0.0, False) in marked[panel.name, edge]


@given(st.floats(150, 900), st.integers(1, 9), st.sampled_from(("none", "zip")))
@settings(deadline=None, max_examples=30)
def test_notches_of_discs_and_boxing_meet(diameter, strips, closure):
    product = products()["round-cushion"]
    values = {m.name: m.default for m in product.measurements}
    values |= {"diameter": diameter, "thickness": 80.0, "strips": strips, "closure": closure}
    assume(not product.faults(values, 10.0))
    assert_notches_meet(product.draft(values))


@st.composite
def rounds(draw):
    """Corners of a star-shaped plate, anticlockwise, and a number of pieces."""
    radii = draw(st.lists(st.floats(100, 900), min_size=3, max_size=9))
    angles = [math.tau * i / len(radii) for i in range(len(radii))]
    corners = [(r * math.cos(a), r * math.sin(a)) for r, a in zip(radii, angles, strict=True)]
    return corners, draw(st.integers(1, 14)), draw(st.booleans())


@given(rounds())
@settings(deadline=None, max_examples=60)
def test_any_number_of_pieces_covers_any_plate_exactly(made):
    corners, pieces, closed = made
    plate = polygon("plate", 1, {f"side {i}": corner for i, corner in enumerate(corners)})
    sides = [Side(name, edge.length_mm) for name, edge in plate.edges.items()]
    rim = rim_of("top plate", "plate", list(plate.edges), "upper")
    strip = long_strip("boxing", sides, 50.0, pieces, "along", [rim], closed=closed)
    assert sum(panel.per_item for panel in strip.panels) == pieces
    assert len(strip.joining.joins) == (pieces if closed else pieces - 1)
    draft = Draft((plate, *strip.panels), strip.seams)
    assert all(abs(seam.unexplained_mm) <= 0.05 for seam in measure_seams(draft))
    assert_notches_meet(draft)
    longest = max(panel.edges["upper"].length_mm for panel in strip.panels)
    around = sum(side.length_mm for side in sides)
    assert longest >= around / pieces - 0.01
