"""Seams are found by what they do for the article, whatever they are called."""

from dataclasses import replace

import pytest

from nesting.panels.drafting.draft import EdgeUse, Seam, SeamRole, seam_names
from nesting.panels.drafting.finished import EdgeSort
from nesting.panels.parts.filling import filling_steps
from nesting.panels.parts.strips.wrap import wrap_steps
from nesting.panels.product import products

ZIPPED = {"closure": "zip"}
WELTED = {"welt_cord": 5.0}

#: Products with what asks for the most seams of them.
ARTICLES = [
    ("box-cushion", {**ZIPPED, **WELTED, "handles": 1, "strips": 4}),
    ("box-cushion", {**ZIPPED, "closure_place": "bottom", "edge": "rolled", "strips": 2}),
    ("round-cushion", {**ZIPPED, **WELTED}),
    ("shaped-seat", {**ZIPPED, **WELTED}),
    ("footstool", ZIPPED),
    ("footstool", {"construction": "wrap", **ZIPPED}),
    ("wedge", ZIPPED),
    ("waterfall-cushion", ZIPPED),
    ("drum-pouf", {**ZIPPED, "strips": 3}),
    ("gored-pouf", {**ZIPPED, "closure_place": "seam"}),
    ("gored-pouf", {**ZIPPED, "closure_place": "bottom-cap"}),
    ("teardrop-bag", {**ZIPPED, "closure_place": "base"}),
    ("bolster", {"ends": "gathered", **ZIPPED}),
]


def drafted(name, values):
    product = products()[name]
    return product.draft({m.name: values.get(m.name, m.shown) for m in product.measurements})


@pytest.fixture(params=ARTICLES, ids=lambda article: f"{article[0]}-{'-'.join(article[1])}")
def draft(request):
    return drafted(*request.param)


def test_a_seam_round_a_rim_says_round_which_one_and_no_other_but_a_welt_does(draft):
    for seam in draft.seams:
        if seam.role is SeamRole.RIM:
            assert seam.rim
        elif seam.role is not SeamRole.WELT:
            assert not seam.rim


def test_both_edges_of_a_zip_seam_are_sewn_to_a_zip(draft):
    for seam in (each for each in draft.seams if each.role is SeamRole.ZIP):
        assert seam.zipped
        for use in (*seam.first, *seam.second):
            assert draft.panel(use.panel).sort(use.edge) is EdgeSort.ZIP


def test_every_seam_is_sewn_in_one_step(draft):
    sewn = [name for step in draft.steps for name in step.seams]
    assert sorted(sewn) == sorted(seam.name for seam in draft.seams)


def test_names_are_found_by_role_and_rim_in_the_order_of_the_seams():
    edge = (EdgeUse("a", "b"),)
    seams = [
        Seam("first", edge, edge, role=SeamRole.RIM, rim="top plate"),
        Seam("to top plate, a join by its name alone", edge, edge),
        Seam("second", edge, edge, role=SeamRole.RIM, rim="bottom plate"),
        Seam("third", edge, edge, role=SeamRole.RIM, rim="top plate"),
    ]
    assert seam_names(seams, SeamRole.RIM, "top plate") == ("first", "third")
    assert seam_names(seams, SeamRole.RIM) == ("first", "second", "third")
    assert seam_names(seams, SeamRole.JOIN) == ()


def test_steps_find_their_seams_under_any_name():
    product = products()["waterfall-cushion"]
    values = {m.name: {**ZIPPED}.get(m.name, m.shown) for m in product.measurements}
    seams = product.draft(values).seams
    other = {seam.name: f"seam {number}" for number, seam in enumerate(seams)}
    renamed = [replace(seam, name=other[seam.name]) for seam in seams]
    before = wrap_steps(values, seams, None, "back", "")
    after = wrap_steps(values, renamed, None, "back", "")
    filled = len(filling_steps(values, None))
    assert [step.seams for step in after] == [
        tuple(other[name] for name in step.seams) for step in before
    ]
    assert all(step.seams for step in after[:-filled])
