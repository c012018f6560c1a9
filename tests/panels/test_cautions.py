"""Which warnings are printed with an article."""

from dataclasses import replace

import pytest

from nesting.cloth.cloth import Cloth, Coating
from nesting.panels.cautions import (
    BEADS,
    BLADES,
    CHILDREN,
    FIRE,
    FIRE_IF_SEATING,
    LOCAL_RULES,
    SMALL_PARTS,
    cautions_for,
)  # fmt: skip
from nesting.panels.product import products
from nesting.planning.items import order_cautions
from nesting.reports.machine_cautions import cautions_in_file, machine_cautions, machine_note

CLOTH = Cloth("Vinyl", width=140_000)


@pytest.fixture
def printed(make):
    """The cautions printed with one product of these measurements."""

    def found(name, **more):
        shown = {m.name: m.shown for m in products()[name].measurements if m.shown is not None}
        return make(name, 10.0, **shown | more).cautions

    return found


def test_that_on_beads_is_printed_only_where_there_are_beads_and_then_first():
    given = (FIRE, BEADS, LOCAL_RULES)
    assert cautions_for(given, beads=False, small_parts=False) == (FIRE, LOCAL_RULES)
    assert cautions_for(given, beads=True, small_parts=False) == (BEADS, FIRE, LOCAL_RULES)


def test_local_rules_come_last_and_nothing_is_printed_twice():
    found = cautions_for((LOCAL_RULES, BLADES, BLADES, CHILDREN), beads=True, small_parts=False)
    assert found == (CHILDREN, BLADES, LOCAL_RULES)


def test_every_product_warns_of_blades_and_local_rules():
    for product in products().values():
        assert {BLADES, LOCAL_RULES} <= set(product.cautions)


def test_an_article_with_beads_a_zip_or_buttons_warns_of_small_parts(printed):
    assert SMALL_PARTS in printed("drum-pouf", fill="beads", closure="zip")
    assert SMALL_PARTS in printed("box-cushion", closure="zip")
    assert SMALL_PARTS in printed("box-cushion", closure="none", buttons="centre")
    assert SMALL_PARTS not in printed("box-cushion", closure="none")


def test_foam_articles_do_not_warn_of_beads(printed):
    assert BEADS in printed("footstool", fill="beads", closure="zip")
    assert BEADS not in printed("footstool", fill="foam")


@pytest.mark.parametrize("name", ["panel", "tie", "welt", "handle"])
def test_what_is_no_article_has_no_cautions_on_beads_and_children(printed, name):
    assert not {BEADS, CHILDREN} & set(printed(name))
    assert (FIRE_IF_SEATING in printed(name)) is (name == "panel")


class Made:
    def __init__(self, *cautions):
        self.cautions = cautions


def test_an_order_prints_each_caution_once_the_foremost_first():
    one, other = Made(FIRE, LOCAL_RULES), Made(BEADS, FIRE, LOCAL_RULES)
    assert order_cautions([one, other]) == (BEADS, FIRE, LOCAL_RULES)


def test_whatever_is_or_may_be_pvc_is_not_to_be_cut_hot():
    """Huggett and Levin 1987: PVC decomposes mainly to hydrogen chloride."""
    for coating, forbidden in (
        (Coating.PVC, True), (Coating.UNKNOWN, True),
        (Coating.POLYURETHANE, False), (Coating.NONE, False),
    ):  # fmt: skip
        (heat, *general) = machine_cautions([replace(CLOTH, coating=coating)])
        assert heat.startswith("Vinyl: ")
        assert ("Never cut it with a laser" in heat) is forbidden
        assert ("hydrogen chloride" in heat) is forbidden
        assert any("emergency stop" in each for each in general)
        assert ("(Vinyl)" in machine_note([replace(CLOTH, coating=coating)])) is (
            coating is not Coating.NONE
        )


def test_the_short_form_in_a_file_names_the_stop_pvc_and_what_each_coating_means():
    vinyl, plain = replace(CLOTH, coating=Coating.PVC), replace(CLOTH, name="felt")
    words = cautions_in_file([vinyl, plain])
    assert "emergency stop" in words[0]
    assert "Never cut PVC" in words[1]
    assert words[2].startswith("Vinyl: coated with PVC. Never cut it with a laser")
    assert words[3].startswith("felt: ")
