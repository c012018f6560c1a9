"""Whether an outline is its own mirror image, exactly."""

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
    """Points reflected in the line of that direction through the middle of a box.

    A line ``ALONG`` runs along x, so y is reflected; ``ACROSS`` reflects x.
    """
    x_sum, y_sum = box[0] + box[2], box[1] + box[3]
    if axis is Axis.ALONG:
        return tuple((x, y_sum - y) for x, y in points)
    return tuple((x_sum - x, y) for x, y in points)


def is_symmetric(outline: Outline, axis: Axis) -> bool:
    """Whether the outline is its own mirror image in its middle line, to the last grid unit."""
    image = Outline(mirrored(outline.points, outline.bounds, axis))
    return from_least(image) == from_least(outline)
