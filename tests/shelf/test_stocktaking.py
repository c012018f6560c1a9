"""What comes to the shelf, what is found there and what orders are offered."""

from decimal import Decimal

import pytest
from shelf_lays import ask, roll

from nesting.cloth.cloth import Cloth, Price
from nesting.cloth.stock import Flaw
from nesting.errors import AccessError, OrderError, WorkError
from nesting.geometry.outline import Outline
from nesting.shelf.booking import rectangle
from nesting.shelf.piece import Piece, number_and_revision
from nesting.shelf.stocktaking import Wanted, add, find, offered, remove
from nesting.units import CM, M

HIDE = Outline(((0, 0), (90 * CM, 10 * CM), (80 * CM, 70 * CM), (5 * CM, 60 * CM)))


def hide(**more):
    hole = Outline(((30 * CM, 30 * CM), (35 * CM, 30 * CM), (32 * CM, 36 * CM)))
    return Piece("kid", HIDE.length, HIDE.height, None, HIDE, (hole,), since="2026-11-30", **more)


@pytest.fixture
def path(tmp_path):
    return tmp_path / "workroom.shelf"


def test_pieces_come_back_as_they_were_given(path):
    flaws = (Flaw(rectangle(4 * CM, 6 * CM, 30 * CM), "stain", minor=True),)
    pieces = [
        roll(selvedge=150, shade="B7", place="rack 2", price=14450, currency="EUR"),
        roll(flaws=flaws, price=0),
        hide(),
    ]
    add(path, pieces)
    assert {each.number: each.piece for each in find(path)} == dict(enumerate(pieces, 1))


def test_a_number_is_never_given_twice(path):
    add(path, [roll(), roll()])
    remove(path, [(2, None)])
    (added,) = add(path, [roll()])
    assert (added.number, added.name) == (3, "shelf 3.1")


def test_adding_is_all_or_nothing(path):
    add(path, [roll()])

    def broken():
        yield roll()
        raise RuntimeError

    with pytest.raises(RuntimeError):
        add(path, broken())
    assert len(find(path)) == 1
    assert ask(path, "SELECT count(*) FROM journal") == [(1,)]


def test_filters_hold_together(path):
    add(path, [
        roll(2 * M, shade="A", place="one"), roll(3 * M, shade="A"), roll(4 * M, shade="B"),
        roll(4 * M, cloth="felt", shade="A"), roll(3 * M, shade="A", place="one"),
    ])  # fmt: skip
    found = find(path, Wanted("linen", "A", at_least=3 * M))
    assert [each.number for each in found] == [2, 5]
    assert [each.number for each in find(path, Wanted(place="one", at_least=3 * M))] == [5]
    assert len(find(path)) == 5


def test_a_cloth_that_the_shelf_never_had_is_named_with_its_nearest(path):
    add(path, [roll()])
    with pytest.raises(OrderError, match=r'"linnen".*did you mean "linen"'):
        find(path, Wanted(cloth="linnen"))


def test_what_is_gone_cannot_be_removed_and_then_nothing_is(path):
    add(path, [roll(), roll()])
    remove(path, [(1, 1)])
    with pytest.raises(WorkError, match="piece 1: is not on the shelf"):
        remove(path, [(2, None), (1, None)])
    with pytest.raises(WorkError, match=r"changed since label 2\.3: it is 2\.1 now"):
        remove(path, [(2, 3)])
    assert [each.number for each in find(path)] == [2]
    assert ask(path, "SELECT what FROM journal WHERE piece = 1") == [("added",), ("removed",)]


def test_orders_are_offered_the_pieces_of_their_cloths_by_number(path):
    add(path, [roll(shade="B7", price=1250, currency="EUR"), hide(), roll(cloth="felt")])
    found = offered(path, [Cloth("linen", 150 * CM, 150), Cloth("kid", 1 * M, 100), Cloth("x", 1)])
    (linen,), (kid,) = found["linen"], found["kid"]
    assert list(found) == ["linen", "kid", "x"]
    assert found["x"] == ()
    assert number_and_revision(linen.name) == (1, 1)
    assert (linen.length, linen.width, linen.shade) == (1000 * CM, 140 * CM, "B7")
    assert linen.price == Decimal("12.50")
    assert (kid.outline, len(kid.holes), kid.price) == (HIDE, 1, None)


def test_a_piece_has_its_own_selvedge_or_that_of_its_cloth_and_a_hide_none(path):
    add(path, [roll(selvedge=0), roll(), hide()])
    found = offered(path, [Cloth("linen", 140 * CM, 200), Cloth("kid", 140 * CM, 200)])
    assert [each.selvedge for each in found["linen"]] == [0, 200]
    assert [each.selvedge for each in found["kid"]] == [0]


def test_a_piece_no_wider_than_its_selvedges_is_not_offered(path):
    add(path, [roll(width=400), roll(width=401)])
    (only,) = offered(path, [Cloth("linen", 140 * CM, 200)])["linen"]
    assert only.name == "shelf 2.1"


def test_a_price_in_another_currency_than_the_order_is_refused(path):
    add(path, [roll(price=100, currency="GBP"), roll(price=0, currency="GBP")])
    euro = Cloth("linen", 140 * CM, price=Price(Decimal(9), M, "EUR"))
    with pytest.raises(OrderError, match=r"shelf 1\.1, linen: must have its price in EUR.*GBP"):
        offered(path, [euro])
    assert len(offered(path, [Cloth("linen", 140 * CM)])["linen"]) == 2


def test_only_adding_creates_a_shelf(path):
    for look in (lambda: find(path), lambda: offered(path, []), lambda: remove(path, [(1, None)])):
        with pytest.raises(AccessError, match="stock add creates one"):
            look()
    assert not path.exists()


@pytest.mark.parametrize(
    "name", ["roll", "17.2", "shelf 17", "shelf 0.1", "shelf 1.0", "Shelf 1.1"]
)
def test_other_names_are_no_pieces_of_the_shelf(name):
    assert number_and_revision(name) is None
