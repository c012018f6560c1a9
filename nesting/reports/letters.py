"""What is written on a panel of the picture, and how large it may be."""

from dataclasses import dataclass

import shapely

from nesting.drawings.lettering import fitted_height

#: Names whose capitals would be less than this share of the greatest height
#: are left out; the number stays.
_READABLE = 0.4

#: From this share on, a label is large enough below its number; smaller, one line may serve better.
_LARGE = 0.6

#: Size of a letter over the height of its capitals (Arial and faces of its widths).
SIZE = 1 / 0.716

PointMm = tuple[float, float]


@dataclass(frozen=True)
class Letters:
    """Where number and label stand on a panel and how large, around its middle.

    They stand around (``x``, ``y``), turned by ``turn`` degrees as SVG counts
    them (clockwise). ``..._below`` is how far a base line lies below that
    middle. Number and label may share one line; a label of no size is left out.
    """

    x: float
    y: float
    turn: float
    number_size: float
    number_below: float
    label_size: float = 0.0
    label_below: float = 0.0

    @property
    def in_one_line(self) -> bool:
        """Whether number and label share a base line."""
        return bool(self.label_size) and self.number_below == self.label_below


def letters(number: str, label: str, ring: tuple[PointMm, ...], capitals: float) -> Letters:
    """The number above the label, or before it on a narrow strip, or alone on a small panel.

    Above it stands twice as high; with the blank between the two are
    2 + 0.6 + 1 capitals high. ``capitals`` is the greatest height of the label's.
    """
    middle = _middle(ring)
    stacked, turn = fitted_height(label, middle, ring, capitals, lines=3.6)
    in_line, line_turn = fitted_height(f"{number}  {label}", middle, ring, capitals)
    if max(stacked, in_line) < _READABLE * capitals:
        height, turn = fitted_height(number, middle, ring, 2 * capitals)
        return Letters(*middle, -turn, height * SIZE, height / 2)
    if stacked >= min(in_line, _LARGE * capitals):
        return Letters(
            *middle, -turn, 2 * stacked * SIZE, 0.2 * stacked, stacked * SIZE, 1.8 * stacked
        )
    size, below = in_line * SIZE, in_line / 2
    return Letters(*middle, -line_turn, size, below, size, below)


def _middle(ring: tuple[PointMm, ...]) -> PointMm:
    """The centroid, or where that is cut out, the middle of the largest circle inside."""
    polygon = shapely.Polygon(ring)
    centroid = polygon.centroid
    if not polygon.contains(centroid):
        centroid = shapely.Point(shapely.maximum_inscribed_circle(polygon).coords[0])
    return centroid.x, centroid.y
