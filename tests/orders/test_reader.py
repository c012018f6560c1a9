"""Orders read from text and from files."""

import os
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.cloth.cloth import Cloth, Nap, Price
from nesting.errors import AccessError, Fault, OrderError
from nesting.orders.order import Item
from nesting.orders.reader import parse_order, read_order
from nesting.orders.source import MOST_BYTES
from nesting.panels import product as register
from nesting.panels.drafting.draft import Draft
from nesting.panels.drafting.finished import rectangle
from nesting.panels.measurements import Measurement, MeasurementKind
from nesting.panels.product import products
from nesting.units import YD, M

GOOD = Path(__file__).parents[1] / "data" / "orders" / "good.toml"
ORDER = GOOD.read_text()

INCHES = """
version = 1
name = "Porch, small parts"
units = "in"

[[cloth]]
name = "plum velvet"
width = 54
selvedge = "1/2 in"
nap = "up-and-down"
cross_grain = true
price_per_yard = 18.10
currency = "USD"
buy_step = "1/8 yd"
gap = "3 mm"
end_allowance = '1"'
roll_length = "12 yd"

[[cloth]]
name = "lining"
width = "1.4 m"
price_per_metre = 4
currency = "EUR"

[[item]]
product = "gored-pouf"
name = "pouf"
quantity = 1000
cloth = "lining"
seam_allowance = 0
diameter = "19 ½ in"
"""


def changed(old: str, new: str) -> str:
    assert old in ORDER
    return ORDER.replace(old, new)


def faults_of(text: str) -> tuple[Fault, ...]:
    with pytest.raises(OrderError) as caught:
        parse_order(text)
    return caught.value.faults


def test_an_order_of_few_words_gets_the_defaults():
    order = parse_order(ORDER)
    assert (order.name, order.units) == ("Porch", "cm")
    assert order.cloths == (
        Cloth(
            name="green duck",
            width=140_000,
            selvedge=1500,
            nap=Nap.ONE_WAY,
            cross_grain=False,
            price=None,
            buy_step=100,
            gap=0,
            end_allowance=0,
            roll_length=None,
        ),
    )
    values = {m.name: m.default for m in products()["round-cushion"].measurements}
    values |= {"diameter": 400.0, "thickness": 50.0}
    assert order.items == (Item("seat", "round-cushion", 2, "green duck", 10.0, values),)


def test_every_key_of_a_cloth_arrives_on_the_grid_exactly():
    # 1 in = 2540 grid units: 54 in = 137160, 1/8 yd = 4.5 in = 11430, 12 yd = 1097280
    velvet, lining = parse_order(INCHES.replace("1000", "500")).cloths
    assert velvet == Cloth(
        name="plum velvet",
        width=137_160,
        selvedge=1270,
        nap=Nap.UP_AND_DOWN,
        cross_grain=True,
        price=Price(Decimal("18.10"), YD, "USD"),
        buy_step=11_430,
        gap=300,
        end_allowance=2540,
        roll_length=1_097_280,
    )
    assert lining.width == 140_000
    assert lining.price == Price(Decimal(4), M, "EUR")


def test_a_measurement_left_out_is_its_default_or_none():
    (pouf,) = parse_order(INCHES.replace("1000", "500")).items
    promised = {"diameter": 495.3, "height": None, "gores": 8, "cap_diameter": 0.0}
    assert pouf.values == pouf.values | promised
    assert set(pouf.values) == {m.name for m in products()["gored-pouf"].measurements}
    assert pouf.allowance_mm == 0.0


def test_a_price_by_the_yard_is_not_turned_into_one_by_the_metre():
    cloth = parse_order(INCHES.replace("1000", "500")).cloths[0]
    assert cloth.price is not None
    assert cloth.price.of(3 * YD) == Decimal("54.30")  # 3 x 18.10


def test_a_key_may_stand_in_an_inline_table():
    text = ORDER.split("[[cloth]]")[0] + (
        'cloth = [{name = "twill", width = 140}]\n'
        "item = [\n"
        '{product = "panel", name = "mat", quantity = 1, cloth = "twill", length = 4, widht = 3}]\n'
    )
    (fault,) = faults_of(text)
    assert (fault.line, fault.place) == (6, 'item 1 "mat", widht')
    assert fault.remedy == 'did you mean "width"?'


def test_limits_are_not_held_against_numbers_whose_unit_is_unknown():
    faults = faults_of(changed('"cm"', '"chains"').replace("diameter = 40", "diameter = 4000"))
    assert [fault.place for fault in faults] == ["units"]


def test_an_item_may_mean_the_cloth_whose_name_is_wrong():
    faults = faults_of(changed('name = "green duck"', "name = 7"))
    assert [fault.place for fault in faults] == ["cloth 1, name"]


def test_too_many_tables_are_one_fault_and_not_one_for_each():
    (fault,) = faults_of(ORDER + "[[item]]\n" * 1001)
    assert (fault.place, fault.value) == ("[[item]]", "a list of 1002")
    assert "more than 1000" in fault.rule


def test_a_key_that_cannot_be_printed_is_shown_without_harm():
    (fault,) = faults_of(changed("selvedge = 1.5", '"\\u001b[31m\\n" = 1.5'))
    assert fault.place == 'cloth 1 "green duck", "\\u001B[31m\\u000A"'


