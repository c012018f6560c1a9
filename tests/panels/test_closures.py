"""Closures: halves for a zip, slits, openings in seams, and what is asked for."""

import math
from dataclasses import replace

import pytest
from shapely import Polygon

from nesting.geometry.curves import circle
from nesting.panels.drafting.draft import Draft, EdgeUse, Seam
from nesting.panels.drafting.finished import Drill, EdgeSort, FinishedPanel, polygon, rectangle
from nesting.panels.drafting.notches import marked_places
from nesting.panels.drafting.seams import measure_seams, sewn_length
from nesting.panels.making import make_panels
from nesting.panels.parts.closures import (
    Closing,
    ClosureKind,
    closing,
    closure_faults,
    closure_measurements,
    halved,
    left_open,
    slit,
    zip_allowances,
    zip_seam,
)
from nesting.panels.parts.strips.long_strip import long_strip
from nesting.panels.parts.strips.strip import Rim, Side, rim_of
from nesting.panels.parts.strips.zipped import zip_halves, zipped_strip

SIDES = ("front", "right", "back", "left")
ROOM = {"back": 400.0, "bottom": 300.0}
NOTHING = {m.name: m.default for m in closure_measurements("back", "bottom")}


def test_no_closure_is_made_that_nobody_asked_for():
    assert closing(NOTHING, ROOM) is None
    assert closure_faults(NOTHING, ROOM) == ()
    assert zip_allowances(NOTHING) == {}


def test_the_key_of_a_closure_lists_only_the_ways_that_are_offered():
    """A product without a slit used to offer one in its help."""
    closure, *_ = closure_measurements("back", kinds=("none", "zip"))
    assert closure.meaning == "closure: none or zip"
    closure, *_ = closure_measurements("back")
    assert closure.meaning.endswith("none, zip or slit")


def test_a_zip_is_as_long_as_its_place_allows():
    """10 mm at each end of 400 mm: 380 mm; the first place is the default."""
    assert closing({**NOTHING, "closure": "zip"}, ROOM) == Closing(ClosureKind.ZIP, "back", 380.0)
    asked = {**NOTHING, "closure": "slit", "closure_place": "bottom", "closure_length": 200.0}
    assert closing(asked, ROOM) == Closing(ClosureKind.SLIT, "bottom", 200.0)


def test_taking_out_a_closure_without_room_takes_out_all_that_speaks_of_it():
    """`closure` alone taken out, the other keys were refused next."""
    asked = {"closure": "zip", "closure_place": "back", "zip_allowance": 15.0, "zip_side": 2}
    values = {**NOTHING, **asked}
    (fault,) = closure_faults(values, {"back": 60.0})
    words = "remove closure, closure_place, zip_allowance and zip_side"
    assert (fault.place, fault.remedy) == ("closure", words)
    assert closure_faults({**values, **dict.fromkeys(asked), "closure": "none"}, {}) == ()


def test_another_place_is_named_for_a_closure_only_where_it_has_room():
    values = {**NOTHING, "closure": "zip"}
    (fault,) = closure_faults(values, {"back": 60.0, "bottom": 300.0})
    assert fault.remedy == 'write closure_place = "bottom", or remove closure'
    (fault,) = closure_faults(values, {"back": 60.0, "bottom": 65.0})
    assert fault.remedy == "remove closure"


def test_an_opening_longer_than_its_place_is_refused():
    (fault,) = closure_faults({**NOTHING, "closure": "zip", "closure_length": 390.0}, ROOM)
    place, rule, *_ = fault.texts("mm")
    assert (place, rule) == ("closure_length", "must not be more than 380 mm in the back")
    (fault,) = closure_faults({**NOTHING, "closure": "zip"}, {"back": 60.0})
    assert fault.place == "closure"


def test_keys_that_say_nothing_without_a_closure_are_refused():
    asked = {**NOTHING, "closure_place": "back", "closure_length": 90.0, "zip_allowance": 20.0}
    faults = closure_faults(asked, ROOM)
    assert {f.place for f in faults} == {"closure_place", "closure_length", "zip_allowance"}
    (fault,) = closure_faults({**NOTHING, "closure": "slit", "zip_allowance": 20.0}, ROOM)
    assert (fault.place, fault.rule) == ("zip_allowance", "has no effect without a zip")


def test_two_half_plates_share_the_plate_between_them():
    plate = rectangle("plate", 2, 500.0, 400.0, SIDES)
    lower, upper = halved(plate, ("near", "far"))
    assert (lower.name, upper.name, lower.per_item) == ("near", "far", 1)
    assert list(lower.edges) == ["left", "front", "right", "zip"]
    assert list(upper.edges) == ["right", "back", "left", "zip"]
    assert lower.area_mm2 == upper.area_mm2 == 100_000
    assert lower.edges["left"].length_mm == 200
    assert lower.sort("zip") is EdgeSort.ZIP
    assert not Polygon(lower.ring).overlaps(Polygon(upper.ring))


