"""Mirror images of outlines, and whether an outline is its own."""

from collections.abc import Iterable
from enum import StrEnum

from nesting.geometry.outline import Outline
from nesting.geometry.transforms import from_least


class Axis(StrEnum):
    """The direction of a line through the middle of a figure's bounding box."""

    ALONG = "along"
    ACROSS = "across"


def mirrored(
    points: Iterable[tuple[int, int]], box: tuple[int, int, int, int], axis: Axis
) -> tuple[tuple[int, int], ...]:
    """Points mirrored in the line through the middle of a box that runs along an axis.

    The line of ``ALONG`` runs along x, so y is mirrored; ``ACROSS`` mirrors x.
    """
    x_sum, y_sum = box[0] + box[2], box[1] + box[3]
    if axis is Axis.ALONG:
        return tuple((x, y_sum - y) for x, y in points)
    return tuple((x_sum - x, y) for x, y in points)


def is_symmetric(outline: Outline, axis: Axis) -> bool:
    """Whether the outline is exactly its own mirror image in its middle line."""
    image = Outline(mirrored(outline.points, outline.bounds, axis))
    return from_least(image) == from_least(outline)
