"""Orders built in Python: the same tables, the same rules, the same order as from a file."""

import json
import re
import tomllib
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import nesting
from nesting.cloth.cloth import Nap
from nesting.errors import OrderError
from nesting.orders.building import build_cloth, build_order
from nesting.orders.reader import parse_order, read_order
from nesting.orders.source import parse_toml
from nesting.orders.starter import STARTER
from nesting.panels.drafting.finished import rectangle
from nesting.panels.given import FixedProduct
from nesting.panels.product import products

ROOT = Path(__file__).parents[2]
DATA = ROOT / "tests" / "data" / "orders"
SAMPLES = sorted(ROOT.glob("samples/*/order.toml"))

CANVAS = {"name": "canvas", "width": 140, "nap": "either-way"}
SEAT = {
    "product": "box-cushion", "name": "seat", "quantity": 2, "cloth": "canvas",
    "length": 50, "width": 45.5, "thickness": "2 1/2 in",
}  # fmt: skip
NO_SIZES = dict.fromkeys(("length", "width", "thickness"))
TAG = FixedProduct("tag", (rectangle("tag", 1, 60, 30, ("a", "b", "c", "d")),))


def built(document, folder=Path()):
    """The order of a document that has the keys of an order file."""
    return build_order(
        document["name"],
        units=document["units"],
        cloths=document["cloth"],
        items=document["item"],
        folder=folder,
    )


def porch(cloth=CANVAS, item=SEAT, **more):
    return build_order("Porch", units="cm", cloths=[cloth], items=[item], **more)


def refusal(call, *args, **given):
    with pytest.raises(OrderError) as caught:
        call(*args, **given)
    return caught.value.faults


@pytest.mark.parametrize("path", [*SAMPLES, DATA / "good.toml"], ids=lambda path: path.parent.name)
def test_the_tables_of_a_file_build_the_order_of_the_file(path):
    document = tomllib.loads(path.read_text(encoding="utf-8"))
    assert built(document) == read_order(path)


def test_the_tables_of_the_starter_order_build_it():
    assert built(tomllib.loads(STARTER)) == parse_order(STARTER)


def in_toml(value):
    if isinstance(value, bool):
        return str(value).lower()
    return f'"{value}"' if isinstance(value, str) else repr(value)


lengths = st.one_of(
    st.integers(-5, 900),
    st.floats(-5, 900, allow_nan=False).map(lambda x: round(x, 3)),
    st.sampled_from(["45 cm", "17 1/2 in", "0.5 m", "wide", "7 parsecs"]),
)
CLOTH_KEYS = ("width", "selvedge", "buy_step", "gap", "end_allowance", "roll_length")
clothes = st.fixed_dictionaries(
    {"name": st.just("canvas")},
    optional={
        **dict.fromkeys(CLOTH_KEYS, lengths),
        "nap": st.sampled_from(["one-way", "either-way", "any"]),
        "cross_grain": st.booleans(),
        "price_per_metre": st.floats(0, 99).map(lambda x: round(x, 2)),
        "currency": st.sampled_from(["EUR", "euro"]),
    },
)
cushions = st.fixed_dictionaries(
    {"product": st.just("box-cushion"), "name": st.just("seat"), "cloth": st.just("canvas")},
    optional={
        "quantity": st.integers(-1, 3),
        "strips": st.sampled_from([1, 2, 4, "auto", "some"]),
        **dict.fromkeys(("length", "width", "thickness", "seam_allowance", "depth"), lengths),
    },
)


@settings(max_examples=150, deadline=None)
@given(clothes, cushions)
def test_whatever_is_ordered_python_and_a_file_give_the_same_order_or_the_same_faults(cloth, item):
    head = 'version = 1\nname = "Porch"\nunits = "cm"\n'
    tables = "".join(
        f"[[{key}]]\n" + "".join(f"{name} = {in_toml(value)}\n" for name, value in table.items())
        for key, table in (("cloth", cloth), ("item", item))
    )

    def outcome(call, *args):
        try:
            return call(*args)
        except OrderError as error:
            return {replace(fault, line=None) for fault in error.faults}

    assert outcome(porch, cloth, item) == outcome(parse_order, head + tables)


def sound_but_for_tables(document):
    """Whether a file's head is as `build_order` itself writes it, and its tables are tables."""
    heads = {"version", "name", "units", "cloth", "item"}
    lists = [document.get("cloth"), document.get("item")]
    are_lists = all(isinstance(each, list) and 0 < len(each) <= 1000 for each in lists)
    of_tables = are_lists and all(isinstance(one, dict) for each in lists for one in each)
    return of_tables and document.get("version") == 1 and set(document) == heads


