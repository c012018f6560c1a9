import io
from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType

import openpyxl
import pytest
from worked_lays import TWILL, mixed_lay, order_lay

from nesting.cloth.cloth import Price
from nesting.layouts.sequence import in_marking_order
from nesting.layouts.storage import as_record
from nesting.orders.order import Item, Order
from nesting.reports.workbook import workbook
from nesting.units import IN, YD

UNIT_MM = {"mm": 1, "cm": 10, "in": 25.4}

CUSHION = Item(
    name="=cushion", product="box-cushion", quantity=1, cloth="teal twill", allowance_mm=10.0,
    values=MappingProxyType({"length": 400.0, "width": 300.0, "thickness": 80.0, "strips": 1}),
)  # fmt: skip


def _order(units="cm", name="Reading nook"):
    return Order(name, units, (TWILL,), (CUSHION,))


def _sheets(units="cm", lay=None):
    data = workbook(lay or order_lay(), _order(units))
    book = openpyxl.load_workbook(io.BytesIO(data))
    return {sheet.title: list(sheet.iter_rows(values_only=True)) for sheet in book}


def _rows(table):
    """The rows of a sheet, by heading."""
    headings, *rows = table
    return [dict(zip(headings, row, strict=True)) for row in rows]


SHEETS = [
    "Cloths", "Pieces", "Items", "Measurements", "Panels", "Lay plan", "Waste", "Cost",
    "Cost by item",
]  # fmt: skip


def test_each_table_has_a_sheet_of_its_own():
    sheets = _sheets()
    assert list(sheets) == SHEETS
    for table in sheets.values():
        assert all(any(cell is not None for cell in row) for row in table)


@pytest.mark.parametrize("units", UNIT_MM)
def test_placements_are_those_of_the_layout_file(units):
    lay = order_lay()
    placements = as_record(lay)["cloths"][0]["placements"]
    numbers = [lay.cloths[0].placed.index(p) for p in in_marking_order(lay.cloths[0])]
    rows = _rows(_sheets(units)["Lay plan"])
    assert [row["number"] for row in rows] == list(range(1, 7))
    for row, index in zip(rows, numbers, strict=True):
        placement = placements[index]
        for heading, key in (("item", "item"), ("panel", "panel"), ("copy", "copy"),
                             ("part", "part"), ("turn (degrees)", "turn_deg")):  # fmt: skip
            assert row[heading] == placement[key]
        for heading, key in (("from cut end", "x_mm"), ("from lower edge", "y_mm")):
            value = row[f"{heading} ({units})"]
            assert isinstance(value, int | float)
            assert value * UNIT_MM[units] == pytest.approx(placement[key], abs=0.005)


@pytest.mark.parametrize("units", UNIT_MM)
def test_panels_are_those_of_the_layout_file(units):
    panels = as_record(order_lay())["cloths"][0]["panels"]
    area_mm2, shop = (914.4**2, "yd") if units == "in" else (1e6, "m")
    for row, panel in zip(_rows(_sheets(units)["Panels"]), panels, strict=True):
        assert (row["item"], row["panel"]) == (panel["item"], panel["panel"])
        assert row["total"] == panel["quantity"]
        assert row[f"area ({shop}²)"] * area_mm2 == pytest.approx(panel["area_mm2"], rel=1e-4)
        xs = [x for x, _ in panel["outline_mm"]]
        assert row[f"length ({units})"] * UNIT_MM[units] == pytest.approx(
            max(xs) - min(xs), abs=0.005
        )


def test_cost_and_lengths_are_those_of_the_layout_file():
    record = as_record(order_lay())["cloths"][0]
    (row,) = _rows(_sheets()["Cost"])
    assert row["cost"] == record["cost"]
    assert row["sold by the"] == "metre"
    assert row["price of one"] == record["price_per_metre"]
    assert row["length to buy, as sold"] == record["buy_length_mm"] / 1000
    assert row["length of the lay plan (cm)"] == record["used_length_mm"] / 10
    assert row["minimum, proved (cm)"] == record["lower_bound_mm"] / 10
    assert row["fabric utilisation"] == pytest.approx(record["efficiency"], abs=1e-6)


