"""Checks whether closed lines of a drawing can be outlines of panels. Millimetres."""

from collections.abc import Callable, Iterator, Sequence
from typing import Final

from nesting.drawings.strokes import Point
from nesting.errors import Fault
from nesting.geometry.outline import Outline, rounded_outward
from nesting.geometry.rings import self_contact
from nesting.sentences import Length, Lengths, Sentence, Wording, at_least

#: Describes where a point is in its drawing.
PointWording = Callable[[Point], Wording]

#: Greatest and least extent of a panel from a drawing (mm). Outside these
#: limits the unit is wrong, or the panel cannot be sewn.
GREATEST_MM: Final = 5_000.0
LEAST_MM: Final = 10.0

#: Most vertices of one panel; a traced picture has more than a cutter can follow.
MOST_POINTS: Final = 4_000

#: Most closed rings of one drawing that are compared with each other.
_MOST_RINGS: Final = 200

#: Parts of a ring that are nearer than this may touch once they are on the grid.
_BESIDE_MM: Final = 0.02

#: How far beyond another a ring may reach and still lie inside it.
_BEYOND_MM: Final = 0.02

_REDRAW: Final = "draw it as one line that goes round once"


def ring_faults(ring: Sequence[Point], place: str, words_at: PointWording) -> Iterator[Fault]:
    """Reasons why a ring cannot be an outline."""
    import shapely  # noqa: PLC0415 - products are listed without loading it

    if not ring:
        yield Fault(place, "must enclose an area", "it is a single point", "take it out")
        return
    where = Sentence("{}, {}", (place, words_at(ring[0])))
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    size = max(xs) - min(xs), max(ys) - min(ys)
    extent = Lengths("{} × {}", size)
    check = "check the unit of the drawing, and that nothing else is in it"
    if max(size) > GREATEST_MM:
        yield Fault(where, f"must not be larger than {GREATEST_MM / 1000:g} m", extent, check)
    elif len(ring) < 3 or shapely.Polygon(ring).convex_hull.area < 1:
        yield Fault(where, "must enclose an area", extent, _REDRAW)
    elif max(size) < LEAST_MM or min(size) < LEAST_MM / 10:
        rule = Sentence("must not be smaller than {}", (at_least(LEAST_MM),))
        yield Fault(where, rule, extent, check)
    elif len(ring) > MOST_POINTS:
        many = f"must not have more than {MOST_POINTS} points"
        yield Fault(where, many, str(len(ring)), "simplify the line in the drawing program")
    elif crossing := self_contact(ring):
        where = Sentence("{}, {}", (place, words_at(crossing)))
        yield Fault(where, "must not cross or touch itself", "", _REDRAW)
    elif not _is_outline_on_grid(ring):
        rule = Sentence("must not come within {} of itself", (Length(_BESIDE_MM),))
        yield Fault(where, rule, "", _REDRAW)


def _is_outline_on_grid(ring: Sequence[Point]) -> bool:
    """Whether a ring is still an outline when it is rounded to the grid."""
    try:
        Outline(rounded_outward(ring))
    except ValueError:
        return False
    return True


def inside_faults(rings: Sequence[tuple[Point, ...]], places: Sequence[str]) -> Iterator[Fault]:
    """Outlines that cross, or lie inside another one."""
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
