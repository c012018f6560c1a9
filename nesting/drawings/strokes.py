"""Lines of a drawing that somebody else made, and the closed rings that they make end to end."""

import math
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from nesting.errors import Fault
from nesting.tolerances import JOIN_MM

Point = tuple[float, float]

#: The point in the drawing's own coordinates, in words.
NamePlace = Callable[[Point], str]

#: Coordinates beyond which nothing is looked at closely: 1 km (mm).
FARTHEST_MM: Final = 1e6

#: A drawing with more entities or points than this is not one of a few panels.
MOST_STROKES: Final = 20_000
MOST_POINTS: Final = 200_000

#: Open ends that are held against each other, to say which is near.
_MOST_COMPARED: Final = 500

_CLOSE: Final = "draw the missing line, or join the ends in the drawing program"
_ONCE: Final = "take lines that lie there twice out, and all but one outline"


@dataclass(frozen=True, slots=True)
class Stroke:
    """A run of straight lines in millimetres, y up; a closed one does not repeat its first point.

    ``place`` says where in the file it stands.
    """

    points: tuple[Point, ...]
    closed: bool
    place: str


@dataclass(frozen=True)
class StrokeDrawing:
    """Everything that a file draws, and what in it could not be read.

    ``name_place`` puts a point into words, ``passed_over`` counts what is not drawn
    to be cut (texts, dimensions) by kind.
    """

    strokes: tuple[Stroke, ...]
    name_place: NamePlace
    faults: tuple[Fault, ...] = ()
    passed_over: tuple[tuple[str, int], ...] = ()


def place_namer(scale: float, up: int) -> NamePlace:
    """Words for a point, where one unit of the file is ``scale`` mm and its y runs ``up`` (±1)."""
    # adding nothing makes a plain 0 of -0
    return lambda point: f"at ({point[0] / scale + 0.0:.6g}, {up * point[1] / scale + 0.0:.6g})"


def stroke(points: Sequence[Point], place: str, *, closed: bool = False) -> Stroke:
    """A stroke, closed as well where it ends where it began."""
    ring = list(points)
    if len(ring) > 3 and math.dist(ring[0], ring[-1]) <= JOIN_MM:
        ring, closed = ring[:-1], True
    return Stroke(tuple(ring), closed, place)


def closed_rings(
    strokes: Sequence[Stroke], name_place: NamePlace
) -> tuple[list[Stroke], list[Fault]]:
    """The closed strokes, those closed by others end to end, and what stays open.

    Ends within ``JOIN_MM`` of each other count as joined. A stroke that is
    shorter than that is passed over.
    """
    rings = [each for each in strokes if each.closed]
    runs = [each for each in strokes if not each.closed and _extent(each) > JOIN_MM]
    nodes = _nodes(runs)
    meeting: dict[int, list[int]] = defaultdict(list)
    for index, ends in enumerate(nodes):
        for node in ends:
            meeting[node].append(index)
    faults = list(_end_faults(runs, nodes, meeting, name_place))
    if not faults:
        rings += _walked(runs, nodes, meeting)
    return rings, faults


def straight_lines(strokes: Sequence[Stroke]) -> tuple[list[tuple[Point, Point]], list[Stroke]]:
    """The ends of every open straight line, whole or in parts end to end, and all other strokes.

    A line that turns anywhere, or from which others branch off, is none: it
    may be a ring that was left open.
    """
    runs = [each for each in strokes if not each.closed]
    others = [each for each in strokes if each.closed]
    nodes, lines = _nodes(runs), list[tuple[Point, Point]]()
    for group in _groups(nodes):
        ends = Counter(node for index in group for node in nodes[index])
        points = [point for index in group for point in runs[index].points]
        loose = [
            runs[index].points[end]
            for index in group
            for end in (0, -1)
            if ends[nodes[index][end]] == 1
        ]
        if len(loose) == 2 and max(ends.values()) <= 2 and _on_line(points, *loose):
            lines.append((loose[0], loose[1]))
        else:
            others += [runs[index] for index in group]
    return lines, others


