"""Writes a lay as a workbook (xlsx).

Each table has a sheet of its own, so that its headings are repeated on every
printed page: cloths, pieces that are used, items, measurements, panels, lay plan,
waste, cost and cost by item. A cloth without stock is one piece, its roll. Numbers
are stored as numbers, with their units in the headings. Lengths are in the maker's
units to a hundredth of a millimetre, areas in square metres or square yards. Equal
lays give equal bytes.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from nesting.layouts.lay import ClothLay, OrderLay
from nesting.layouts.sequence import in_marking_order
from nesting.orders.order import Item, Order
from nesting.panels import allowances
from nesting.panels.measurements import MeasurementKind, Value
from nesting.panels.panel import GrainRule, Panel
from nesting.reports.sheets import Cell, Table, write_sheets
from nesting.reports.waste import account, apportion
from nesting.units import BARE_UNITS, MM, YD, M

#: Decimals of a length in each unit: a hundredth of a millimetre or finer.
_DECIMALS = {"mm": 2, "cm": 3, "in": 4}

#: The lengths by which cloth is sold, with the names of the units.
_SOLD_BY = {YD: "yard", M: "metre"}


def workbook(lay: OrderLay, order: Order) -> bytes:
    """The order and its lays as the bytes of an xlsx file."""
    scale = _Scale(order.units)
    sheets = {
        "Cloths": _cloths(order, scale),
        "Pieces": _pieces(lay, scale),
        "Items": _items(order, scale),
        "Measurements": _measurements(order, scale),
        "Panels": _panels(lay, scale),
        "Lay plan": _placements(lay, scale),
        "Waste": _waste(lay, scale),
        "Cost": _cost(lay, scale),
        "Cost by item": _cost_by_item(lay, scale),
    }
    return write_sheets(order.name, sheets, order.units)


@dataclass(frozen=True)
class _Scale:
    """Lengths and areas as numbers in the maker's units."""

    units: str

    def length(self, length: float) -> float:
        """A length given in grid units."""
        return round(length / BARE_UNITS[self.units], _DECIMALS[self.units])

    @property
    def shop(self) -> str:
        """The unit in which cloth is bought."""
        return "yd" if self.units == "in" else "m"

    @property
    def shop_unit(self) -> int:
        """The unit in which cloth is bought, in grid units."""
        return YD if self.units == "in" else M

    def area(self, area2: int) -> float:
        """An area in square metres or yards; ``area2`` is twice the area in square grid units."""
        return round(area2 / (2 * self.shop_unit**2), 6)


def _cloths(order: Order, scale: _Scale) -> Table:
    units = scale.units
    headings = (
        "cloth", f"width ({units})", f"selvedge ({units})", "nap", f"spacing ({units})",
        f"end allowance ({units})", f"sold in steps of ({units})",
    )  # fmt: skip
    rows: list[tuple[Cell, ...]] = [
        (
            cloth.name,
            scale.length(cloth.width),
            scale.length(cloth.selvedge),
            str(cloth.nap),
            scale.length(cloth.gap),
            scale.length(cloth.end_allowance),
            scale.length(cloth.buy_step),
        )
        for cloth in order.cloths
    ]
    return Table(headings, rows)


def _pieces(lay: OrderLay, scale: _Scale) -> Table:
    units = scale.units
    headings = (
        "cloth", "piece", f"length ({units})", f"width ({units})", f"selvedge ({units})", "shade",
        "holes", "flaws", f"splices, from cut end ({units})",
        f"measured widths ({units}), each after where it was measured",
    )  # fmt: skip
    rows: list[tuple[Cell, ...]] = [
        (
            one.cloth.name,
            one.on.name,
            scale.length(one.cloth_length),
            scale.length(one.on.width),
            scale.length(one.on.selvedge),
            one.on.shade,
            len(one.on.holes),
            len(one.on.flaws),
            ", ".join(str(scale.length(x)) for x in one.on.splices),
            ", ".join(f"{scale.length(x)}: {scale.length(width)}" for x, width in one.on.widths),
        )
        for one in lay.cloths
    ]
    return Table(headings, rows)


def _items(order: Order, scale: _Scale) -> Table:
    headings = ("item", "product", "quantity", "cloth", f"seam allowance ({scale.units})")
    rows: list[tuple[Cell, ...]] = [
        (item.name, item.product, item.quantity, item.cloth, scale.length(item.allowance_mm * MM))
        for item in order.items
    ]
    return Table(headings, rows)


def _measurements(order: Order, scale: _Scale) -> Table:
    rows = [row for item in order.items for row in _measurement_rows(item, scale)]
    return Table(("item", "measurement", f"length ({scale.units})", "count or choice"), rows)


def _measurement_rows(item: Item, scale: _Scale) -> Iterator[tuple[Cell, ...]]:
    for measurement in item.made_as.measurements:
        value = item.values.get(measurement.name)
        if value is None:
            continue
        if measurement.kind is MeasurementKind.LENGTH and isinstance(value, float | int):
            yield item.name, measurement.name, scale.length(value * MM), None
        else:
            yield item.name, measurement.name, None, _cell(value, scale)


def _cell(value: Value, scale: _Scale) -> Cell:
    """A value that is not a single length, as one cell."""
    if isinstance(value, tuple):
        return " ".join(f"({scale.length(x * MM)}, {scale.length(y * MM)})" for x, y in value)
    return str(value) if isinstance(value, Path) else value


