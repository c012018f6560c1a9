"""Orders laid on the pieces of a cloth that are there, and on what is bought."""

from dataclasses import replace
from decimal import Decimal

import pytest

from nesting.cloth.cloth import Cloth, Nap, Price
from nesting.cloth.stock import ClothPiece, Flaw
from nesting.errors import NotEnoughClothError
from nesting.geometry.outline import Outline
from nesting.layouts.storage import as_record, to_json
from nesting.orders.order import Item, Order
from nesting.packing.running import Limits
from nesting.panels.product import products
from nesting.planning.plan import plan_order
from nesting.units import CM, M
from nesting.verification.checker import check_record

STEPS = Limits(None, 8)
PRICE = Price(Decimal(10), M, "EUR")
CLOTH = Cloth("serge", 100 * CM, nap=Nap.EITHER_WAY, price=PRICE, buy_step=1 * CM)


def panels(quantity=1, length=500.0, width=500.0, name="square", **more):
    values = {m.name: m.default for m in products()["panel"].measurements}
    values |= {"length": length, "width": width}
    return Item(name, "panel", quantity, "serge", 0.0, values, **more)


def laid(*items, limits=STEPS, **rules):
    plan = plan_order(Order("Porch", "cm", (replace(CLOTH, **rules),), items), limits, workers=1)
    assert check_record(as_record(plan.lay)) == ()
    return plan.lay.cloths


def remnant(name, length, width=100, **more):
    return ClothPiece(name, width * CM, length * CM, **more)


def where(lays):
    return {lay.on.name: len(lay.placed) for lay in lays}


def test_a_remnant_that_is_paid_for_is_used_before_cloth_is_bought():
    lays = laid(panels(4), stock=(remnant("R1", 50, price=Decimal(0)),))
    assert where(lays) == {"R1": 2, "roll": 2}
    assert [lay.cost for lay in lays] == [Decimal(0), Decimal("5.00")]


def test_a_remnant_that_costs_more_than_it_saves_is_left_on_the_shelf():
    # It saves 50 cm of the roll, 5 EUR.
    assert where(laid(panels(4), stock=(remnant("R1", 50, price=Decimal(6)),))) == {"roll": 4}
    assert where(laid(panels(4), stock=(remnant("R1", 50, price=Decimal(4)),))) == {
        "R1": 2,
        "roll": 2,
    }


def test_of_two_remnants_the_one_that_holds_what_is_needed_for_less_is_used():
    stock = (remnant("dear", 50, price=Decimal(4)), remnant("cheap", 50, price=Decimal(3)))
    assert where(laid(panels(2), stock=stock)) == {"cheap": 2}


def test_pieces_without_a_price_cost_what_their_length_would():
    (lay,) = laid(panels(2), stock=(remnant("R1", 50),), may_buy=False)
    assert lay.cost == Decimal("5.00")
    assert lay.buy_length == 0


def test_a_panel_that_only_a_wider_piece_holds_lies_there():
    lays = laid(panels(1, 1200.0, 1200.0, "rug"), panels(2), stock=(remnant("wide", 125, 130),))
    assert {p.panel.item for lay in lays if lay.on.name == "wide" for p in lay.placed} >= {"rug"}


def cushion(**more):
    """A cushion of two squares of half a metre, seam allowances included."""
    values = {m.name: m.default for m in products()["knife-edge-cushion"].measurements}
    values |= {"length": 480.0, "width": 480.0}
    return Item("cushion", "knife-edge-cushion", 1, "serge", 10.0, values, **more)


def test_the_panels_of_one_copy_are_never_cut_from_two_shades_unless_that_is_allowed():
    # Each of the pieces holds one square.
    stock = (
        remnant("D", 52, 52, shade="dark", price=Decimal(0)),
        remnant("L", 52, 52, shade="light", price=Decimal(0)),
    )
    assert where(laid(panels(2), stock=stock)) == {"D": 1, "L": 1}
    assert where(laid(cushion(), stock=stock)) == {"roll": 2}
    assert where(laid(cushion(one_shade=False), stock=stock)) == {"D": 1, "L": 1}


def test_flaws_of_the_roll_are_kept_clear_from_its_cut_end():
    flaw = Flaw(_ring((20, 0), (21, 0), (21, 100), (20, 100)), "stain across")
    (lay,) = laid(panels(2), flaws=(flaw,))
    # Nothing of half a metre fits before the stain.
    assert lay.used_length == 71 * CM


def test_hidden_panels_may_have_minor_flaws():
    flaw = Flaw(_ring((20, 0), (21, 0), (21, 100), (20, 100)), "slub", minor=True)
    (hidden,) = laid(panels(2, hidden=("panel",)), flaws=(flaw,))
    (seen,) = laid(panels(2), flaws=(flaw,))
    assert (hidden.used_length, seen.used_length) == (50 * CM, 71 * CM)


def test_no_panel_lies_across_a_splice():
    (lay,) = laid(panels(2), stock=(remnant("R1", 110, splices=(30 * CM,)),), may_buy=False)
    assert min(p.x for p in lay.placed) >= 30 * CM


def test_panels_lie_within_an_outline_and_clear_of_its_holes():
    edge = _ring((0, 0), (130, 0), (130, 90), (0, 60))
    hide = ClothPiece(
        "hide", 90 * CM, 130 * CM, outline=edge, holes=(_ring((20, 20), (25, 20), (25, 25)),)
    )
    (lay,) = laid(panels(2), stock=(hide,), may_buy=False)
    assert all(p.x >= 25 * CM for p in lay.placed)


class TestWhereThereIsNotEnough:
    def test_it_is_proved_by_area_and_told_how_much_is_missing(self):
        with pytest.raises(NotEnoughClothError) as caught:
            laid(panels(4), stock=(remnant("R1", 75),), may_buy=False)
        # Four squares are 1 m of it; 75 cm are there.
        assert "proved by area" in str(caught.value)
        assert "25 cm" in str(caught.value)
        assert caught.value.short2 == {"serge": 2 * 25 * CM * 100 * CM}

    def test_what_was_only_not_found_is_not_called_proved(self):
        with pytest.raises(NotEnoughClothError, match="it is not proved that none fits"):
            laid(panels(2, 500.0, 600.0), stock=(remnant("R1", 65),), may_buy=False)

    def test_a_shade_that_holds_no_whole_copy_is_no_help(self):
        stock = (remnant("D", 52, 52, shade="dark"), remnant("L", 52, 52, shade="light"))
        with pytest.raises(NotEnoughClothError, match="one shade"):
            laid(cushion(), stock=stock, may_buy=False)


def test_one_worker_a_seed_and_steps_give_the_same_lays():
    def record():
        order = Order(
            "Porch", "cm", (replace(CLOTH, stock=STOCK),), (panels(7), panels(3, 330.0, 410.0, "b"))
        )
        return to_json(as_record(plan_order(order, STEPS, seed=3, workers=1).lay))

    assert record() == record()


STOCK = (remnant("R1", 60), remnant("R2", 70, 80, price=Decimal(1)), remnant("R3", 55, shade="x"))


def _ring(*points):
    return Outline(tuple((x * CM, y * CM) for x, y in points))
