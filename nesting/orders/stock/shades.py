"""Whether one copy of an item can be cut from one shade, as far as areas tell."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from nesting.cloth.cloth import Cloth
from nesting.cloth.stock import ClothPiece
from nesting.errors import Fault, written
from nesting.geometry.outline import twice_area
from nesting.orders.entries import Entry
from nesting.orders.order import Item, Order
from nesting.panels.article import article_draft
from nesting.units import GRID_PER_MM

#: Square millimetres in the units that areas are shown in (1 yd = 914.4 mm).
_M2: Final = 1e6
_YD2: Final = 914.4**2

_REMEDY: Final = (
    "add pieces of one shade, let more be bought, or write one_shade = false if shades may be mixed"
)


def shade_faults(order: Order, items: Sequence[Entry]) -> Iterator[Fault]:
    """Items that must be of one shade, of which no shade has enough cloth for one copy."""
    scarce = [cloth for cloth in order.cloths if not cloth.may_buy]
    for item, table in zip(order.items, items, strict=True):
        needed = _areas_mm2(item) if scarce and item.one_shade else {}
        for cloth in scarce:
            shade, held = max(_held_mm2(cloth).items(), key=lambda pair: pair[1])
            if needed.get(cloth.name, 0.0) > held:
                one, most = (_shown(area, order.units) for area in (needed[cloth.name], held))
                of = f"shade {written(shade)}" if shade else "what has no shade"
                rule = (
                    f"one copy needs at least {one} of one shade of {written(cloth.name)}, and the "
                    f"most there is, {of}, has {most}"
                )
                yield table.fault("one_shade", rule, _REMEDY)


def _areas_mm2(item: Item) -> dict[str, float]:
    """The least area of each cloth in one copy: its panels without their allowances."""
    draft = article_draft(item.made_as, item.values, lined=item.liner is not None)
    areas = defaultdict[str, float](float)
    for panel in draft.panels:
        area = abs(twice_area(panel.given.ring if panel.given else panel.ring)) / 2
        usual = item.liner if panel.lining and item.liner else item.cloth
        cloth = item.panel_cloths.get(panel.name, usual)
        named = [item.panel_cloths[part] for part in panel.parts if part in item.panel_cloths]
        for each in [*named, *[cloth] * (panel.per_item - len(named))]:
            areas[each] += area
    return areas


def _held_mm2(cloth: Cloth) -> dict[str, float]:
    """The area of all pieces of each shade, flaws and end allowances included."""
    areas = defaultdict[str, float](float)
    for piece in cloth.stock:
        areas[piece.shade] += _area_mm2(piece)
    return areas


def _area_mm2(piece: ClothPiece) -> float:
    if piece.outline:
        return piece.outline.area_mm2 - sum(hole.area_mm2 for hole in piece.holes)
    length, edges = piece.length or 0, 2 * piece.selvedge
    measured = piece.widths or ((0, piece.width),)
    places = [(0, measured[0][1]), *measured, (length, measured[-1][1])]
    area = sum((x1 - x0) * (min(w0, w1) - edges) for (x0, w0), (x1, w1) in pairwise(places))
    return area / GRID_PER_MM**2


def _shown(area_mm2: float, units: str) -> str:
    return f"{area_mm2 / _YD2:.3f} sq yd" if units == "in" else f"{area_mm2 / _M2:.3f} m²"
