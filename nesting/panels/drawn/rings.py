"""What keeps the closed lines of a drawing from being outlines of panels. Millimetres."""

import math
import re
from collections.abc import Iterator, Sequence
from typing import Final

from nesting.drawings.strokes import NamePlace, Point
from nesting.errors import Fault
from nesting.geometry.outline import Outline, rounded_outward

#: Greatest and least extent of a panel from a drawing (mm). Beyond them the
#: unit is wrong, or it is no panel that can be sewn.
GREATEST_MM: Final = 5_000.0
LEAST_MM: Final = 10.0

#: Vertices of one panel; a traced picture has more, and no cutter follows it.
MOST_POINTS: Final = 4_000

#: Closed rings of one drawing that are held against each other.
_MOST_RINGS: Final = 200

#: Points nearer than half the grid are one.
_SAME_MM: Final = 0.005

#: How far beyond another a ring may reach and still lie inside it.
_BEYOND_MM: Final = 0.02

_REDRAW: Final = "draw it as one line that goes round once"
_PLACE: Final = re.compile(r"\[(\S+) (\S+)\]")


def clean(points: Sequence[Point]) -> tuple[Point, ...]:
    """A ring anticlockwise, without points that repeat."""
    kept: list[Point] = []
    for point in points:
        if not kept or math.dist(kept[-1], point) > _SAME_MM:
            kept.append(point)
    while len(kept) > 1 and math.dist(kept[-1], kept[0]) <= _SAME_MM:
        kept.pop()
    pairs = zip(kept, (*kept[1:], *kept[:1]), strict=True)
    clockwise = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs) < 0
    return tuple(reversed(kept)) if clockwise else tuple(kept)


def ring_faults(ring: Sequence[Point], place: str, name_place: NamePlace) -> Iterator[Fault]:
    """What keeps a ring from being an outline."""
    import shapely  # noqa: PLC0415 - products are listed without loading it

    if not ring:
        yield Fault(place, "must enclose an area", "it is a single point", "take it out")
        return
    where = f"{place}, {name_place(ring[0])}"
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    size = max(xs) - min(xs), max(ys) - min(ys)
    shown = f"{size[0]:.6g} × {size[1]:.6g} mm"
    check = "check the unit of the drawing, and that nothing else is in it"
    if max(size) > GREATEST_MM:
        yield Fault(where, f"must not be larger than {GREATEST_MM / 1000:g} m", shown, check)
    elif len(ring) < 3 or shapely.Polygon(ring).convex_hull.area < 1:
        yield Fault(where, "must enclose an area", shown, _REDRAW)
    elif max(size) < LEAST_MM or min(size) < LEAST_MM / 10:
        yield Fault(where, f"must not be smaller than {LEAST_MM:g} mm", shown, check)
    elif len(ring) > MOST_POINTS:
        rule = f"must not have more than {MOST_POINTS} points"
        yield Fault(where, rule, str(len(ring)), "simplify the line in the drawing program")
    elif not (valid := shapely.is_valid_reason(shapely.Polygon(ring))).startswith("Valid"):
        at = _PLACE.search(valid)
        crossing = name_place((float(at[1]), float(at[2]))) if at else name_place(ring[0])
        yield Fault(f"{place}, {crossing}", "must not cross or touch itself", "", _REDRAW)
    elif not _stands_on_grid(ring):
        yield Fault(where, "must not come within 0.02 mm of itself", "", _REDRAW)


def _stands_on_grid(ring: Sequence[Point]) -> bool:
    """Whether a ring is an outline once it is rounded."""
    try:
        Outline(rounded_outward(ring))
    except ValueError:
        return False
    return True


def inside_faults(rings: Sequence[tuple[Point, ...]], places: Sequence[str]) -> Iterator[Fault]:
    """Outlines that lie in each other, or cross."""
    import shapely  # noqa: PLC0415 - products are listed without loading it

    figures = [shapely.Polygon(ring) for ring in rings[:_MOST_RINGS]]
    if len(figures) < 2:
        return
    tree = shapely.STRtree(figures)
    for one, other in sorted(tree.query(figures, predicate="intersects").T.tolist()):
        if one < other and figures[one].intersection(figures[other]).area > 1:
            larger, less = (
                (one, other) if figures[one].area >= figures[other].area else (other, one)
            )
            inside = figures[larger].buffer(_BEYOND_MM).covers(figures[less])
            rule = "must not lie inside another" if inside else "must not cross another"
            remedy = (
                "take out what is no outline of a panel; holes and marks are read only from "
                "pattern pieces by ASTM D6673"
            )
            yield Fault(f"outline on {places[less]}", rule, f"the one on {places[larger]}", remedy)