def test_cloth_sold_by_the_yard_is_counted_in_yards_whatever_the_workroom_measures_in():
    by_yard = replace(TWILL, price=Price(Decimal("12.5"), YD, "USD"), buy_step=9 * IN)
    (row,) = _rows(_sheets("cm", order_lay(mixed_lay(by_yard)))["Cost"])
    assert (row["sold by the"], row["price of one"]) == ("yard", 12.5)
    assert row["length to buy, as sold"] == 0.75  # by hand: 62 + 4 cm are 0.72 yd, sold by quarters


def test_the_items_share_the_cost_exactly_to_the_cent():
    rows = _rows(_sheets()["Cost by item"])
    costs = [row["share of the cost"] for row in rows]
    assert sum(map(Decimal, map(str, costs))) == Decimal("12.95")  # by hand: 0.7 m at 18.50
    assert sum(row["share of all panels"] for row in rows) == pytest.approx(1)


def test_waste_adds_up_to_what_is_bought():
    rows = _rows(_sheets()["Waste"])
    assert sum(row["area (m²)"] for row in rows) == pytest.approx(0.7 * 1.4, abs=1e-5)
    assert sum(row["share of the whole"] for row in rows) == pytest.approx(1)
    assert sum(Decimal(str(row["value"])) for row in rows) == Decimal("12.95")


def test_costs_are_empty_where_no_price_is_known():
    lay = order_lay(mixed_lay(replace(TWILL, price=None)))
    (row,) = _rows(_sheets(lay=lay)["Cost"])
    assert (row["cost"], row["currency"]) == (None, None)


def test_measurements_are_numbers_in_the_makers_unit_and_choices_are_text():
    table = _sheets("mm")["Measurements"]
    measured = {row[1]: row[2:4] for row in table if row[0] == "=cushion"}
    assert measured["length"] == (400, None)
    assert measured["strips"] == (None, 1)


def test_text_that_looks_like_a_formula_stays_text():
    data = workbook(order_lay(), _order())
    sheet = openpyxl.load_workbook(io.BytesIO(data))["Items"]
    (cell,) = [c for c in sheet["A"] if c.value == "=cushion"]
    assert cell.data_type == "s"


@pytest.mark.parametrize(("units", "paper"), [("cm", 9), ("in", 1)])
def test_every_sheet_prints_across_one_landscape_page_of_the_makers_paper(units, paper):
    # ISO/IEC 29500-1, 18.3.1.63 (M): paper 9 is A4, 1 is Letter; a width not told is one page,
    # a height of 0 is as many as needed
    book = openpyxl.load_workbook(io.BytesIO(workbook(order_lay(), _order(units))))
    for sheet in book:
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.page_setup.paperSize == paper
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.page_setup.fitToWidth in (None, 1)
        assert sheet.page_setup.fitToHeight == 0


def test_headings_are_repeated_on_every_printed_page_and_stay_in_view():
    book = openpyxl.load_workbook(io.BytesIO(workbook(order_lay(), _order())))
    for sheet in book:
        assert sheet.freeze_panes == "A2"
    assert {sheet.title: sheet.print_title_rows for sheet in book} == dict.fromkeys(SHEETS, "$1:$1")


@pytest.mark.parametrize("name", ["=1+1", "+49 twill", "-5", "@SUM(A1)", "{=1+1}"])
def test_no_cell_of_any_sheet_is_a_formula_whatever_a_name_begins_with(name):
    lay = mixed_lay()
    panels = {panel: replace(panel, name=name, item=name) for panel in lay.panels}
    placed = tuple(replace(one, panel=panels[one.panel]) for one in lay.placed)
    named = replace(
        lay, cloth=replace(lay.cloth, name=name), panels=tuple(panels.values()), placed=placed
    )
    item = replace(CUSHION, name=name, cloth=name)
    order = Order(name, "cm", (named.cloth,), (item,))
    book = openpyxl.load_workbook(io.BytesIO(workbook(order_lay(named), order)))
    for sheet in book:
        cells = [cell for row in sheet for cell in row]
        assert {cell.data_type for cell in cells} <= {"s", "n"}
        assert any(cell.value == name for cell in cells)
        # after an edit it stays text too: the cell keeps the mark of quoted text
        assert all(cell.quotePrefix for cell in cells if cell.value == name)


def test_equal_lays_give_equal_bytes():
    assert workbook(order_lay(), _order()) == workbook(order_lay(), _order())
