"""The edge of a piece of cloth and the holes in it, as drawn; lengths are millimetres."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Final

from nesting.errors import Fault, OrderError
from nesting.geometry.curves import Point
from nesting.geometry.outline import Outline
from nesting.geometry.rings import clean, self_contact
from nesting.geometry.rounding import rounded_around, rounded_within
from nesting.geometry.transforms import shifted
from nesting.orders.cloth_tables import MOST_POINTS, WIDEST_MM
from nesting.sentences import Lengths, Sentence, Wording, at_least, at_most, point

if TYPE_CHECKING:
    import shapely

Ring = tuple[Point, ...]

#: A smaller piece of cloth cannot be cut from; its unit is wrong.
_LEAST_MM: Final = 10.0

#: Most holes of one piece.
_MOST_HOLES: Final = 200

_REDRAW: Final = "give its points in order, once round"
_UNIT: Final = "check the unit of the outline"
_LINES: Final = "draw the edge of the piece, and each hole in it, as one closed line"


@dataclass(frozen=True)
class DrawnPiece:
    """A piece in the coordinates of its drawing, whose y runs ``up`` the page (1) or down (-1).

    The rings themselves have y upward.
    """

    edge: Ring
    holes: tuple[Ring, ...] = ()
    up: int = 1

    @cached_property
    def figure(self) -> "shapely.Polygon":
        """All that is inside the edge."""
        import shapely  # noqa: PLC0415 - orders are read without loading it

        return shapely.Polygon(self.edge)

    @property
    def bounds_mm(self) -> tuple[float, float, float, float]:
        """Least x, least y, greatest x, greatest y."""
        least_x, least_y, most_x, most_y = self.figure.bounds
        return least_x, least_y, most_x, most_y

    @cached_property
    def on_grid(self) -> tuple[Outline, tuple[Outline, ...]]:
        """The edge rounded inward and the holes rounded outward, where they are drawn."""
        return rounded_within(self.edge), tuple(map(rounded_around, self.holes))

    @property
    def origin(self) -> tuple[int, int]:
        """Where the least corner of the edge is drawn, in grid units."""
        return self.on_grid[0].bounds[:2]

    def at_origin(self, outline: Outline) -> Outline:
        """An outline of the drawing shifted as the piece is, so that its least corner is 0, 0."""
        x, y = self.origin
        return Outline(shifted(outline.points, -x, -y))


def drawn_by_points(points: Sequence[Point]) -> DrawnPiece:
    """The piece whose edge has these corners.

    Raises
    ------
    OrderError
        With what is wrong with them.
    """
    ring = clean(points)
    return _judged([ring], [""], 1)


def drawn_in_file(path: Path, unit: str | None) -> DrawnPiece:
    """The piece that a DXF or SVG file shows: the largest ring is its edge, the others are holes.

    Raises
    ------
    OrderError
        With everything that is wrong with the drawing, at places within it.
    """
    from nesting.drawings import makers_file  # noqa: PLC0415 - most orders need no drawing
    from nesting.drawings.strokes import StrokeDrawing, closed_rings  # noqa: PLC0415

    found = makers_file.read(path, unit)
    if not isinstance(found, StrokeDrawing):
        rule = "must draw a piece of cloth, not pattern pieces"
        raise OrderError([Fault("the drawing", rule, "", _LINES)])
    rings, faults = closed_rings(found.strokes, found.words_at)
    faults = [*found.faults, *faults]
    if not faults and not rings:
        faults = [Fault("the drawing", "must have a closed outline", "it has none", _LINES)]
    if len(rings) > _MOST_HOLES + 1:
        rule, remedy = f"must not have more than {_MOST_HOLES} holes", "leave the smallest out"
        faults.append(Fault("the drawing", rule, f"{len(rings) - 1} are drawn", remedy))
    for ring in rings:
        if len(ring.points) > MOST_POINTS:
            rule = f"must not have more than {MOST_POINTS} points"
            faults.append(Fault(ring.place, rule, str(len(ring.points)), "simplify the line"))
    if faults:
        raise OrderError(faults)
    return _judged([clean(each.points) for each in rings], [e.place for e in rings], found.up)


def ring_fault(ring: Ring, place: str = "") -> Fault | None:
    """What keeps a ring from being an outline."""
    import shapely  # noqa: PLC0415 - see above

    if len(ring) < 3 or shapely.Polygon(ring).convex_hull.area < 1e-4:
        return Fault(place, "must enclose an area", "", _REDRAW)
    if crossing := self_contact(ring):
        rule = "must not cross or touch itself"
        return Fault(place, rule, Sentence("at {}", (point(crossing),)), _REDRAW)
    return None


def _judged(rings: list[Ring], places: list[str], up: int) -> DrawnPiece:
    """The piece that rings draw, if they can."""
    import shapely  # noqa: PLC0415 - see above

    faults = [fault for each in zip(rings, places, strict=True) if (fault := ring_fault(*each))]
    if faults:
        raise OrderError(faults)
    edge = max(range(len(rings)), key=lambda n: float(shapely.Polygon(rings[n]).area))
    holes = [n for n in range(len(rings)) if n != edge]
    piece = DrawnPiece(rings[edge], tuple(rings[n] for n in holes), up)
    faults += _size_faults(piece, places[edge])
    if not faults:
        faults += _hole_faults(piece, [places[n] for n in holes], places[edge])
    if faults:
        raise OrderError(faults)
    return piece


def _size_faults(piece: DrawnPiece, place: str) -> Iterator[Fault]:
    left, low, right, high = piece.bounds_mm
    size = Lengths("{} × {}", (right - left, high - low))
    if high - low > WIDEST_MM:
        rule: Wording = Sentence("must not be wider than {}", (at_most(WIDEST_MM),))
        yield Fault(place, rule, size, _UNIT)
    elif min(high - low, right - left) < _LEAST_MM:
        rule = Sentence("must not be smaller than {}", (at_least(_LEAST_MM),))
        yield Fault(place, rule, size, _UNIT)
    else:
        try:
            piece.on_grid  # noqa: B018 - computed once, here
        except ValueError:
            yield Fault(place, "must enclose an area", size, _REDRAW)


def _hole_faults(piece: DrawnPiece, places: Sequence[str], edge_place: str) -> Iterator[Fault]:
    """Holes that are not wholly inside the edge, or not apart from each other."""
    import shapely  # noqa: PLC0415 - see above

    edge, holes = piece.on_grid
    inside = shapely.Polygon(edge.points)
    figures = [shapely.Polygon(hole.points) for hole in holes]
    kept = [n for n in range(len(figures)) if inside.contains_properly(figures[n])]
    for n in sorted({*range(len(figures))} - {*kept}):
        rule = (
            "must lie wholly inside the edge of the piece"
            if inside.disjoint(figures[n])
            else ("must not cross or touch the edge of the piece")
        )
        remedy = "the largest outline is the edge; take out what is no hole in it"
        yield Fault(places[n], rule, f"the edge is {edge_place}", remedy)
    tree = shapely.STRtree(figures)
    for n in kept:
        for other in sorted(tree.query(figures[n], predicate="intersects").tolist()):
            if other > n and other in kept:
                rule, remedy = "holes must be apart from each other", "draw them as one hole"
                yield Fault(places[n], rule, f"the one on {places[other]}", remedy)
