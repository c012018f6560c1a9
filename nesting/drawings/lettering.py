"""How large a line of text can be inside an outline, and where.

A text must fit with some space around it, so that letters never touch a line:
one letter at either end, and half a letter above and below.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import product
from typing import Final, NamedTuple

import shapely

PointMm = tuple[float, float]

#: Advance of an average letter over the height of capitals. Measured on
#: Liberation Sans, a free typeface with common widths: labels of mixed text 0.60
#: to 0.68, digits 0.81; the rest is a reserve for other typefaces.
ADVANCE: Final = 0.85

#: Least height of a label in millimetres: smaller text cannot be read at the table.
LEAST_HEIGHT_MM: Final = 2.0

#: A text goes slanting, or to another place, only where it gets so many times larger.
_WORTH_IT: Final = 1.2

_HALVINGS: Final = 12


class Lettering(NamedTuple):
    """Height of capitals, angle in degrees and middle of a line of text."""

    height: float
    angle: float
    at: PointMm


def fitted_height(
    content: str,
    at: PointMm,
    ring: Sequence[PointMm],
    greatest: float,
    *,
    lines: float = 1.0,
) -> tuple[float, float]:
    """Height of capitals and angle of the largest text that fits.

    The text is ``lines`` heights tall and centred on ``at`` within ``ring``. It
    runs along x, upright, or along a strip that slants. Its height is at most
    ``greatest``. All lengths are in millimetres.

    Returns
    -------
    height, angle
        0.0 for the height if nothing fits there; degrees from -90 up to 90.
    """
    return _Room(ring, ()).largest(len(content), at, greatest, lines)[:2]


def placed_label(
    content: str,
    at: PointMm,
    ring: Sequence[PointMm],
    greatest: float,
    clear_of: Iterable[Sequence[PointMm]] = (),
) -> Lettering:
    """The label of a panel: in its usual place ``at``, or elsewhere if much larger there.

    It is at least ``LEAST_HEIGHT_MM`` high, even where that does not fit.
    """
    found = roomiest(content, at, ring, greatest, clear_of)
    return found._replace(height=max(found.height, LEAST_HEIGHT_MM))


def roomiest(
    content: str,
    at: PointMm,
    ring: Sequence[PointMm],
    greatest: float,
    clear_of: Iterable[Sequence[PointMm]] = (),
    *,
    lines: float = 1.0,
) -> Lettering:
    """The text at ``at``, or elsewhere in the outline if it gets much larger there.

    It is ``lines`` heights tall, lies inside the outline and crosses none of
    the lines ``clear_of``; its height is 0.0 where there is no room at all.
    """
    room = _Room(ring, clear_of)
    usual = best = room.largest(len(content), at, greatest, lines)
    if usual.height < greatest:
        others = (room.largest(len(content), spot, greatest, lines) for spot in room.wide_places())
        best = max(others, key=lambda each: each.height, default=usual)
    return best if best.height > _WORTH_IT * usual.height else usual


class _Room:
    """The inside of an outline without some lines."""

    def __init__(self, ring: Sequence[PointMm], clear_of: Iterable[Sequence[PointMm]]) -> None:
        self._inside = shapely.Polygon(ring)
        self._lines = shapely.MultiLineString([line for line in clear_of if len(line) > 1])
        shapely.prepare(self._inside)
        shapely.prepare(self._lines)
        self._slant = _long_way(self._inside)

    def wide_places(self) -> Iterator[PointMm]:
        """Centroids, and middles of the largest circles, of the parts that the lines leave."""
        x0, y0, x1, y1 = self._inside.bounds
        near = max(min(x1 - x0, y1 - y0) / 100, 0.01)
        free = self._inside.buffer(0).difference(self._lines.buffer(near, quad_segs=1))
        for part in shapely.get_parts(free):
            if part.contains(part.centroid):
                yield part.centroid.coords[0]
            yield shapely.maximum_inscribed_circle(part, near).coords[0]
        yield from self._across_the_box()

    def _across_the_box(self) -> Iterator[PointMm]:
        """Places in rows along the least box: a line in the middle leaves room on either side."""
        box = shapely.minimum_rotated_rectangle(self._inside)
        if isinstance(box, shapely.Polygon):
            (x, y), (ax, ay), _, (bx, by) = box.exterior.coords[:4]
            for u, v in product((0.25, 0.5, 0.75), repeat=2):
                yield x + u * (ax - x) + v * (bx - x), y + u * (ay - y) + v * (by - y)

    def largest(self, letters: int, at: PointMm, greatest: float, lines: float) -> Lettering:
        """The largest text around a middle."""
        wide, tall = ADVANCE * (letters + 2), lines + 1
        ways = [self._at_angle(angle, at, wide, tall, greatest) for angle in (0.0, 90.0)]
        best = max(ways, key=lambda each: each.height)
        if self._slant is None or best.height >= greatest:
            return best
        slanting = self._at_angle(self._slant, at, wide, tall, greatest)
        return slanting if slanting.height > _WORTH_IT * best.height else best

    def _at_angle(
        self, angle: float, at: PointMm, wide: float, tall: float, greatest: float
    ) -> Lettering:
        """The largest factor, up to ``greatest``, at which a box of wide x tall fits around ``at``.

        A smaller box around the same middle lies within a larger one, so bisection
        finds the factor.
        """
        cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))

        def fits(factor: float) -> bool:
            dx, dy = factor * wide / 2, factor * tall / 2
            corners = ((-dx, -dy), (dx, -dy), (dx, dy), (-dx, dy))
            box = shapely.Polygon(
                (at[0] + x * cos - y * sin, at[1] + x * sin + y * cos) for x, y in corners
            )
            return bool(self._inside.contains(box)) and not self._lines.intersects(box)

        if fits(greatest):
            return Lettering(greatest, angle, at)
        low, high = 0.0, greatest
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            low, high = (middle, high) if fits(middle) else (low, middle)
        return Lettering(low, angle, at)


def _long_way(figure: shapely.Polygon) -> float | None:
    """Direction of the longer side of the least box around a figure, unless that is upright."""
    box = shapely.minimum_rotated_rectangle(figure)
    if not isinstance(box, shapely.Polygon):
        return None
    a, b, c = box.exterior.coords[:3]
    start, end = (a, b) if math.dist(a, b) >= math.dist(b, c) else (b, c)
    angle = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
    angle = (angle + 90) % 180 - 90
    return None if min(abs(angle), 90 - abs(angle)) < 1 else angle
