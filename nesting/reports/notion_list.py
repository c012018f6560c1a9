"""Notions with their quantities, for one item and for all ordered items."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import ceil

from nesting.panels.drafting.draft import Fact
from nesting.panels.drafting.sewing import Notion, NotionKind
from nesting.reports.wording import count_of
from nesting.units import GRID_PER_MM, YD, M

#: Litres to a cubic foot and kilograms to a pound: 0.3048 m cubed; 0.45359237 kg (exact).
_LITRES_PER_CUBIC_FOOT = 28.316846592
_KILOGRAMS_PER_POUND = 0.45359237


@dataclass(frozen=True)
class NotionRow:
    """One notion: what one item needs, and how much all items need."""

    one: str
    total: str


def notion_rows(notions: Iterable[Notion], quantity: int, units: str) -> Iterator[NotionRow]:
    """The notions that an item and its quantity need."""
    for notion in notions:
        words = _describe(notion, units)
        amounts = _amounts(notion, 1, units)
        pieces = f"{notion.pieces} × " if notion.pieces > 1 else ""
        yield NotionRow(
            one=f"{pieces}{words}" + (f": {amounts}" if amounts else ""),
            total=_total(notion, quantity, units),
        )


def _describe(notion: Notion, units: str) -> str:
    """The words of a notion with its sizes; thread is in the units of a shop."""
    if notion.kind is NotionKind.THREAD:
        return notion.words.format(_thread(notion.lengths_mm[0], units))
    return Fact(notion.words, notion.lengths_mm).in_unit(units)


def volume(litres: float, units: str) -> str:
    """A volume in litres, and also in cubic feet for people who work in inches."""
    return f"{_figure(litres)} litres{_feet(litres, litres, units)}"


def _total(notion: Notion, quantity: int, units: str) -> str:
    """The amount for all items: a length, a range, a number of times or a number of pieces."""
    if notion.kind is NotionKind.THREAD:
        return _thread(notion.lengths_mm[0] * quantity, units)
    amounts = _amounts(notion, quantity, units)
    if notion.kind is NotionKind.OTHER and notion.pieces == 1 and not amounts:
        return f"for {count_of(quantity, 'item')}"
    return amounts or count_of(notion.pieces * quantity, "piece")


def _thread(length_mm: float, units: str) -> str:
    """A length of thread in whole metres or yards, rounded up."""
    unit, name = (YD, "yd") if units == "in" else (M, "m")
    return f"{ceil(length_mm * GRID_PER_MM / unit)} {name}"


def _amounts(notion: Notion, times: int, units: str) -> str:
    """Litres and kilograms of a filling; empty if the notion has neither."""
    amounts = []
    if notion.litres:
        least, greatest = (times * each for each in notion.litres)
        amounts.append(f"{_range(least, greatest)} litres{_feet(least, greatest, units)}")
    if notion.kilograms:
        least, greatest = (times * each for each in notion.kilograms)
        pounds = [each / _KILOGRAMS_PER_POUND for each in (least, greatest)]
        amounts.append(
            f"{_range(least, greatest)} kg" + (f" ({_range(*pounds)} lb)" if units == "in" else "")
        )
    return ", ".join(amounts)


def _feet(least: float, greatest: float, units: str) -> str:
    if units != "in":
        return ""
    feet = [each / _LITRES_PER_CUBIC_FOOT for each in (least, greatest)]
    return f" ({_range(*feet)} cubic feet)"


def _range(least: float, greatest: float) -> str:
    one, other = _figure(least), _figure(greatest)
    return one if one == other else f"{one} to {other}"


def _figure(value: float) -> str:
    """A number with two decimals below ten, one below a hundred, and none above."""
    decimals = 2 if value < 10 else 1 if value < 100 else 0
    return f"{value:.{decimals}f}"
