"""Welt in the seams of an article: as long as its stitch lines, sewn on before them."""

import math
import re

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LinearRing, Polygon

from nesting.panels.making import make_panels
from nesting.panels.product import products

SQUARE = {"length": 500.0, "width": 500.0, "thickness": 80.0}
T = next(m.example for m in products()["shaped-seat"].measurements if m.name == "corners")

#: Products with measurements, seams that get a welt, and their length (by hand).
WELTED = {
    # 4·500
    "box-cushion": (SQUARE, ("top plate", "bottom plate"), 2_000),
    # π·450
    "round-cushion": (
        {"diameter": 450.0, "thickness": 80.0},
        ("top plate", "bottom plate"),
        1_413.717,
    ),
    # A T: 380 + 60 + 100 + 600 + 100 + 60 + 380 + 480
    "shaped-seat": ({"corners": T, "thickness": 80.0}, ("top plate", "bottom plate"), 2_160),
    # 4·(250 + 2·√(112.3² + 12.7²)): tapers of 12.7 mm from a quarter of each side
    "knife-edge-cushion": ({"length": 500.0, "width": 500.0}, ("front",), 1_904.127),
    # π·180
    "bolster": ({"diameter": 180.0, "length": 450.0}, ("left end", "right end"), 565.487),
}


@pytest.mark.parametrize("product", WELTED)
def test_each_seam_gets_a_welt_as_long_as_its_stitch_line_and_an_overlap_of_30_mm(make, product):
    sizes, places, around = WELTED[product]
    made = make(product, 10.0, **sizes, welt_cord=5.0, welt_cut="along", welt_strips=2)
    along = {s.seam.removeprefix("welt at "): s for s in made.seams if s.seam.startswith("welt at")}
    assert tuple(along) == places
    for seam in along.values():
        assert (seam.first_mm, seam.second_mm) == pytest.approx((around + 30, around), abs=0.001)
        assert seam.overlap_mm == 30
        assert seam.meets
    welt = made.panels[-1]
    assert (welt.name, welt.per_item) == ("welt", 2 * len(places))
    # Half of it with an allowance at each end; once round the cord with one on either side.
    size = welt.cut.length / 100, welt.cut.height / 100
    assert size == pytest.approx(((around + 30) / 2 + 20, 5 * math.pi + 20), abs=0.02)
    (corded,) = (n for n in made.notions if n.kind == "welt cord")
    assert corded.lengths_mm == pytest.approx((5, around + 30), abs=0.001)
    assert corded.pieces == len(places)


def test_pieces_are_joined_within_each_welt_and_not_from_one_to_the_other(make):
    """Three pieces make two joins in each of two welts: 4; and six strips to be folded."""
    made = make("box-cushion", 10.0, **SQUARE, welt_cord=5.0, welt_strips=3)
    times = {seam.seam: seam.times for seam in made.seams if seam.seam.startswith("welt")}
    assert times == {
        "welt join": 4,
        "welt round its cord": 6,
        "welt at top plate": 1,
        "welt at bottom plate": 1,
    }


def test_on_the_bias_its_panels_have_the_area_of_length_by_width(draft):
    """2·2030·5π = 63 774.3 mm² (by hand): length = area / width, the trade's rule."""
    sizes = {**SQUARE, "welt_cord": 5.0, "welt_strips": 4}
    welt = draft("box-cushion", **sizes).panel("welt")
    assert welt.per_item * welt.area_mm2 == pytest.approx(63_774.3, abs=0.1)
    assert welt == draft("box-cushion", **sizes, welt_cut="bias").panel("welt")


@pytest.mark.parametrize("product", WELTED)
def test_without_a_cord_there_is_no_welt(make, product):
    made = make(product, 10.0, **WELTED[product][0])
    told = " ".join((*(s.seam for s in made.seams), *(step.words for step in made.steps)))
    assert "welt" not in told
    assert "welt" not in {panel.name for panel in made.panels}
    assert "welt cord" not in {notion.kind for notion in made.notions}


def test_it_may_come_from_another_cloth():
    product = products()["round-cushion"]
    values = {m.name: m.default for m in product.measurements}
    values |= {**WELTED["round-cushion"][0], "welt_cord": 4.0}
    made = make_panels(
        product,
        values,
        item="seat",
        cloth="twill",
        quantity=1,
        allowance_mm=10.0,
        panel_cloths={"welt": "linen"},
    )
    assert {p.name: p.cloth for p in made.panels} == {
        "plate": "twill",
        "boxing": "twill",
        "welt": "linen",
    }


@pytest.mark.parametrize("product", WELTED)
def test_it_is_sewn_on_before_the_seam_that_holds_it(make, product):
    made = make(product, 10.0, **WELTED[product][0], welt_cord=5.0)
    at = {name: i for i, step in enumerate(made.steps) for name in step.seams}
    assert set(at) == {seam.seam for seam in made.seams}
    onto = at[f"welt at {WELTED[product][1][0]}"]
    assert at["welt round its cord"] < onto
    holding = ("boxing to top plate", "left end to body", "lower side")
    assert all(onto < i for name, i in at.items() if name.startswith(holding))
    assert "clip its allowance" in made.steps[onto].words
    assert "lay it over the other" in made.steps[onto + 1].words