def bad_files():
    for path in sorted(DATA.glob("*.toml")):
        try:
            document = parse_toml(path.read_text(encoding="utf-8"))
        except (OrderError, UnicodeDecodeError):
            continue
        if path.stem != "good" and sound_but_for_tables(document):
            yield pytest.param(path, document, id=path.stem)


BAD = [*bad_files()]


@pytest.mark.parametrize(("path", "document"), BAD)
def test_a_bad_order_has_the_same_faults_without_its_lines(path, document):
    def told(fault):
        return replace(fault, line=None, rule=re.sub(r" on line \d+", "", fault.rule))

    expected = {told(fault) for fault in refusal(read_order, path)}
    assert set(refusal(built, document, path.parent)) == expected


def test_there_are_bad_orders_to_compare():
    assert len(BAD) > 50


def test_every_fault_is_told_at_once_by_table_and_key():
    faults = refusal(porch, {**CANVAS, "width": "wide"}, {**SEAT, "lenght": 3, "quantity": 0})
    assert {fault.place for fault in faults} == {
        'cloth 1 "canvas", width', 'item 1 "seat", lenght', 'item 1 "seat", quantity',
    }  # fmt: skip
    assert all(fault.rule and fault.remedy and fault.line is None for fault in faults)


def test_a_name_that_is_taken_is_told_without_a_line():
    (fault,) = refusal(build_order, "Porch", units="cm", cloths=[CANVAS], items=[SEAT, SEAT])
    assert fault.rule == 'the name is taken by item 1 "seat"'


def test_none_is_the_same_as_a_key_left_out():
    assert porch({**CANVAS, "selvedge": None}, {**SEAT, "strips": None}) == porch()
    (fault,) = refusal(porch, CANVAS, {**SEAT, "length": None})
    assert fault.rule == "is missing"


@pytest.mark.parametrize("width", [45.5, Decimal("45.5"), Fraction(91, 2), np.float64(45.5)])
def test_numbers_of_every_sort_are_read_as_they_are_written(width):
    order = porch(CANVAS, {**SEAT, "width": width, "quantity": np.int64(2)})
    assert order.items[0].values["width"] == 455.0
    assert order.items[0].quantity == 2


@pytest.mark.parametrize("key", ["width", "quantity"])
def test_text_never_becomes_a_number_nor_a_fraction_a_count(key):
    assert refusal(porch, CANVAS, {**SEAT, key: "7"})
    assert refusal(porch, CANVAS, {**SEAT, "quantity": 2.0})


def test_prices_are_exact():
    cloth = {**CANVAS, "price_per_metre": 26.8, "currency": "EUR"}
    assert porch(cloth).cloths[0].price.amount == Decimal("26.8")


def test_words_may_be_members_of_an_enumeration():
    assert porch({**CANVAS, "nap": Nap.EITHER_WAY}) == porch()


def test_points_may_be_tuples():
    corners = ((0, 0), (40, 0), ("40 cm", 30.0))
    seat = {key: SEAT[key] for key in ("name", "quantity", "cloth")}
    item = {**seat, "product": "shaped-seat", "corners": corners, "thickness": 5}
    expected = ((0.0, 0.0), (400.0, 0.0), (400.0, 300.0))
    assert porch(CANVAS, item).items[0].values["corners"] == expected


@pytest.mark.parametrize("how", [str, Path])
def test_the_path_of_a_drawing_begins_in_the_folder(tmp_path, how):
    (tmp_path / "seat.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">'
        '<path d="M0 0H60V40H0Z"/></svg>'
    )
    drawn = {"product": "outline", "name": "mat", "quantity": 1, "cloth": "canvas"}
    order = porch(CANVAS, {**drawn, "file": how("seat.svg")}, folder=tmp_path)
    assert order.items[0].values["file"] == tmp_path / "seat.svg"


@pytest.mark.parametrize("wrong", [[], {}, CANVAS, "canvas", [CANVAS, "canvas"], None, 7])
def test_a_list_that_is_none_is_refused(wrong):
    (fault,) = refusal(build_order, "Porch", units="cm", cloths=wrong, items=[SEAT])
    assert fault.place == "cloths"
    assert "list of 1 to 1000 tables" in fault.rule


@pytest.mark.parametrize("key", ["name", "cloth", "product", "nap"])
def test_text_that_no_file_can_hold_is_refused(key):
    cloth, item = {**CANVAS}, {**SEAT}
    (cloth if key == "nap" else item)[key] = "half a pair \ud800"
    assert refusal(porch, cloth, item)


