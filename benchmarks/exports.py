"""Measures the time to write a lay of a thousand panels in every format, and the size of files.

::

    python -m benchmarks.exports [--panels 1000] [--profile FORMAT]

The order is our own: poufs of ten gores with caps, and box cushions, placed in
simple rows, since only the writing is measured. Each format is written alone
(with the parts of the drawing that it needs), then all of them in one run, as
``clothwright lay --formats`` does.
"""

import argparse
import cProfile
import pstats
import time
from collections.abc import Iterator, Sequence
from decimal import Decimal
from math import ceil
from typing import Final

from cli.screen import columns
from nesting.cloth.cloth import Cloth, Nap, Price
from nesting.exporters.formats import LAY_FORMATS, Format
from nesting.layouts.lay import ClothLay, OrderLay, PlacedPanel
from nesting.orders.order import Item, Order
from nesting.panels.panel import Panel
from nesting.panels.product import products
from nesting.planning.files import Settings, lay_export
from nesting.planning.items import make_items
from nesting.planning.plan import Plan
from nesting.planning.run import Search
from nesting.units import CM, MM, M

#: Target for writing all formats, in seconds.
TO_REACH: Final = 10.0

#: Products of the order with their sizes (mm), and the number of panels of one item.
_ITEMS: Final = (
    ("gored-pouf", {"diameter": 500.0, "gores": 10, "cap_diameter": 180.0}, 12),
    ("box-cushion", {"length": 500.0, "width": 400.0, "thickness": 80.0}, 6),
)


def main(arguments: Sequence[str] | None = None) -> None:
    """Write the lay in each format and in all of them and print a table, or profile one format."""
    parser = argparse.ArgumentParser(description="Measure the writing of a large lay.")
    parser.add_argument("--panels", type=int, default=1000)
    parser.add_argument("--profile", metavar="FORMAT")
    asked = parser.parse_args(arguments)
    plan = large_plan(asked.panels)
    if asked.profile:
        _profile(plan, Format(asked.profile))
        return
    rows = [_measure(plan, (each,), each.value) for each in LAY_FORMATS]
    rows.append(_measure(plan, LAY_FORMATS, f"all together, target {TO_REACH:g} s"))
    print(f"{sum(len(lay.placed) for lay in plan.lay.cloths)} panels")
    print(columns([("format", "seconds", "CPU seconds", "kB"), *rows], right=(1, 2, 3)))


def large_plan(panels: int) -> Plan:
    """A plan of at least this many panels, placed in rows."""
    cloth = Cloth(
        "barn cotton",
        140 * CM,
        selvedge=15 * MM,
        nap=Nap.EITHER_WAY,
        price=Price(Decimal(12), M, "EUR"),
        buy_step=10 * CM,
        gap=3 * MM,
        end_allowance=2 * CM,
    )
    order = Order("A thousand panels", "cm", (cloth,), tuple(_items(panels)))
    made = make_items(order)
    drawn = tuple(panel for one in made for panel in one.panels)
    lay = ClothLay(cloth, drawn, tuple(_in_rows(cloth, drawn)), 1 * M, proved_optimal=False)
    search = Search(cloth.name, 1, 0.0, interrupted=False)
    return Plan(order, made, OrderLay(order.name, 0, (lay,)), (search,))


def _items(panels: int) -> Iterator[Item]:
    """Half of the panels from each product."""
    for product, sizes, each in _ITEMS:
        defaults = {m.name: m.default for m in products()[product].measurements}
        quantity = ceil(panels / len(_ITEMS) / each)
        yield Item(f"barn {product}", product, quantity, "barn cotton", 12.0, {**defaults, **sizes})


def _in_rows(cloth: Cloth, panels: Sequence[Panel]) -> Iterator[PlacedPanel]:
    low, top = cloth.selvedge, cloth.width - cloth.selvedge
    x, y, longest = cloth.end_allowance, low, 0
    for panel in panels:
        for number in range(panel.copies):
            if y + panel.cut.height > top:
                x, y, longest = x + longest + cloth.gap, low, 0
            copy, part = divmod(number, panel.per_item)
            yield PlacedPanel(panel, copy + 1, part + 1, 180 * (number % 2), x, y)
            y += panel.cut.height + cloth.gap
            longest = max(longest, panel.cut.length)


def _measure(plan: Plan, formats: tuple[Format, ...], name: str) -> tuple[str, ...]:
    start, cpu_start = time.perf_counter(), time.process_time()
    files = lay_export(plan, formats, Settings()).files
    seconds, cpu_seconds = time.perf_counter() - start, time.process_time() - cpu_start
    size = sum(len(data) for each, data in files.items() if each != "layout.json")
    return name, f"{seconds:.2f}", f"{cpu_seconds:.2f}", f"{size / 1000:.0f}"


def _profile(plan: Plan, chosen: Format) -> None:
    with cProfile.Profile() as profile:
        lay_export(plan, (chosen,), Settings())
    pstats.Stats(profile).sort_stats("cumulative").print_stats(45)


if __name__ == "__main__":
    main()