def test_half_discs_have_half_the_rim_each():
    """A disc of 300 mm: rim 150π, straight edge 300 mm."""
    for across in (False, True):
        for half in halved(
            FinishedPanel("plate", 2, {"rim": circle(150)}), ("a", "b"), across=across
        ):
            assert half.edges["rim"].length_mm == pytest.approx(150 * math.pi)
            assert half.edges["zip"].length_mm == pytest.approx(300)
            assert half.area_mm2 == pytest.approx(math.pi * 150**2 / 2, rel=1e-3)


def test_halving_across_gives_the_part_nearer_the_tail_of_the_grain_first():
    lower, upper = halved(rectangle("plate", 1, 500.0, 400.0, SIDES), ("a", "b"), across=True)
    assert max(x for x, _ in lower.ring) == pytest.approx(250)
    assert min(x for x, _ in upper.ring) == pytest.approx(250)


def test_a_shape_that_its_middle_cuts_more_than_twice_cannot_be_halved():
    corners = [(0, 0), (50, 0), (50, 60), (40, 60), (40, 10), (10, 10), (10, 60), (0, 60)]
    bay = polygon("bay", 1, {f"e{i}": (float(x), float(y)) for i, (x, y) in enumerate(corners)})
    with pytest.raises(ValueError, match="cannot be halved"):
        halved(bay, ("a", "b"))


def test_marks_stay_in_their_halves_and_none_may_lie_on_the_line():
    marked = rectangle("bottom", 1, 400.0, 300.0, SIDES, drills=(Drill((90.0, 100.0), "button"),))
    lower, upper = halved(marked, ("front", "back"))
    assert (lower.drills, upper.drills) == (marked.drills, ())
    nearer, farther = halved(marked, ("near", "far"), across=True)
    assert (nearer.drills, farther.drills) == ((Drill((90.0, 100.0), "button"),), ())
    with pytest.raises(ValueError, match="a drill mark lies on its middle line"):
        halved(replace(marked, drills=(Drill((90.0, 150.0)),)), ("front", "back"))


def test_the_seam_of_a_zip_is_marked_at_both_ends_of_its_opening():
    """380 of 400 mm open: marks at 10 and 390 mm on both halves, and 20 mm are sewn."""
    lower, upper = halved(rectangle("plate", 1, 400.0, 300.0, SIDES), ("a", "b"))
    draft = Draft((lower, upper), (zip_seam("zip", "a", "b", 400.0, 380.0),))
    (seam,) = measure_seams(draft)
    assert seam.meets
    assert seam.sewn_mm == pytest.approx(20)
    to_the_zip = 2 * 380  # both edges of it
    assert sewn_length(draft, draft.seams[0]) == pytest.approx(20 + to_the_zip)
    for panel in ("a", "b"):
        marked = marked_places(draft)[panel, "zip"]
        assert sorted(at for at, _ in marked) == pytest.approx([10, 390])


def test_an_opening_in_a_seam_is_marked_about_its_middle():
    seam = left_open(Seam("side", (), ()), 500.0, 200.0)
    assert [mark.fraction for mark in seam.marks] == pytest.approx([0.3, 0.7])
    assert seam.opening_mm == 200


def test_a_slit_is_cut_with_a_drill_mark_at_each_end():
    panel = slit(rectangle("plate", 1, 400.0, 300.0, SIDES), (100.0, 150.0), (300.0, 150.0))
    assert panel.inner_cuts == (((100.0, 150.0), (300.0, 150.0)),)
    assert panel.lines == ()
    assert [drill.at for drill in panel.drills] == [(100.0, 150.0), (300.0, 150.0)]


@pytest.mark.parametrize("grain", ["along", "across", "any"])
def test_a_strip_is_split_lengthways_whatever_its_grain(grain):
    lower, upper = zip_halves("zip", 400.0, 80.0, grain)
    for half in (lower, upper):
        assert half.edges["zip"].length_mm == pytest.approx(400)
        assert half.edges["start"].length_mm == half.edges["end"].length_mm == pytest.approx(40)
    assert "lower" in lower.edges
    assert "upper" in upper.edges


@pytest.mark.parametrize("pieces", [1, 2, 3, 4, 7])
def test_boxing_with_a_zip_in_its_back_meets_both_plates(pieces):
    plate = rectangle("plate", 2, 500.0, 400.0, SIDES)
    sides = [Side(name, plate.edges[name].length_mm) for name in SIDES]
    down = ("front", "left", "back", "right")
    rims = [
        rim_of("top plate", "plate", SIDES, "upper"),
        rim_of("bottom plate", "plate", down, "lower"),
    ]
    strip = zipped_strip("boxing", sides, 2, 460.0, 80.0, pieces, "across", rims)
    draft = Draft((plate, *strip.panels), strip.seams)
    assert all(abs(seam.unexplained_mm) < 1e-6 for seam in measure_seams(draft))
    assert sum(p.per_item * p.area_mm2 for p in strip.panels) == pytest.approx(1800 * 80)
    sewn = {(use.panel, use.edge) for s in draft.seams for use in (*s.first, *s.second)}
    assert sewn == {(p.name, edge) for p in draft.panels for edge in p.edges}