def _panels(lay: OrderLay, scale: _Scale) -> Table:
    units = scale.units
    headings = (
        "cloth", "item", "panel", "for each item", "total", f"length ({units})",
        f"width ({units})", f"area ({scale.shop}²)", f"seam allowance ({units})", "grain",
        "allowances of edges",
    )  # fmt: skip
    return Table(headings, [_panel_row(p, scale) for lays in lay.by_cloth for p in lays[0].panels])


def _panel_row(panel: Panel, scale: _Scale) -> tuple[Cell, ...]:
    grain = "any way" if panel.grain_rule is GrainRule.ANY else "along the roll"
    return (
        panel.cloth, panel.item, panel.name, panel.per_item, panel.copies,
        scale.length(panel.cut.length), scale.length(panel.cut.height),
        scale.area(panel.cut.area2), scale.length(panel.allowance), grain,
        allowances.allowance_text(panel, scale.units),
    )  # fmt: skip


def _placements(lay: OrderLay, scale: _Scale) -> Table:
    units = scale.units
    headings = (
        "cloth", "piece", "number", "item", "panel", "copy", "part", "turn (degrees)",
        f"from cut end ({units})", f"from lower edge ({units})", f"length ({units})",
        f"width ({units})",
    )  # fmt: skip
    rows: list[tuple[Cell, ...]] = [
        (
            one.cloth.name,
            one.on.name,
            number,
            placed.panel.item,
            placed.panel.name,
            placed.copy,
            placed.part,
            placed.turn,
            scale.length(placed.x),
            scale.length(placed.y),
            scale.length(placed.outline.length),
            scale.length(placed.outline.height),
        )
        for one in lay.cloths
        for number, placed in enumerate(in_marking_order(one), start=1)
    ]
    return Table(headings, rows)


def _waste(lay: OrderLay, scale: _Scale) -> Table:
    headings = ("cloth", "piece", "use", f"area ({scale.shop}²)", "share of the whole", "value")
    rows: list[tuple[Cell, ...]] = []
    for one in lay.cloths:
        areas2 = account(one).areas2
        total, worths = sum(areas2.values()), _share_cost(one.cost, list(areas2.values()))
        for (use, area2), worth in zip(areas2.items(), worths, strict=True):
            row = (one.cloth.name, one.on.name, str(use), scale.area(area2), area2 / total, worth)
            rows.append(row)
    return Table(headings, rows, frozenset({4}))


def _cost(lay: OrderLay, scale: _Scale) -> Table:
    units = scale.units
    headings = (
        "cloth", "piece", f"length of the lay plan ({units})", f"minimum, proved ({units})",
        f"length to buy ({units})", "length to buy, as sold", "sold by the", "price of one",
        "currency", "cost", "fabric utilisation", "cloth in panels",
    )  # fmt: skip
    return Table(headings, [_cost_row(one, scale) for one in lay.cloths], frozenset({10, 11}))


def _cost_row(lay: ClothLay, scale: _Scale) -> tuple[Cell, ...]:
    figures, price = account(lay), lay.cloth.price
    sold_by = price.per if price and price.per in _SOLD_BY else scale.shop_unit
    return (
        lay.cloth.name, lay.on.name, scale.length(lay.used_length), scale.length(lay.lower_bound),
        scale.length(lay.buy_length), -(-lay.buy_length * 10**4 // sold_by) / 10**4,
        _SOLD_BY[sold_by], round(float(price.amount * sold_by / price.per), 4) if price else None,
        price.currency if price else None, float(lay.cost) if lay.cost is not None else None,
        float(figures.efficiency), float(figures.utilisation),
    )  # fmt: skip


def _cost_by_item(lay: OrderLay, scale: _Scale) -> Table:
    """How much of a cloth the panels of each item take; they share its cost by area.

    The cost of a cloth is that of all its pieces.
    """
    rows: list[tuple[Cell, ...]] = []
    for lays in lay.by_cloth:
        areas2: dict[str, int] = {}
        for placed in (placed for one in lays for placed in one.placed):
            item = placed.panel.item
            areas2[item] = areas2.get(item, 0) + placed.panel.cut.area2
        total, costs = sum(areas2.values()), _share_cost(_together(lays), list(areas2.values()))
        for (item, area2), cost in zip(areas2.items(), costs, strict=True):
            rows.append((item, lays[0].cloth.name, scale.area(area2), area2 / total, cost))
    headings = (
        "item",
        "cloth",
        f"panels ({scale.shop}²)",
        "share of all panels",
        "share of the cost",
    )
    return Table(headings, rows, frozenset({3}))


def _together(lays: Sequence[ClothLay]) -> Decimal | None:
    """The cost of all pieces of a cloth; None if that of one is not known."""
    costs = [one.cost for one in lays if one.cost is not None]
    return sum(costs, Decimal(0)) if len(costs) == len(lays) else None


def _share_cost(cost: Decimal | None, parts: Sequence[int]) -> list[float | None]:
    """A cost divided into whole cents that add up to it; None for each part if it is unknown."""
    if cost is None:
        return [None] * len(parts)
    return [cents / 100 for cents in apportion(int(cost * 100), parts)]
