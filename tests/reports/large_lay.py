"""Lays of any number of panels, placed in rows, for tests of large orders."""

from worked_lays import TWILL, disc, gore, rectangle

from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.panels.panel import GrainRule
from nesting.units import CM, MM


def large_lay(cloth=TWILL, copies=100):
    """Poufs of seven gores and a cap, and as many plates with a boxing: ten panels per copy.

    Panels are laid one above the other; where the width is full, the next
    row begins 3 mm after the longest of the last.
    """
    many = {"quantity": copies}
    free = {"grain_rule": GrainRule.ANY, **many}
    panels = (
        gore(62 * CM, 16 * CM, name="gore", item="pouf", per_item=7, **many),
        disc(20 * CM, name="cap", item="pouf", **many),
        rectangle(42 * CM, 32 * CM, name="plate", item="cushion", **many),
        rectangle(64 * CM, 10 * CM, name="boxing", item="cushion", **free),
    )
    placed = tuple(_in_rows(cloth, panels))
    return ClothLay(cloth, panels, placed, lower_bound=copies * 40 * CM, proved_optimal=False)


def _in_rows(cloth, panels):
    low, top = cloth.selvedge, cloth.width - cloth.selvedge
    x, y, longest = cloth.end_allowance, low, 0
    for panel in panels:
        for number in range(panel.copies):
            if y + panel.cut.height > top:
                x, y, longest = x + longest + 3 * MM, low, 0
            copy, part = divmod(number, panel.per_item)
            yield PlacedPanel(panel, copy + 1, part + 1, 180 * (number % 2), x, y)
            y += panel.cut.height + 3 * MM
            longest = max(longest, panel.cut.length)
