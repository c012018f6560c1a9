"""From an order to a verified lay."""

from dataclasses import replace
from decimal import Decimal

import pytest

from nesting.cloth.cloth import Cloth, Nap, Price
from nesting.errors import PanelTooLargeError, RollTooShortError, SeamError, UnprovenLayError
from nesting.layouts.storage import as_record, to_json
from nesting.orders.order import Item, Order
from nesting.packing.running import Limits
from nesting.panels.product import products
from nesting.planning import laying, plan
from nesting.planning.files import lay_files
from nesting.planning.plan import plan_order
from nesting.units import CM, IN, M
from nesting.verification.checker import check_record
from nesting.verification.findings import Rule, finding

ONE_STEP = Limits(seconds=None, steps=1)

SERGE = Cloth(
    "serge",
    140 * CM,
    selvedge=1 * CM,
    price=Price(Decimal(20), M, "EUR"),
    buy_step=10 * CM,
    end_allowance=2 * CM,
)


def item(product, name="seat", cloth="serge", quantity=1, allowance_mm=10.0, **given):
    values = {m.name: given.get(m.name, m.default) for m in products()[product].measurements}
    return Item(name, product, quantity, cloth, allowance_mm, values)


def order(*items, cloths=(SERGE,), units="cm"):
    return Order("Porch", units, tuple(cloths), items)


BENCH = item("box-cushion", length=500.0, width=400.0, thickness=80.0, quantity=2)


def test_a_plan_holds_every_panel_of_the_order_once():
    laid = plan_order(order(BENCH), ONE_STEP, workers=1)
    (lay,) = laid.lay.cloths
    # Of each of two cushions: 2 plates, 2 long and 2 short strips.
    assert sorted((p.panel.name, p.copy, p.part) for p in lay.placed) == sorted(
        (name, copy, part)
        for name in ("plate", "boxing-long", "boxing-short")
        for copy in (1, 2)
        for part in (1, 2)
    )
    assert check_record(as_record(laid.lay)) == ()
    assert laid.searches[0].cloth == "serge"
    assert not laid.interrupted


def test_a_lay_starts_at_the_end_allowance_and_keeps_off_the_selvedge():
    (lay,) = plan_order(order(BENCH), ONE_STEP, workers=1).lay.cloths
    assert min(p.outline.bounds[0] for p in lay.placed) == 2 * CM
    assert min(p.outline.bounds[1] for p in lay.placed) >= 1 * CM
    assert max(p.outline.bounds[3] for p in lay.placed) <= 139 * CM


def test_one_worker_a_seed_and_steps_give_the_same_lay():
    texts = {
        to_json(as_record(plan_order(order(BENCH), Limits(None, 2), seed=4, workers=1).lay))
        for _ in range(2)
    }
    assert len(texts) == 1


def test_each_cloth_that_is_used_gets_a_lay_in_the_order_of_the_file():
    linen, silk = replace(SERGE, name="linen"), replace(SERGE, name="silk")
    mixed = order(
        item("panel", "under", "silk", length=600.0, width=400.0),
        BENCH,
        cloths=(SERGE, linen, silk),
    )
    laid = plan_order(mixed, ONE_STEP, workers=1)
    assert [lay.cloth.name for lay in laid.lay.cloths] == ["serge", "silk"]
    assert len(laid.made) == 2


def test_progress_is_told_with_the_cloth_it_belongs_to():
    told = []
    plan_order(
        order(BENCH),
        ONE_STEP,
        workers=1,
        observe=lambda cut, progress: told.append((cut, progress)),
    )
    cut, progress = told[-1]
    assert cut.cloth == SERGE
    # Plates of 52 x 42 cm, strips of 10 x 52 and 10 x 42 cm, two of each for two cushions.
    assert cut.area2 == 2 * 4 * (52 * 42 + 10 * 52 + 10 * 42) * CM**2
    assert progress.used_length >= progress.lower_bound


