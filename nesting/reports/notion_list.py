"""Notions with their quantities, for one item and for all that are ordered."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from nesting.panels.drafting.draft import Fact
from nesting.panels.drafting.sewing import Notion, NotionKind
from nesting.reports.wording import by_the_shop, counted
from nesting.units import to_grid

#: Litres to a cubic foot and kilograms to a pound: 0.3048 m cubed; 0.45359237 kg (exact).
_LITRES_PER_CUBIC_FOOT = 28.316846592
_KILOGRAMS_PER_POUND = 0.45359237


@dataclass(frozen=True)
class NotionRow:
    """One notion: what it is for one item, and how much for all."""

    one: str
    all: str


def notion_rows(notions: Iterable[Notion], quantity: int, units: str) -> Iterator[NotionRow]:
    """What is fetched before sewing begins."""
    for notion in notions:
        words = _told(notion, units)
        amounts = _amounts(notion, 1, units)
        pieces = f"{notion.pieces} × " if notion.pieces > 1 else ""
        yield NotionRow(
            one=f"{pieces}{words}" + (f": {amounts}" if amounts else ""),
            all=_together(notion, quantity, units),
        )


def _told(notion: Notion, units: str) -> str:
    """Its words with its sizes; thread is counted as a shop does."""
    if notion.kind is NotionKind.THREAD:
        return notion.words.format(by_the_shop(to_grid(notion.lengths_mm[0]), units))
    return Fact(notion.words, notion.lengths_mm).in_unit(units)


def volume(litres: float, units: str) -> str:
    """A volume in litres; in cubic feet as well for people who work in inches."""
    return f"{_figure(litres)} litres{_feet(litres, litres, units)}"


def _together(notion: Notion, quantity: int, units: str) -> str:
    """The amount for all items: a length, a range, how often, or a number of pieces."""
    if notion.kind is NotionKind.THREAD:
        return by_the_shop(to_grid(notion.lengths_mm[0] * quantity), units)
    amounts = _amounts(notion, quantity, units)
    if notion.kind is NotionKind.OTHER and notion.pieces == 1 and not amounts:
        return "once" if quantity == 1 else f"{quantity} times"
    return amounts or counted(notion.pieces * quantity, "piece")


def _amounts(notion: Notion, times: int, units: str) -> str:
    """Litres and kilograms of a filling; nothing where it has neither."""
    told = []
    if notion.litres:
        least, greatest = (times * each for each in notion.litres)
        told.append(f"{_range(least, greatest)} litres{_feet(least, greatest, units)}")
    if notion.kilograms:
        least, greatest = (times * each for each in notion.kilograms)
        pounds = [each / _KILOGRAMS_PER_POUND for each in (least, greatest)]
        told.append(
            f"{_range(least, greatest)} kg" + (f" ({_range(*pounds)} lb)" if units == "in" else "")
        )
    return ", ".join(told)


def _feet(least: float, greatest: float, units: str) -> str:
    if units != "in":
        return ""
    feet = [each / _LITRES_PER_CUBIC_FOOT for each in (least, greatest)]
    return f" ({_range(*feet)} cubic feet)"


def _range(least: float, greatest: float) -> str:
    one, other = _figure(least), _figure(greatest)
    return one if one == other else f"{one} to {other}"


def _figure(value: float) -> str:
    """Two decimals below ten, one below a hundred, none above."""
    decimals = 2 if value < 10 else 1 if value < 100 else 0
    return f"{value:.{decimals}f}"
