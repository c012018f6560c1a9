"""Whether a panel can be cut on the fold, and what is left of its lines on one half.

A fold lies in the middle of the cut outline. Shifted so that it lies in 0 of
y (side 1, a fold along the grain) or of x (side 0, across it), the half that
is printed lies beyond.
"""

from collections.abc import Iterator, Sequence

import shapely

from nesting.drawings.print.page import Point
from nesting.geometry.symmetry import Axis, is_symmetric, mirrored
from nesting.panels.panel import Panel
from nesting.units import LARGEST, MM, to_mm

#: Notches that mirror each other may be this far apart: half the width of a notch.
TWINS_APART = MM // 2


def foldable(panel: Panel, axis: Axis) -> bool:
    """Whether both sides of a fold are alike: the lines exactly, the marks nearly."""
    box = panel.cut.bounds
    rings_fit = is_symmetric(panel.cut, axis) and (
        panel.stitch is None
        or (is_symmetric(panel.stitch, axis) and _centred(panel.stitch.bounds, box, axis))
    )
    marks = (
        [(notch.foot,) for notch in panel.notches],
        [(drill.at,) for drill in panel.drills],
        panel.lines,
        panel.inner_cuts,
    )
    return rings_fit and all(_alike(each, axis, box) for each in marks)


def _alike(
    marks: Sequence[tuple[tuple[int, int], ...]], axis: Axis, box: tuple[int, int, int, int]
) -> bool:
    """Whether every mark, a place or a line, has a twin where the fold would bring it."""
    drawn = [_figure(mark) for mark in marks]
    images = [_figure(mirrored(mark, box, axis)) for mark in marks]
    return all(
        bool((shapely.hausdorff_distance(image, drawn) <= TWINS_APART).any()) for image in images
    )


def _figure(mark: tuple[tuple[int, int], ...]) -> shapely.Point | shapely.LineString:
    return shapely.Point(mark[0]) if len(mark) == 1 else shapely.LineString(mark)


def _centred(inner: tuple[int, ...], outer: tuple[int, ...], axis: Axis) -> bool:
    """Whether two boxes have the same middle line."""
    low = 1 if axis is Axis.ALONG else 0
    return inner[low] + inner[low + 2] == outer[low] + outer[low + 2]


def open_half(ring: tuple[Point, ...], side: int) -> tuple[Point, ...] | None:
    """The part of a ring beyond the fold, as an open run from one end of the fold to the other.

    None where the fold is in several runs.
    """
    part = shapely.Polygon(ring).intersection(half_plane(side))
    if not isinstance(part, shapely.Polygon) or part.interiors:
        return None
    points = list(shapely.geometry.polygon.orient(part).exterior.coords)[:-1]
    on_fold = [abs(point[side]) < 1e-9 for point in points]
    starts = [i for i in range(len(points)) if on_fold[i] and not on_fold[i - 1]]
    if len(starts) != 1 or sum(on_fold) != 2:
        return None
    first = starts[0] + 1
    turned = points[first % len(points) :] + points[: first % len(points)]
    return tuple((float(x), float(y)) for x, y in turned)


def beyond_fold(run: Sequence[Point], side: int, fold: float = 0.0) -> Iterator[tuple[Point, ...]]:
    """The parts of a run beyond a fold in x (side 0) or y (side 1); all of it where it lies on it.

    A line in the middle of a panel lies half-way between two places of the
    grid as often as not, so it may be a little to the wrong side.
    """
    if all(abs(point[side] - fold) <= to_mm(TWINS_APART) for point in run):
        yield tuple(run)
        return
    inside = shapely.line_merge(shapely.LineString(run).intersection(half_plane(side, fold)))
    for part in shapely.get_parts(inside):
        if isinstance(part, shapely.LineString):
            yield tuple((float(x), float(y)) for x, y in part.coords)


def half_plane(side: int, fold: float = 0.0) -> shapely.Polygon:
    """The half plane beyond a fold in x (side 0) or y (side 1), as far as any panel reaches."""
    far = to_mm(LARGEST)
    return shapely.box(-far, fold, far, far) if side else shapely.box(fold, -far, far, far)