class Bunting:
    """A product that belongs to one order only."""

    name = "bunting"
    summary = "a string of flags"
    cautions = ()
    measurements = (
        Measurement("flag", MeasurementKind.LENGTH, "side of a flag", required=True),
        Measurement("flags", MeasurementKind.COUNT, "how many", default=3, least=1, greatest=9),
        Measurement(
            "shape", MeasurementKind.CHOICE, "outline", "square", choices=("square", "cut")
        ),
        Measurement("tail", MeasurementKind.LENGTH, "what hangs over", least=0.0),
    )

    def faults(self, values, allowance_mm):
        if values["flag"] > 2 * allowance_mm:
            return ()
        return (Fault("flag", "must be wider than both allowances", "", "make it wider"),)

    def draft(self, values):
        edges = ("lower", "end", "upper", "start")
        return Draft((rectangle("flag", values["flags"], 9.0, 9.0, edges),), ())


BUNTING = changed("round-cushion", "bunting").split("diameter")[0]


def test_a_product_from_outside_can_be_ordered_at_once(monkeypatch):
    monkeypatch.setitem(register._register, "bunting", Bunting())
    (item,) = parse_order(BUNTING + 'flag = "9 in"\n').items
    assert item.values == {"flag": 228.6, "flags": 3, "shape": "square", "tail": None}


def test_the_measurements_of_a_product_from_outside_are_checked(monkeypatch):
    monkeypatch.setitem(register._register, "bunting", Bunting())
    faults = faults_of(BUNTING + 'flag = 0\nflags = 10\nshape = "skwer"\ntail = -1\n')
    assert [fault.rule for fault in faults] == [
        "must be longer than nothing",
        "must lie between 1 and 9",
        'must be one of "square", "cut"',
        "must not be negative",
    ]


def test_measurements_are_held_together_once_each_is_sound(monkeypatch):
    monkeypatch.setitem(register._register, "bunting", Bunting())
    (fault,) = faults_of(BUNTING + "flag = 2\n")
    assert fault == Fault(
        'item 1 "seat", flag', "must be wider than both allowances", "2", "make it wider", 15
    )


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"], ids=["plain", "byte order mark"])
def test_a_file_is_read_with_and_without_a_byte_order_mark(tmp_path, mark):
    file = tmp_path / "order.toml"
    file.write_bytes(mark + ORDER.replace("\n", "\r\n").encode())
    assert read_order(file) == parse_order(ORDER)
    assert read_order(str(file)) == parse_order(ORDER)


def test_a_file_that_is_absent_or_a_folder_or_no_name_is_refused_with_its_path(tmp_path):
    with pytest.raises(AccessError, match=r"none\.toml is not there: check the name"):
        read_order(tmp_path / "none.toml")
    with pytest.raises(AccessError, match="is a folder: name the order file in it"):
        read_order(tmp_path)
    with pytest.raises(AccessError, match="cannot be read"):
        read_order(tmp_path / "a\0b")
    with pytest.raises(AccessError, match="cannot be read"):
        read_order(GOOD / "order.toml")


def test_a_file_that_may_not_be_read_says_so(tmp_path, monkeypatch):
    def refuse(*_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(AccessError, match=r"cannot be read \(Permission denied\): .* who may read"):
        read_order(tmp_path / "order.toml")


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="everything may be read here")
def test_a_file_without_permission_is_refused(tmp_path):
    file = tmp_path / "order.toml"
    file.write_text(ORDER)
    file.chmod(0)
    with pytest.raises(AccessError, match="cannot be read"):
        read_order(file)


def test_a_file_larger_than_any_order_is_refused_and_one_that_just_fits_is_read(tmp_path):
    file = tmp_path / "order.toml"
    remark = "#" * (MOST_BYTES - len(ORDER))
    file.write_text(ORDER + remark)
    assert read_order(file) == parse_order(ORDER)
    assert read_order(str(file)) == parse_order(ORDER)
    file.write_text(ORDER + remark + "#")
    with pytest.raises(OrderError, match="must not be larger than 5 MB"):
        read_order(file)


@settings(deadline=None, max_examples=150)
@given(st.binary(max_size=400))
def test_no_bytes_raise_anything_but_the_declared_errors(tmp_path_factory, data):
    file = tmp_path_factory.getbasetemp() / "any.toml"
    file.write_bytes(data)
    with pytest.raises(OrderError):
        read_order(file)


PIECES = st.sampled_from(
    [
        "nan", "-inf", "1e400", "0x" + "f" * 5000, "[[", "]]", "[", "{", "}", '"""', "'''", "'",
        '"', "\\u0000", "\\", "=", "\n", "\r", ".", "#", "true", "-", "9" * 30, "é", "\u2028",
        "[cloth]", "[item.x]", "cloth.y = 1", "1979-05-27", "½", "[[cloth]]", "[[item]]", "name",
        "product",
    ]
)  # fmt: skip


@settings(deadline=None, max_examples=300)
@given(st.lists(st.tuples(st.integers(0, len(ORDER)), st.integers(0, 12), PIECES), max_size=3))
def test_no_damaged_order_raises_anything_but_the_declared_error(damages):
    text = ORDER
    for at, length, piece in damages:
        text = text[:at] + piece + text[at + length :]
    try:
        order = parse_order(text)
    except OrderError as error:
        faults = error.faults
    else:
        faults = ()
        assert order.items
        assert all(cloth.usable_width > 0 for cloth in order.cloths)
    last = text.count("\n") + 1
    assert all(fault.rule and fault.remedy for fault in faults)
    assert all(fault.line is None or 1 <= fault.line <= last for fault in faults)
    assert all("\n" not in str(fault) for fault in faults)


def test_the_orders_room_loads_neither_solver_nor_compiler_nor_geometry():
    code = (
        "import sys, nesting.orders.reader, nesting.orders.schema, nesting.orders.starter;"
        "print([m for m in ('ortools', 'numba', 'shapely', 'numpy') if m in sys.modules])"
    )
    run = subprocess.run(  # an interpreter of its own: this one has loaded everything
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert run.stdout.strip() == "[]"
