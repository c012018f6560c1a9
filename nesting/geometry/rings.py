"""Checks and cleans rings of points from outside, in millimetres, before they become outlines."""

import math
import re
from collections.abc import Iterable, Sequence
from typing import Final

from nesting.errors import Fault, OrderError
from nesting.geometry.curves import Point
from nesting.geometry.outline import Outline, rounded_outward
from nesting.units import LARGEST, to_mm

#: Points that are nearer than half the grid count as one.
_SAME_MM: Final = 0.005

#: The place of a fault in the text that shapely gives for an invalid ring.
_PLACE: Final = re.compile(r"\[(\S+) (\S+)\]")


def clean(points: Sequence[Point]) -> tuple[Point, ...]:
    """The ring, anticlockwise and without repeated points."""
    kept: list[Point] = []
    for point in points:
        if not kept or math.dist(kept[-1], point) > _SAME_MM:
            kept.append(point)
    while len(kept) > 1 and math.dist(kept[-1], kept[0]) <= _SAME_MM:
        kept.pop()
    pairs = zip(kept, (*kept[1:], *kept[:1]), strict=True)
    clockwise = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs) < 0
    return tuple(reversed(kept)) if clockwise else tuple(kept)


def self_contact(ring: Sequence[Point]) -> Point | None:
    """A point where a ring crosses or touches itself; None if it does neither."""
    import shapely  # noqa: PLC0415 - products are listed without loading it

    valid = shapely.is_valid_reason(shapely.Polygon(ring))
    if valid.startswith("Valid"):
        return None
    at = _PLACE.search(valid)
    return (float(at[1]), float(at[2])) if at else ring[0]


def read_ring(points: Iterable[Sequence[float]], place: str) -> tuple[Point, ...]:
    """Check the points of a ring and return it anticlockwise; it may repeat its first point.

    Raises
    ------
    OrderError
        With one fault at ``place``: points that are not pairs of finite numbers
        within 1 km, a ring without area, or one that crosses or touches itself.
    """
    import shapely  # noqa: PLC0415 - see above

    ring = clean(_pairs(points, place))
    if len(ring) < 3 or shapely.Polygon(ring).convex_hull.area < _SAME_MM**2:
        rule, found = "must have at least three points that enclose an area", f"{len(ring)} points"
        raise OrderError([Fault(place, rule, found, "give its corners in order")])
    contact = self_contact(ring)
    try:
        Outline(rounded_outward(ring))
    except ValueError:
        contact = contact or ring[0]
    if contact:
        rule = "must not cross or touch itself, or come within 0.02 mm of itself"
        found = f"at ({contact[0]:.2f}, {contact[1]:.2f}) mm"
        raise OrderError([Fault(place, rule, found, "give its points in order around it")])
    return ring


def _pairs(points: Iterable[Sequence[float]], place: str) -> list[Point]:
    """The points as floats; text does not count as a number."""
    try:
        pairs = [(_number(x), _number(y)) for x, y in points]
    except (TypeError, ValueError, OverflowError):
        rule, remedy = "must be a list of pairs of numbers (mm)", "write it like [(0, 0), (60, 45)]"
        raise OrderError([Fault(place, rule, "", remedy)]) from None
    for x, y in pairs:
        if not max(abs(x), abs(y)) <= to_mm(LARGEST):  # also refuses numbers that are not finite
            rule = "must lie within 1 km of the origin"
            raise OrderError([Fault(place, rule, f"({x:g}, {y:g}) mm", "check the unit")])
    return pairs


def _number(value: object) -> float:
    if isinstance(value, str | bytes):
        raise TypeError
    return float(value)  # type: ignore[arg-type] # raises for anything that is not a number
