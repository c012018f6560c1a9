"""Lines of a drawing that somebody else made, and the closed rings that they form end to end."""

import math
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from nesting.errors import Fault
from nesting.sentences import Length, Sentence, Wording
from nesting.tolerances import JOIN_MM

Point = tuple[float, float]

#: Puts the place of a point in its drawing into words.
WordsAt = Callable[[Point], str]

#: Largest coordinate that is accepted: 1 km, in millimetres.
FARTHEST_MM: Final = 1e6

#: A drawing with more entities or points than this is not one of a few panels.
MOST_STROKES: Final = 20_000
MOST_POINTS: Final = 200_000

#: With more open ends than this, messages do not say how far the next one is.
_MOST_COMPARED: Final = 500

_CLOSE: Final = "draw the missing line, or join the ends in the drawing program"
_ONCE: Final = "remove lines that are drawn twice there, and keep only one outline"


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

    ``words_at`` puts a point into words; ``passed_over`` counts by kind what is
    not meant to be cut (texts, dimensions). In the file, y runs ``up`` (1) or down (-1).
    """

    strokes: tuple[Stroke, ...]
    words_at: WordsAt
    faults: tuple[Fault, ...] = ()
    passed_over: tuple[tuple[str, int], ...] = ()
    up: int = 1


def own_coordinates(scale: float, up: int) -> WordsAt:
    """Makes words for points of a file whose unit is ``scale`` mm and whose y runs ``up`` (±1)."""
    # adding 0.0 turns -0 into 0
    return lambda point: f"at ({point[0] / scale + 0.0:.6g}, {up * point[1] / scale + 0.0:.6g})"


def stroke(points: Sequence[Point], place: str, *, closed: bool = False) -> Stroke:
    """A stroke; it also counts as closed if it ends where it begins."""
    ring = list(points)
    if len(ring) > 3 and math.dist(ring[0], ring[-1]) <= JOIN_MM:
        ring, closed = ring[:-1], True
    return Stroke(tuple(ring), closed, place)


def closed_rings(strokes: Sequence[Stroke], words_at: WordsAt) -> tuple[list[Stroke], list[Fault]]:
    """The closed strokes, the rings that others form end to end, and faults of those left open.

    Ends within ``JOIN_MM`` of each other count as joined. A stroke that is
    shorter than that is passed over.
    """
    rings = [each for each in strokes if each.closed]
    runs = [each for each in strokes if not each.closed and _extent(each) > JOIN_MM]
    nodes = _nodes(runs)
    meeting = _runs_by_node(nodes)
    faults = list(_end_faults(runs, nodes, meeting, words_at))
    if not faults:
        rings += _chain(runs, nodes, meeting)
    return rings, faults


def straight_lines(strokes: Sequence[Stroke]) -> tuple[list[tuple[Point, Point]], list[Stroke]]:
    """The ends of every open straight line, whole or in parts end to end, and all other strokes.

    A line that bends or branches is not a straight line: it may be a ring that
    was left open.
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
    """Indices of the runs that are connected to each other, group by group."""
    meeting = _runs_by_node(nodes)
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
    """Whether all points lie on or very near the straight line between two points."""
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
    """The numbers of the places where each run begins and ends."""
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


def _runs_by_node(nodes: Sequence[tuple[int, int]]) -> dict[int, list[int]]:
    """Indices of the runs that begin or end at each place."""
    meeting: dict[int, list[int]] = defaultdict(list)
    for index, ends in enumerate(nodes):
        for node in ends:
            meeting[node].append(index)
    return meeting


def _end_faults(
    runs: Sequence[Stroke],
    nodes: Sequence[tuple[int, int]],
    meeting: dict[int, list[int]],
    words_at: WordsAt,
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
        where = f"{place}, {words_at(point)}"
        if len(met) == 1:
            near = _distance_to_next(point, loose) if len(loose) <= _MOST_COMPARED else ""
            yield Fault(where, "the path must be closed, but it ends here", near, _CLOSE)
        elif len(met) > 2:
            rule = "no more than two lines may meet at a point"
            yield Fault(where, rule, f"{len(met)} do here", _ONCE)


def _distance_to_next(point: Point, ends: Sequence[Point]) -> Wording:
    """How far the nearest other end is from one of some ends, in words."""
    away = sorted(math.dist(point, other) for other in ends)[1:2]
    if not away:
        return ""
    return Sentence("the next open end is {} away", (Length(float(f"{away[0]:.3g}")),))


def _chain(
    runs: Sequence[Stroke], nodes: Sequence[tuple[int, int]], meeting: dict[int, list[int]]
) -> Iterator[Stroke]:
    """The rings that runs form, if exactly two ends meet at every place."""
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
