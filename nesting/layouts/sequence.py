"""The order in which panels are marked on the cloth, walking from the cut end."""

from collections.abc import Iterable
from typing import Final

from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.units import CM

#: How far along the roll a person reaches from one place at the table
#: (common practice, no published source).
REACH: Final = 60 * CM


def in_marking_order(lay: ClothLay) -> tuple[PlacedPanel, ...]:
    """The panels column by column from the cut end, up one column and down the next.

    A column starts with the unmarked panel nearest the cut end and takes in
    every panel that begins before the middle of that one, at most a reach
    away. The cloth is crossed once for each column, and each column starts at
    the edge of the cloth where the last one ended.
    """
    waiting = sorted(lay.placed, key=lambda p: p.outline.bounds[:2])
    ordered: list[PlacedPanel] = []
    upward = True
    while waiting:
        near, _, far, _ = waiting[0].outline.bounds
        end = min((near + far) / 2, near + REACH)
        column = [p for p in waiting if p.outline.bounds[0] < end]
        waiting = waiting[len(column) :]
        ordered.extend(sorted(column, key=_across, reverse=not upward))
        upward = not upward
    return tuple(ordered)


def _across(placed: PlacedPanel) -> tuple[int, int]:
    """Twice the height of its middle above the lower edge, then where it begins."""
    x0, y0, _, y1 = placed.outline.bounds
    return y0 + y1, x0


def runs(numbers: Iterable[int]) -> str:
    """Rising numbers with those that follow each other drawn together: ``1–4, 7``."""
    found: list[list[int]] = []
    for number in numbers:
        if found and number == found[-1][1] + 1:
            found[-1][1] = number
        else:
            found.append([number, number])
    return ", ".join(f"{a}" if a == b else f"{a}–{b}" for a, b in found)