def test_it_is_sewn_to_both_halves_of_a_bottom_with_a_zip_after_the_zip(make):
    made = make("box-cushion", **SQUARE, closure="zip", closure_place="bottom", welt_cord=5.0)
    seams = {seam.seam: seam for seam in made.seams}
    assert seams["welt at bottom plate"].second_mm == pytest.approx(2_000)
    at = {name: i for i, step in enumerate(made.steps) for name in step.seams}
    assert at["zip"] < at["welt at bottom plate"]


def begun(made):
    """Where the welt is begun, as its step tells it."""
    (step,) = (s for s in made.steps if any("welt at" in name for name in s.seams))
    return re.search("; start (.*?)(, so that|;)", step.words)[1], step.lengths_mm


def test_it_is_begun_where_no_join_falls_on_a_corner(make):
    """Pieces of 2030/8 = 253.75 mm from the middle of a 500 mm side: 3.75 mm past its corner.

    The seventh join, at 1776.25, lies 26.25 mm past a corner; moved by 70 it is 43.75 mm away.
    """
    assert begun(make("box-cushion", **SQUARE, welt_cord=5.0, welt_strips=4)) == (
        "in the middle of the back",
        (),
    )
    assert begun(make("box-cushion", **SQUARE, welt_cord=5.0, welt_strips=8)) == (
        "{} beside the middle of the back",
        (70,),
    )


def test_it_is_not_begun_on_a_join_of_the_boxing(make):
    """Boxing in 8: the back is joined in its middle; 40 mm beside it the overlap is clear."""
    for more in ({"strips": 8}, {"strips": 1, "corner_radius": 60.0}):
        made = make("box-cushion", **SQUARE, **more, welt_cord=5.0, welt_strips=1)
        assert begun(made) == ("{} beside the middle of the back", (40,))
        (step,) = (s for s in made.steps if any("welt at" in name for name in s.seams))
        assert "nor its beginning on a join of the boxing" in step.words


def test_where_no_place_is_clear_it_is_begun_farthest_from_join_and_corner(make):
    """A straight back of 101 mm, joined in its middle: 30 mm beside it both are 20 mm away."""
    short = {"length": 221.0, "width": 200.0, "thickness": 80.0, "corner_radius": 60.0}
    made = make("box-cushion", **short, strips=1, welt_cord=4.0, welt_strips=1)
    assert begun(made) == ("{} beside the middle of the back", (30,))


@pytest.mark.parametrize(
    ("product", "more", "words"),
    [
        ("box-cushion", {}, "clip its allowance at each corner and turn there"),
        ("box-cushion", {"corner_radius": 60.0}, "every 10 to 15 mm round the corners"),
        ("round-cushion", {"closure": "zip"}, "start midway between two notches; clip its"),
        ("bolster", {}, "start midway between two notches; clip its"),
    ],
)
def test_it_is_clipped_at_corners_or_all_along_a_round(make, product, more, words):
    made = make(product, **WELTED[product][0], **more, welt_cord=5.0)
    (step,) = (s for s in made.steps if any("welt at" in name for name in s.seams))
    assert words in step.words


def test_keys_that_say_nothing_and_pieces_too_short_are_refused(faults):
    """2030/40 = 50.75 mm, cut 50π + 20 = 177.08 mm wide."""
    for product, (sizes, *_) in WELTED.items():
        found = faults(product, **sizes, welt_cut="along", welt_strips=2)
        assert set(found) == {"welt_cut", "welt_strips"}
    found = faults("box-cushion", 10.0, **SQUARE, welt_cord=50.0, welt_strips=40)
    assert "177.1 mm" in found["welt_strips"].rule


def test_rolled_edges_and_gathered_ends_take_no_welt(faults):
    assert "welt_cord" in faults("box-cushion", **SQUARE, edge="rolled", welt_cord=5.0)
    gathered = {**WELTED["bolster"][0], "ends": "gathered", "welt_cord": 5.0}
    assert "welt_cord" in faults("bolster", **gathered)


def test_a_strip_narrower_than_its_allowances_is_no_fault(faults):
    """It is folded, so that they lie on each other: 2·3.5π = 22 mm of cloth, 2·12 of allowance."""
    assert faults("box-cushion", 12.0, **SQUARE, welt_cord=3.5) == {}