def test_a_product_of_the_order_is_found_by_its_items():
    order = porch(item={**SEAT, "product": "tag"} | NO_SIZES, products=[TAG])
    (item,) = order.items
    assert item.made_as is TAG
    assert item.values == {}


class Flag:
    """A product from outside, with nothing but public names."""

    name = "flag"
    summary = "a flag with a hem along its pole"
    measurements = (
        nesting.Measurement(
            "hoist", nesting.MeasurementKind.LENGTH, "height at the pole", required=True, least=50
        ),
        nesting.Measurement("fly", nesting.MeasurementKind.LENGTH, "length", default=900.0),
    )
    cautions = ()

    def faults(self, values, allowance_mm):
        if values["fly"] >= values["hoist"]:
            return ()
        return (nesting.Fault("fly", "must not be shorter than the hoist", "", "make it longer"),)

    def draft(self, values):
        edges = ("foot", "end", "head", "pole")
        sorts = {"pole": nesting.EdgeSort.HEM}
        size = values["fly"], values["hoist"]
        panel = nesting.rectangle("flag", 1, *size, edges, sorts=sorts)
        return nesting.Draft((panel,), (), allowances_mm={nesting.EdgeSort.HEM: 30.0})


FLAG = {"product": "flag", "name": "pennant", "quantity": 2, "cloth": "canvas"}


def test_measurements_of_an_own_product_are_read_and_judged_as_any():
    order = porch(item={**FLAG, "hoist": "20 in"}, products=[Flag()])
    assert order.items[0].values == {"hoist": 508.0, "fly": 900.0}
    (short,) = refusal(porch, item={**FLAG, "hoist": 95}, products=[Flag()])
    assert (short.place, short.rule) == (
        'item 1 "pennant", fly', "must not be shorter than the hoist"
    )  # fmt: skip
    rules = {fault.rule for fault in refusal(porch, item={**FLAG, "hoist": 4}, products=[Flag()])}
    assert rules == {"must not be less than 5.0 cm"}


def test_an_own_product_is_planned_compared_and_written_like_any():
    """A flag is 90 and 3 of hem and 1 of seam long, 60 and twice 1 high."""
    order = porch(item={**FLAG, "hoist": 60}, products=[Flag()])
    limits = nesting.Limits(seconds=None, steps=1)
    plan = nesting.plan_order(order, limits, workers=1)
    (lay,) = plan.lay.cloths
    assert (lay.panels[0].cut.length, lay.panels[0].cut.height) == (9_400 * 10, 6_200 * 10)
    record = json.loads(nesting.lay_files(plan, [nesting.Format.CSV])["layout.json"])
    assert nesting.check_record(record) == ()
    rolls = [build_cloth({"name": "other", "width": width}, units="cm") for width in (70, 130)]
    compared = nesting.compare_rolls(order, "canvas", rolls, limits, workers=1)
    assert [offer.cloth.width for offer in compared.offers] == [130_000, 70_000]


def test_a_product_of_one_order_is_unknown_to_the_next():
    porch(item={**SEAT, "product": "tag"} | NO_SIZES, products=[TAG])
    assert "tag" not in products()
    faults = refusal(porch, item={**SEAT, "product": "tag"} | NO_SIZES)
    assert [fault.rule for fault in faults] == ["no product has this name"]


def test_a_product_must_not_take_the_name_of_another():
    panel = FixedProduct("panel", TAG.panels)
    faults = refusal(porch, products=[TAG, panel, TAG])
    assert [fault.place for fault in faults] == ["products[1]", "products[2]"]


def test_items_of_registered_products_have_none_of_their_own():
    (item,) = porch().items
    assert item.own_product is None
    assert item.made_as is products()["box-cushion"]


def test_a_cloth_is_built_as_an_order_has_it():
    cloth = {**CANVAS, "selvedge": "1/2 in", "gap": 0.3, "buy_step": 10}
    assert build_cloth(cloth, units="cm") == porch(cloth).cloths[0]


def test_a_bad_cloth_has_the_faults_that_it_has_in_an_order():
    cloth = {**CANVAS, "width": 1, "selvedge": 3, "colour": "red"}
    assert refusal(build_cloth, cloth, units="cm") == refusal(porch, cloth)


def test_a_cloth_needs_a_known_unit():
    places = {fault.place for fault in refusal(build_cloth, CANVAS, units="ell")}
    assert places == {"units"}