def _groups(nodes: Sequence[tuple[int, int]]) -> list[list[int]]:
    """Runs that hang together, by index."""
    meeting: dict[int, list[int]] = defaultdict(list)
    for index, ends in enumerate(nodes):
        for node in ends:
            meeting[node].append(index)
    groups: list[list[int]] = []
    free = dict.fromkeys(range(len(nodes)))
    while free:
        group, waiting = list[int](), [next(iter(free))]
        while waiting:
            index = waiting.pop()
            if index in free:
                del free[index]
                group.append(index)
                waiting += [each for node in nodes[index] for each in meeting[node]]
        groups.append(group)
    return groups


def _on_line(points: Sequence[Point], start: Point, end: Point) -> bool:
    """Whether all points lie on the straight line between two, or hardly beside it."""
    length = math.dist(start, end)
    if length <= JOIN_MM:
        return False
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    ways = [(x - start[0], y - start[1]) for x, y in points]
    return all(
        abs(ux * dy - uy * dx) <= JOIN_MM and -JOIN_MM <= ux * dx + uy * dy <= length + JOIN_MM
        for dx, dy in ways
    )


def _extent(run: Stroke) -> float:
    return max(math.dist(run.points[0], point) for point in run.points)


def _nodes(runs: Sequence[Stroke]) -> list[tuple[int, int]]:
    """The number of the place where each run begins and ends."""
    cells: dict[tuple[int, int], list[int]] = defaultdict(list)
    places: list[Point] = []

    def node(end: Point) -> int:
        column, row = math.floor(end[0] / JOIN_MM), math.floor(end[1] / JOIN_MM)
        for i in (column, column - 1, column + 1):
            for j in (row, row - 1, row + 1):
                for known in cells.get((i, j), ()):
                    if math.dist(places[known], end) <= JOIN_MM:
                        return known
        places.append(end)
        cells[column, row].append(len(places) - 1)
        return len(places) - 1

    return [(node(run.points[0]), node(run.points[-1])) for run in runs]


def _end_faults(
    runs: Sequence[Stroke],
    nodes: Sequence[tuple[int, int]],
    meeting: dict[int, list[int]],
    name_place: NamePlace,
) -> Iterator[Fault]:
    """Ends at which no other line begins, and places where more than two lines meet."""
    at = {
        node: (run.points[end], run.place)
        for run, ends in zip(runs, nodes, strict=True)
        for end, node in zip((0, -1), ends, strict=True)
    }
    loose = [at[node][0] for node, met in meeting.items() if len(met) == 1]
    for node, met in meeting.items():
        point, place = at[node]
        where = f"{place}, {name_place(point)}"
        if len(met) == 1:
            near = _next(point, loose) if len(loose) <= _MOST_COMPARED else ""
            yield Fault(where, "the path must be closed, but it ends here", near, _CLOSE)
        elif len(met) > 2:
            rule = "no more than two lines may meet in a point"
            yield Fault(where, rule, f"{len(met)} do here", _ONCE)


def _next(point: Point, ends: Sequence[Point]) -> str:
    """How far the nearest of some ends is from one of them, in words."""
    away = sorted(math.dist(point, other) for other in ends)[1:2]
    return f"the next open end is {away[0]:.3g} mm away" if away else ""


def _walked(
    runs: Sequence[Stroke], nodes: Sequence[tuple[int, int]], meeting: dict[int, list[int]]
) -> Iterator[Stroke]:
    """Rings of runs, where exactly two ends meet at every place."""
    free = dict.fromkeys(range(len(runs)))
    while free:
        index = next(iter(free))
        start, points = nodes[index][0], list[Point]()
        node = start
        while index in free:
            del free[index]
            ahead = nodes[index][0] == node
            way = runs[index].points if ahead else runs[index].points[::-1]
            points += way[:-1]
            node = nodes[index][1] if ahead else nodes[index][0]
            index = next((each for each in meeting[node] if each in free), index)
        yield Stroke(tuple(points), closed=True, place=runs[meeting[start][0]].place)