@st.composite
def items(draw):
    product = draw(st.sampled_from(sorted(WELTED)))
    side = st.floats(200, 1_500)
    sizes = {key: draw(side) for key in WELTED[product][0] if key != "corners"}
    sizes |= {"thickness": draw(st.floats(60, 200))} if "thickness" in sizes else {}
    welt = {
        "welt_cord": draw(st.floats(2, 12)),
        "welt_cut": draw(st.sampled_from((None, "bias", "across", "along"))),
        "welt_strips": draw(st.one_of(st.integers(1, 12), st.just("auto"))),
    }
    closed = draw(st.sampled_from(({}, {"closure": "zip"})))
    rounded = {"corner_radius": 60.0} if product == "box-cushion" and draw(st.booleans()) else {}
    return product, {**WELTED[product][0], **sizes, **welt, **closed, **rounded}


@given(items(), st.sampled_from((5.0, 10.0, 15.0)))
@settings(deadline=None, max_examples=60)
def test_any_welt_meets_its_seams_and_has_the_area_of_its_run(item, allowance):
    name, given_values = item
    product = products()[name]
    values = {m.name: given_values.get(m.name, m.default) for m in product.measurements}
    assume(not product.faults(values, allowance))
    made = make_panels(product, values, item="p", cloth="c", quantity=1, allowance_mm=allowance)
    assert all(abs(seam.unexplained_mm) <= 0.5 for seam in made.seams)
    along = [seam for seam in made.seams if seam.seam.startswith("welt at ")]
    held = [s for s in made.seams if re.search(r"^boxing.* to top plate|^left end| side$", s.seam)]
    around = sum(seam.second_mm for seam in held)
    assert all(seam.second_mm == pytest.approx(around) for seam in along)
    welt = product.draft(values).panel("welt")
    area = len(along) * (around + 30) * math.pi * values["welt_cord"]
    assert welt.per_item * welt.area_mm2 == pytest.approx(area)
    (panel,) = (p for p in made.panels if p.name == "welt")
    outline, stitch = Polygon(panel.cut.points), Polygon(panel.stitch.points)
    assert outline.is_valid
    assert outline.covers(stitch)
    assert LinearRing(panel.cut.points).distance(stitch) == pytest.approx(100 * allowance, abs=3)


@given(
    st.floats(200, 1_200),
    st.floats(200, 1_200),
    st.integers(1, 24),
    st.integers(1, 14),
    st.sampled_from((None, 60.0)),
    st.sampled_from(({}, {"closure": "zip", "closure_place": "boxing"})),
)
@settings(deadline=None, max_examples=60)
def test_a_welt_is_begun_beside_the_joins_of_the_boxing(x, y, pieces, strips, radius, zipped):
    """Joins found afresh: where the top plate's side or the strips' ends lie in each seam."""
    product = products()["box-cushion"]
    values = {m.name: m.default for m in product.measurements}
    values |= {"length": x, "width": y, "thickness": 80.0, "corner_radius": radius, **zipped}
    values |= {"welt_cord": 4.0, "welt_strips": pieces, "strips": strips}
    assume(not product.faults(values, 10.0))
    drawn = product.draft(values)
    (step,) = (s for s in drawn.steps if any("welt at" in name for name in s.seams))
    back = x - 2 * (radius or 0)
    behind = [
        seam
        for seam in drawn.seams
        if "to top plate" in seam.name and any(use.edge == "back" for use in seam.first)
    ]
    (seam,) = behind
    met, at = 0.0, []
    for use in seam.second[:-1]:
        met += drawn.edge(use).length_mm
        at.append(met)
    before = next(i for i, use in enumerate(seam.first) if use.edge == "back")
    start = drawn.run_mm(seam.first[:before])
    joins = [join - start for join in at] + ([seam.from_mm - start] if seam.from_mm else [])
    assume(back / (len(joins) + 1) > 100)  # else no place is clear of two joins
    aside = sum(step.lengths_mm)
    for join in joins:
        assert min(abs(back / 2 + way * aside - join) for way in (-1, 1)) > 39


@given(
    st.floats(200, 1_200),
    st.floats(200, 1_200),
    st.integers(1, 12),
)
@settings(deadline=None, max_examples=60)
def test_joins_keep_clear_of_corners_where_the_step_says_so(x, y, pieces):
    """Both ways round and on either side of the middle, reckoned afresh from the corners."""
    product = products()["box-cushion"]
    values = {m.name: m.default for m in product.measurements}
    values |= {"length": x, "width": y, "thickness": 80.0, "welt_cord": 4.0, "welt_strips": pieces}
    steps = product.draft(values).steps
    (step,) = (s for s in steps if any("welt at" in name for name in s.seams))
    assume("no join falls on a corner" in step.words)
    corners = (0.0, x, x + y, 2 * x + y)
    middle, aside = x + y + x / 2, sum(step.lengths_mm)
    piece = (2 * x + 2 * y + 30) / pieces
    for begin in (middle - aside, middle + aside):
        for way in (1, -1):
            for i in range(pieces):
                join = (begin + way * i * piece) % (2 * x + 2 * y)
                assert all(abs(join - corner) > 39 for corner in (*corners, 2 * x + 2 * y))
