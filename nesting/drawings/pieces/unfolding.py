"""Unfolds half pieces: adds the mirror image of everything in them."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely

from nesting.drawings.strokes import Point, Stroke
from nesting.tolerances import JOIN_MM


@dataclass(frozen=True, slots=True)
class Fold:
    """The mirror line, through two different points."""

    start: Point
    end: Point

    def mirrored(self, point: Point) -> Point:
        """The mirror image of a point, which is the point itself if it lies on the line."""
        (x0, y0), (x1, y1) = self.start, self.end
        dx, dy = x1 - x0, y1 - y0
        away = (dx * (point[1] - y0) - dy * (point[0] - x0)) / (dx * dx + dy * dy)
        return point[0] + 2 * away * dy, point[1] - 2 * away * dx

    def whole(self, ring: Sequence[Point]) -> tuple[Point, ...] | None:
        """The outline of which a ring is half; None if the halves do not form one outline."""
        half = shapely.Polygon(ring)
        other = shapely.Polygon([self.mirrored(point) for point in ring])
        if not half.is_valid:
            return tuple(ring)  # the check of outlines reports what is wrong with it
        both = half.union(other)
        if not isinstance(both, shapely.Polygon) or both.interiors:
            return None
        return tuple((float(x), float(y)) for x, y in both.exterior.coords[:-1])

    def both(self, runs: Sequence[Stroke]) -> list[Stroke]:
        """Runs and the mirror images of those that are not their own."""
        images = [
            replace(run, points=tuple(self.mirrored(point) for point in run.points)) for run in runs
        ]
        return [
            *runs,
            *(image for image, run in zip(images, runs, strict=True) if not _same(image, run)),
        ]

    def both_marks(self, marks: Sequence[tuple[Point, Point]]) -> list[tuple[Point, Point]]:
        """Marks of two points each, and the mirror images of those that are not on the line."""
        images = [(self.mirrored(a), self.mirrored(b)) for a, b in marks]
        pairs = zip(marks, images, strict=True)
        return [*marks, *(image for mark, image in pairs if math.dist(mark[0], image[0]) > JOIN_MM)]


def _same(image: Stroke, run: Stroke) -> bool:
    """Whether a run and its image are the same, because it lies on the line or symmetric to it."""
    pairs = [zip(image.points, way, strict=True) for way in (run.points, run.points[::-1])]
    return any(all(math.dist(*pair) <= JOIN_MM for pair in each) for each in pairs)