def test_a_seam_that_does_not_meet_is_an_error_with_both_lengths(monkeypatch):
    cushion = products()["round-cushion"]
    whole = cushion.draft

    def short_boxing(values):
        draft = whole(values)
        other = whole({**values, "diameter": values["diameter"] - 10.0})
        return replace(draft, panels=(draft.panels[0], other.panels[1]))

    monkeypatch.setattr(type(cushion), "draft", staticmethod(short_boxing))
    bad = item("round-cushion", diameter=400.0, thickness=50.0)
    with pytest.raises(SeamError) as caught:
        plan_order(order(bad), ONE_STEP, workers=1)
    # Circumferences of 40 and 39 cm: 1256.6 and 1225.2 mm.
    text = str(caught.value)
    assert "1256.6 mm" in text
    assert "1225.2 mm" in text
    assert "within 1 mm" in text


class TestPanelsThatDoNotFit:
    LONG = item("box-cushion", "bench", length=500.0, width=1500.0, thickness=80.0)
    STRIP = item("round-cushion", "drum", diameter=600.0, thickness=80.0)

    def faults(self, *items, cloth=SERGE, cloths=None, units="cm"):
        with pytest.raises(PanelTooLargeError) as caught:
            plan_order(order(*items, cloths=cloths or (cloth,), units=units), ONE_STEP, workers=1)
        return {fault.place: fault for fault in caught.value.faults}

    def test_all_are_told_at_once(self):
        assert set(self.faults(self.LONG, self.STRIP)) == {
            'item "bench", panel "plate"',
            'item "bench", panel "boxing-long"',
            'item "drum", panel "boxing"',
        }

    def test_each_with_its_size_and_the_usable_width(self):
        fault = self.faults(self.LONG)['item "bench", panel "plate"']
        assert fault.value == "52.0 cm along the roll, 152.0 cm across"
        assert "138.0 cm" in fault.rule

    def test_a_wider_cloth_is_named_with_the_width_it_needs(self):
        # 152 cm and two selvedges of 1 cm; 154 cm are 60.63 in, the next sixteenth 60 5/8
        # would be slightly too narrow, so 60 11/16.
        assert (
            "at least 154.0 cm wide" in self.faults(self.LONG)['item "bench", panel "plate"'].remedy
        )
        assert (
            "at least 60 11/16 in wide"
            in self.faults(self.LONG, units="in")['item "bench", panel "plate"'].remedy
        )

    def test_another_way_of_the_strip_is_named_where_it_helps(self):
        faults = self.faults(self.LONG)
        assert 'strip_grain = "along"' in faults['item "bench", panel "boxing-long"'].remedy
        assert "strip_grain" not in faults['item "bench", panel "plate"'].remedy

    def test_more_strips_are_named_where_they_help(self):
        one = item("box-cushion", length=500.0, width=400.0, thickness=80.0, strips=1)
        assert "strips = 2" in self.faults(one)['item "seat", panel "boxing"'].remedy

    def test_cross_grain_is_named_where_the_nap_allows_it(self):
        either = self.faults(self.LONG, cloth=replace(SERGE, nap=Nap.EITHER_WAY))
        assert "cross_grain = true, if" in either['item "bench", panel "plate"'].remedy
        one_way = self.faults(self.LONG)['item "bench", panel "plate"'].remedy
        assert "a cloth without a one-way nap, with cross_grain = true" in one_way

    def test_narrower_selvedges_are_named_where_they_would_do(self):
        tight = item("panel", length=600.0, width=1375.0)
        # 137.5 + 2 cm of seams on 140 cm of cloth leaves 0.25 cm each, a whole 2 mm.
        remedy = self.faults(tight)['item "seat", panel "panel"'].remedy
        assert "selvedges of no more than 0.2 cm each" in remedy

    def test_railroad_is_named_where_the_item_fits_a_quarter_turn_round(self):
        # 152 cm across 138 cm, but 52 cm when it is turned.
        remedy = self.faults(self.LONG)['item "bench", panel "plate"'].remedy
        assert "railroad = true, if" in remedy
        turned = replace(self.LONG, railroad=True)
        assert plan_order(order(turned), ONE_STEP, workers=1).lay.cloths

    def test_taking_railroad_away_is_named_where_that_helps(self):
        long = item("panel", length=1500.0, width=500.0)
        remedy = self.faults(replace(long, railroad=True))['item "seat", panel "panel"'].remedy
        assert "railroad = false, if" in remedy
        assert plan_order(order(long), ONE_STEP, workers=1).lay.cloths

    def test_railroad_is_not_named_where_no_turn_fits(self):
        large = item("panel", length=1500.0, width=1500.0)
        assert "railroad" not in self.faults(large)['item "seat", panel "panel"'].remedy

    def test_railroad_is_not_named_where_it_would_make_a_panel_misfit_another_cloth(self):
        # Boxing of 152 by 10 cm along a cloth of 60 cm; a quarter turn round it would be too wide.
        along = replace(self.LONG, values={**self.LONG.values, "strip_grain": "along"})
        mixed = replace(along, panel_cloths={"boxing-long": "narrow"})
        cloths = (SERGE, replace(SERGE, name="narrow", width=60 * CM))
        assert "railroad" not in self.faults(mixed, cloths=cloths).popitem()[1].remedy

    def test_railroad_is_not_named_for_a_product_that_forbids_it(self):
        class Flag(type(products()["panel"])):
            def draft(self, values):
                drawn = super().draft(values)
                return replace(drawn, panels=(replace(drawn.panels[0], may_railroad=False),))

        flag = replace(item("panel", length=500.0, width=1500.0), own_product=Flag())
        assert "railroad" not in self.faults(flag)['item "seat", panel "panel"'].remedy
        assert "railroad" in self.faults(replace(flag, own_product=None)).popitem()[1].remedy

    def test_what_is_advised_does_help(self):
        one = item("box-cushion", length=500.0, width=400.0, thickness=80.0, strips=1)
        for changed in ({"strips": 4}, {"strip_grain": "along"}):
            better = replace(one, values={**one.values, **changed})
            assert plan_order(order(better), ONE_STEP, workers=1).lay.cloths

    def test_a_strip_of_any_grain_is_drawn_along_a_one_way_cloth(self):
        free = replace(self.STRIP, values={**self.STRIP.values, "strip_grain": "any"})
        (lay,) = plan_order(order(free), ONE_STEP, workers=1).lay.cloths
        (boxing,) = [p for p in lay.placed if p.panel.name == "boxing"]
        assert boxing.turn == 0
        assert boxing.outline.length > boxing.outline.height


