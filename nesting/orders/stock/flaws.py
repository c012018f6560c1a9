"""Flaws as an order states them: judged, and turned into outlines; lengths are millimetres."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from nesting.cloth.stock import Flaw
from nesting.errors import Fault
from nesting.geometry.curves import Point
from nesting.geometry.outline import Outline
from nesting.orders.cloth_tables import FlawTable
from nesting.orders.entries import Entry, is_misspelt
from nesting.tolerances import STATED_MM
from nesting.units import GRID_PER_MM, format_length, to_grid

if TYPE_CHECKING:
    from nesting.orders.stock.drawn import DrawnPiece

_PLACE = "give its place from the cut end and from the lower edge of the cloth, and check the unit"


@dataclass(frozen=True)
class Extent:
    """Where a flaw may lie: from the cut end to ``length`` (None: endless), across to ``width``."""

    length: float | None
    width: float


def form_faults(flaw: Entry) -> Iterator[Fault]:
    """A flaw has a place and a size, or an outline."""
    if any(is_misspelt(flaw, FlawTable, key) for key in ("at", "size", "outline")):
        return
    given = [key for key in ("at", "size") if key in flaw.table]
    if "outline" in flaw.table:
        for key in given:
            rule = "does not go with an outline, which says where the flaw is"
            yield flaw.fault(key, rule, "take one of the two out")
    elif not given:
        remedy = "add at = [120, 30] and size = [4, 6], or its outline"
        yield flaw.fault("at", "is missing: a flaw has a place and a size, or an outline", remedy)
    elif len(given) == 1:
        lacking, good = ("size", "[4, 6]") if given == ["at"] else ("at", "[120, 30]")
        yield flaw.fault(lacking, f"is missing beside {given[0]}", f"add {lacking} = {good}")


def place_faults(flaw: Entry, on: "Extent | DrawnPiece", units: str) -> Iterator[Fault]:
    """A flaw of sound form that is no outline, or that does not lie on its piece."""
    if flaw.sound.get("outline") is not None:
        from nesting.orders.stock.drawn import ring_fault  # noqa: PLC0415 - loads geometry

        wrong = ring_fault(ring_of(flaw))
        if wrong:
            _, rule, value, remedy = wrong.texts(units)
            yield flaw.fault("outline", f"{rule}: {value}" if value else rule, remedy)
            return
    if isinstance(on, Extent):
        yield from _off_the_box(flaw, on, units)
    else:
        yield from _off_the_outline(flaw, on)


def ring_of(flaw: Entry) -> tuple[Point, ...]:
    """The corners of a flaw, anticlockwise."""
    from nesting.geometry.rings import clean  # noqa: PLC0415 - orders are read without it

    if flaw.sound.get("outline") is not None:
        return clean(flaw.sound["outline"])
    (x, y), (length, width) = flaw.sound["at"], flaw.sound["size"]
    return (x, y), (x + length, y), (x + length, y + width), (x, y + width)


def _off_the_box(flaw: Entry, on: Extent, units: str) -> Iterator[Fault]:
    """A flaw that reaches beyond an edge or an end; half a grid unit is rounding."""
    ring = ring_of(flaw)
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    place = "at" if "at" in flaw.table else "outline"
    if min(*xs, *ys) < -STATED_MM:
        rule = "must not begin before the cut end or below the lower edge of the cloth"
        yield flaw.fault(place, rule, _PLACE)
    length = math.inf if on.length is None else on.length
    if max(xs) > length + STATED_MM or max(ys) > on.width + STATED_MM:
        long = "" if on.length is None else f" and {_shown(on.length, units)} long"
        rule = f"must lie on its cloth, which is {_shown(on.width, units)} wide{long}"
        within = min(xs) < length and min(ys) < on.width
        yield flaw.fault("size" if place == "at" and within else place, rule, _PLACE)


def _off_the_outline(flaw: Entry, on: "DrawnPiece") -> Iterator[Fault]:
    import shapely  # noqa: PLC0415 - orders are read without loading it

    ring = mirrored(ring_of(flaw), on.up)
    if on.figure.intersection(shapely.Polygon(ring)).area == 0:
        place = "at" if "at" in flaw.table else "outline"
        remedy = "give its place in the coordinates of the outline, and check the unit"
        yield flaw.fault(place, "must lie on its piece, at least in part", remedy)


def mirrored(ring: tuple[Point, ...], up: int) -> tuple[Point, ...]:
    """A ring of a drawing whose y runs ``up``, with y upward."""
    return ring if up > 0 else tuple((x, -y) for x, y in reversed(ring))


def flaw_of(flaw: Entry, piece: "DrawnPiece | None" = None) -> Flaw:
    """The flaw of a sound table, on the grid and no smaller than stated."""
    up = piece.up if piece else 1
    ring = mirrored(ring_of(flaw), up)
    outline = _box_around(ring) if "at" in flaw.table else _around(ring)
    where = piece.at_origin(outline) if piece else outline
    return Flaw(where, flaw.sound["what"], flaw.sound["minor"])


def _box_around(ring: tuple[Point, ...]) -> Outline:
    """The rectangle on the grid around a rectangle; floats are not exact to the last digit."""
    (x0, y0), (x1, y1) = ring[0], ring[2]
    low = [math.floor(value * GRID_PER_MM + 1e-6) for value in (min(x0, x1), min(y0, y1))]
    high = [math.ceil(value * GRID_PER_MM - 1e-6) for value in (max(x0, x1), max(y0, y1))]
    return Outline(((low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1])))


def _around(ring: tuple[Point, ...]) -> Outline:
    from nesting.geometry.rounding import rounded_around  # noqa: PLC0415 - loads geometry

    return rounded_around(ring)


def _shown(length_mm: float, units: str) -> str:
    return format_length(to_grid(length_mm), units)
