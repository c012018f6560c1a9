"""Which warnings are printed with an article."""

from nesting.panels.cautions import BEADS, BLADES, FIRE, LOCAL_RULES, cautions_for
from nesting.panels.product import products


def test_that_on_beads_is_printed_only_where_there_are_beads():
    assert cautions_for((FIRE, BEADS, LOCAL_RULES), beads=False) == (FIRE, LOCAL_RULES)
    assert cautions_for((FIRE, BEADS, LOCAL_RULES), beads=True) == (FIRE, BEADS, LOCAL_RULES)


def test_local_rules_are_never_left_out_and_nothing_is_printed_twice():
    assert cautions_for((BLADES, BLADES), beads=True) == (BLADES, LOCAL_RULES)


def test_every_product_warns_of_blades_and_local_rules():
    for product in products().values():
        assert {BLADES, LOCAL_RULES} <= set(product.cautions)