class TestRolls:
    def message(self, roll_length, **lays):
        cloth = replace(SERGE, roll_length=roll_length)
        with pytest.raises(RollTooShortError) as caught:
            plan_order(order(BENCH, cloths=(cloth,)), ONE_STEP, workers=1, **lays)
        (fault,) = caught.value.faults
        return str(fault)

    def test_a_roll_shorter_than_the_bound_is_proved_too_short(self):
        # The longest panel is 52 cm, with both ends 56 cm: 6 cm more than the roll has.
        message = self.message(50 * CM)
        assert "proved that no lay fits" in message
        assert "the roll of 50.0 cm" in message
        assert "too short" in message

    def test_a_roll_that_only_our_lay_does_not_fit_is_not_called_proved(self, monkeypatch):
        real = laying.solve_side_by_side

        def clumsy(problems, *arguments, **options):
            solutions = real(problems, *arguments, **options)
            return tuple(
                replace(one, lower_bound=1 * CM, proved_optimal=False) for one in solutions
            )

        monkeypatch.setattr(laying, "solve_side_by_side", clumsy)
        message = self.message(50 * CM)
        assert "not proved that none exists" in message
        assert "search longer" in message

    def test_a_roll_that_is_just_long_enough_will_do(self):
        (lay,) = plan_order(order(BENCH), ONE_STEP, workers=1).lay.cloths
        exact = replace(SERGE, roll_length=lay.buy_length)
        assert plan_order(order(BENCH, cloths=(exact,)), ONE_STEP, workers=1).lay.cloths

    def test_what_is_bought_must_fit_the_roll_and_not_only_the_lay(self):
        """By hand: 1000 mm of panel and two ends of 20 mm are 1040, by steps of 100 mm 1100."""
        one = item("panel", allowance_mm=0.0, length=1000.0, width=500.0)
        cloth = replace(SERGE, roll_length=104 * CM, buy_step=10 * CM)
        with pytest.raises(
            RollTooShortError, match=r"needs 110\.0 cm.*\(it is only the buy_step"
        ) as caught:
            plan_order(order(one, cloths=(cloth,)), ONE_STEP, workers=1)
        assert "in the shop already" in str(caught.value)
        there = replace(cloth, buy_step=100)
        (lay,) = plan_order(order(one, cloths=(there,)), ONE_STEP, workers=1).lay.cloths
        assert lay.buy_length == 104 * CM

    @pytest.mark.parametrize(
        ("units", "roll", "lack"),
        # by hand: 0.01 mm are 0.00039 in, and 999.99 mm 39.36969 in
        [
            ("mm", "999.99 mm", "needs 1000 mm, 0.01 mm more"),
            ("cm", "99.999 cm", "needs 100 cm, 0.001 cm more"),
            ("in", "39.3697 in", "needs 39.3701 in, 0.0004 in more"),
        ],
    )
    def test_a_roll_too_short_by_a_hair_is_told_with_digits_that_show_it(self, units, roll, lack):
        one = item("panel", allowance_mm=0.0, length=960.0, width=500.0)
        cloth = replace(SERGE, roll_length=99_999)
        with pytest.raises(RollTooShortError) as caught:
            plan_order(order(one, cloths=(cloth,), units=units), ONE_STEP, workers=1)
        (fault,) = caught.value.faults
        assert fault.rule == f"the lay must fit the roll of {roll}"
        assert lack in fault.value