@pytest.mark.parametrize("pieces", [1, 2, 4])
def test_boxing_meets_a_bottom_plate_in_two_halves(pieces):
    """Each short side of the bottom is an edge of either half, the front half's first."""
    top = rectangle("top", 1, 500.0, 400.0, SIDES)
    halves = halved(rectangle("bottom", 1, 500.0, 400.0, SIDES), ("near", "far"))
    ends = {side: (EdgeUse("near", side), EdgeUse("far", side)) for side in ("left", "right")}
    below = (
        (EdgeUse("near", "front"),),
        ends["left"],
        (EdgeUse("far", "back"),),
        ends["right"][::-1],
    )
    sides = [Side(name, top.edges[name].length_mm) for name in SIDES]
    rims = [rim_of("top plate", "top", SIDES, "upper"), Rim("bottom plate", below, "lower")]
    strip = long_strip("boxing", sides, 80.0, pieces, "across", rims)
    zip_ = zip_seam("zip", "near", "far", 500.0, 400.0)
    draft = Draft((top, *halves, *strip.panels), (*strip.seams, zip_))
    assert all(abs(seam.unexplained_mm) < 1e-6 for seam in measure_seams(draft))
    sewn = {(use.panel, use.edge) for s in draft.seams for use in (*s.first, *s.second)}
    assert sewn == {(p.name, edge) for p in draft.panels for edge in p.edges}


def test_a_notch_near_a_corner_is_cut_into_its_own_edge():
    """10 mm from the corner of a zip edge with 30 mm, beside an edge with 12 mm."""
    half, _ = halved(rectangle("plate", 1, 400.0, 300.0, SIDES), ("a", "b"))
    draft = Draft((half, _), (zip_seam("zip", "a", "b", 400.0, 380.0),), allowances_mm={
        EdgeSort.ZIP: 30.0
    })  # fmt: skip

    class Halves:
        cautions = ()

        def draft(self, values):
            return draft

    panel = make_panels(
        Halves(), {}, item="i", cloth="c", quantity=1, allowance_mm=12.0
    ).panels[0]  # fmt: skip
    assert sorted(n.foot for n in panel.notches) == [(2_200, 19_200), (40_200, 19_200)]


@pytest.mark.parametrize(
    ("product", "sizes", "opening"),
    [
        # Box of 20 in: zip along the back. Bolster 14 in long: zip along the body. Tetra of
        # 24 in: zip along one end, which is as long as the edge.
        ("box-cushion", {"length": 508.0, "width": 508.0, "thickness": 76.2}, 508.0),
        ("bolster", {"diameter": 228.6, "length": 355.6}, 355.6),
        ("tetra-bag", {"edge": 609.6}, 609.6),
    ],
)
def test_both_halves_of_a_zip_and_the_sewn_ends_make_up_its_side(make, product, sizes, opening):
    """A side of plain geometry: opening + 2·10 mm sewn at its ends; the zip 12 mm beyond each.

    The margins of 10 and 12 mm are common practice, without a source.
    """
    made = make(product, 12.7, **sizes, closure="zip")
    (zipped,) = (n for n in made.notions if n.kind == "zip")
    tape, clear = zipped.lengths_mm
    assert clear + 2 * 10 == pytest.approx(opening)
    assert tape - clear == pytest.approx(2 * 12)


def test_zip_halves_of_boxing_3_in_deep_are_cut_two_and_a_half_inches_wide(make, by_name):
    """3/2 in and two allowances of 1/2 in each (common practice of cushion makers)."""
    panels = by_name(
        make("box-cushion", 12.7, length=508.0, width=508.0, thickness=76.2, closure="zip").panels
    )
    for half in ("boxing-zip-lower", "boxing-zip-upper"):
        narrow = min(panels[half].cut.length, panels[half].cut.height)
        assert narrow / 2540 == pytest.approx(2.5, abs=0.001)


def test_halves_of_a_boxing_have_room_for_the_allowances_of_both_their_long_edges(faults):
    """By hand: each half of 50 mm is 25 mm deep; 15 mm at the zip and 10 mm at the rim fit it."""
    given = {"length": 500.0, "width": 400.0, "thickness": 50.0, "closure": "zip"}
    assert faults("box-cushion", 10.0, **given, zip_allowance=15.0) == {}
    found = faults("box-cushion", 10.0, **given, zip_allowance=16.0)
    assert "allow at most 15 mm" in found["zip_allowance"].remedy
