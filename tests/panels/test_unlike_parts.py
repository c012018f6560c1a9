"""Panels that share a drawing have notches that all have partners, or drawings of their own."""

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from nesting.panels.drafting.notches import marked_places
from nesting.panels.drafting.seams import measure_seams
from nesting.panels.drafting.unlike_parts import divide_unlike_parts
from nesting.panels.making import make_panels
from nesting.panels.product import products
from tests.panels.test_strips import assert_notches_meet

T_SHAPE = ((0, 0), (600, 0), (600, 200), (400, 200), (400, 500), (200, 500), (200, 200), (0, 200))

#: Products with a strip in any number of pieces, with some measurements.
STRIPPED = {
    "box-cushion": {"length": 450.0, "width": 450.0, "thickness": 80.0},
    "drum-pouf": {"diameter": 500.0, "height": 350.0},
    "footstool": {"length": 500.0, "width": 450.0, "height": 300.0},
    "round-cushion": {"diameter": 450.0, "thickness": 80.0},
    "shaped-seat": {"corners": T_SHAPE, "thickness": 80.0},
    "waterfall-cushion": {"depth": 500.0, "width": 450.0, "thickness": 100.0},
    "wedge": {"depth": 500.0, "width": 450.0, "height": 200.0},
}


def drafted(name, given):
    """Its draft, or None where the measurements have faults or choose what is not offered."""
    product = products()[name]
    choices = {m.name: m.choices for m in product.measurements if m.choices}
    if any(given.get(key, offered[0]) not in (*offered, None) for key, offered in choices.items()):
        return None
    values = {m.name: m.default for m in product.measurements} | given
    return None if product.faults(values, 10.0) else product.draft(values)


@given(
    st.sampled_from(sorted(STRIPPED)),
    st.floats(0.6, 1.8),
    st.integers(1, 14),
    st.sampled_from(("none", "zip")),
    st.sampled_from((None, "boxing", "bottom")),
    st.sampled_from(({}, {"corner_radius": 60.0}, {"construction": "wrap"})),
)
@settings(deadline=None, max_examples=150)
def test_no_notch_is_without_a_partner_in_any_number_of_strips(
    name, wider, strips, closure, place, more
):
    known = {m.name for m in products()[name].measurements}
    assume(known >= more.keys())
    sizes = {k: v * wider if k == "width" else v for k, v in STRIPPED[name].items()}
    place = place if closure == "zip" else None
    draft = drafted(
        name, {**sizes, **more, "strips": strips, "closure": closure, "closure_place": place}
    )
    assume(draft is not None)
    assert_notches_meet(draft)


@given(
    st.sampled_from(("box-cushion", "footstool")),
    st.floats(200, 900),
    st.floats(200, 900).map(lambda width: round(width, 1)),
    st.sampled_from((1, 2, 4, 8)),
)
@example("box-cushion", 468.5827430230279, 799.9, 2)  # a notch at a half of a tenth
@settings(deadline=None, max_examples=60)
def test_plates_are_one_drawing_while_their_notches_are_the_same(name, long, wide, strips):
    draft = drafted(name, STRIPPED[name] | {"length": long, "width": wide, "strips": strips})
    assume(draft is not None)
    same, was = divide_unlike_parts(draft)
    assert same == draft
    assert not was


def test_plates_whose_boxing_is_joined_at_different_places_are_two_drawings():
    draft = drafted("box-cushion", STRIPPED["box-cushion"] | {"strips": 5})
    apart, was = divide_unlike_parts(draft)
    assert was == {"top-plate": "plate", "bottom-plate": "plate"}
    plates = {panel.name: panel for panel in apart.panels if "plate" in panel.name}
    assert {name: each.per_item for name, each in plates.items()} == dict.fromkeys(was, 1)
    # One side has two of the five pieces, its opposite one: seen from above on the
    # left, from below on the right.
    marks = marked_places(apart)
    left, right = (len(marks["top-plate", side]) for side in ("left", "right"))
    assert left != right
    assert [len(marks["bottom-plate", side]) for side in ("right", "left")] == [left, right]
    lengths = [
        [(seam.first_mm, seam.second_mm) for seam in measure_seams(d)] for d in (apart, draft)
    ]
    assert lengths[0] == lengths[1]


@pytest.mark.parametrize("cloths", [{"plate": "lining"}, {"bottom-plate": "lining"}])
def test_a_cloth_for_the_plates_holds_where_they_are_two_drawings(cloths):
    product = products()["box-cushion"]
    values = {m.name: m.default for m in product.measurements}
    values |= STRIPPED["box-cushion"] | {"strips": 5}
    made = make_panels(
        product, values, item="seat", cloth="twill", quantity=1, allowance_mm=10.0,
        panel_cloths=cloths,
    )  # fmt: skip
    found = {panel.name: panel.cloth for panel in made.panels if "plate" in panel.name}
    top = "lining" if "plate" in cloths else "twill"
    assert found == {"top-plate": top, "bottom-plate": "lining"}