def test_a_lay_that_the_check_refuses_is_never_returned(monkeypatch):
    found = (finding(Rule.OVERLAP, "serge: seat / plate / 1.1", "3.00 mm deep"),)
    monkeypatch.setattr(plan, "check_record", lambda _: found)
    with pytest.raises(UnprovenLayError, match="a fault in the program") as caught:
        plan_order(order(BENCH), ONE_STEP, workers=1)
    assert caught.value.faults[0].place == "serge: seat / plate / 1.1"


def test_the_files_of_a_plan_are_those_of_the_contract():
    linen = replace(SERGE, name="White Linen")
    laid = plan_order(
        order(
            BENCH,
            item("panel", "under", "White Linen", length=600.0, width=400.0),
            cloths=(SERGE, linen),
        ),
        ONE_STEP,
        workers=1,
    )
    files = lay_files(laid)
    assert set(files) == {
        "layout.json", "report.html", "marking-out.csv", "make-up.html",
        "serge.dxf", "serge.svg", "white-linen.dxf", "white-linen.svg",
    }  # fmt: skip
    assert files["layout.json"] == to_json(as_record(laid.lay)).encode()
    assert all(files.values())


def test_the_report_tells_that_a_search_was_ended_early():
    many = item("gored-pouf", diameter=500.0, cap_diameter=180.0, quantity=3)  # takes long to prove
    laid = plan_order(order(many), Limits(600.0), workers=1, interrupted=lambda: True)
    assert laid.interrupted
    assert b"stopped early" in lay_files(laid)["report.html"]


@pytest.mark.parametrize(("units", "least"), [("in", 154 * CM), ("cm", 154 * CM)])
def test_the_width_that_is_advised_is_never_too_narrow(units, least):
    from nesting.orders.lengths import parse_length
    from nesting.units import Limit, format_length, to_grid

    advised = to_grid(parse_length(format_length(least, units, Limit.AT_LEAST), units))
    assert least <= advised < least + IN // 8
