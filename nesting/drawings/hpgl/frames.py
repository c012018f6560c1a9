"""Splits lines at the edges of the frames that a plotter draws one after the other.

Everything is in whole plotter units. Where a line crosses an edge, it ends in
one frame and begins in the next at the same point. A line along an edge belongs
to the frame before the edge.
"""

from collections.abc import Iterable, Iterator
from itertools import pairwise

from nesting.drawings.drawing import Pen

Point = tuple[int, int]

#: A pen and the points of one stroke, which is closed if the last equals the first.
Run = tuple[Pen, list[Point]]


def split_into_frames(lines: Iterable[Run], length: int, frames: int) -> list[list[Run]]:
    """The strokes of each frame, in the order of the lines; x counts from the first frame."""
    drawn: list[list[Run]] = [[] for _ in range(frames)]
    for pen, points in lines:
        for frame, stroke in _strokes(points, length, frames):
            drawn[frame].append((pen, stroke))
    return drawn


def _strokes(points: list[Point], length: int, frames: int) -> Iterator[tuple[int, list[Point]]]:
    """The parts of one line, each with its frame; a ring is not split where it begins."""
    if len(points) == 1:
        return iter([(_frame(points[0], points[0], length, frames), points)])
    parts: list[tuple[int, list[Point]]] = []
    for start, end in pairwise(_with_crossings(points, length)):
        frame = _frame(start, end, length, frames)
        if parts and parts[-1][0] == frame:
            parts[-1][1].append(end)
        else:
            parts.append((frame, [start, end]))
    ring = len(points) > 2 and points[0] == points[-1]
    if ring and len(parts) > 1 and parts[0][0] == parts[-1][0]:
        frame, last = parts.pop()
        parts[0] = frame, [*last, *parts[0][1][1:]]
    return iter(parts)


def _frame(start: Point, end: Point, length: int, frames: int) -> int:
    twice_middle = start[0] + end[0]
    return min(max(-(-twice_middle // (2 * length)) - 1, 0), frames - 1)


def _with_crossings(points: list[Point], length: int) -> Iterator[Point]:
    """The points of a line, and one more wherever it crosses an edge."""
    yield points[0]
    for (x0, y0), (x1, y1) in pairwise(points):
        low, high = sorted((x0, x1))
        edges = range((low // length + 1) * length, high, length)
        for x in edges if x1 > x0 else reversed(edges):
            yield x, round(y0 + (y1 - y0) * (x - x0) / (x1 - x0))
        yield x1, y1
