"""The number and label on each panel of the picture, and their size."""

from dataclasses import dataclass

import shapely

from nesting.drawings.lettering import fitted_height

#: A label whose capitals would be lower than this share of the greatest height is
#: left out; the number stays.
_READABLE = 0.4

#: From this share on, a label is large enough below its number; otherwise one line may be better.
_LARGE = 0.6

#: Font size divided by the height of capitals (Arial and typefaces of the same widths).
SIZE = 1 / 0.716

PointMm = tuple[float, float]


@dataclass(frozen=True)
class Letters:
    """Place and size of the number and label on a panel.

    They are centred on (``x``, ``y``) and turned by ``turn`` degrees clockwise,
    as in SVG. ``..._below`` is how far a base line is below that point. Number
    and label may share one line; a label of size 0 is left out.
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
    """Place the number above the label, before it on a narrow strip, or alone on a small panel.

    Above the label the number is twice as high; with the blank between, the two
    are 2 + 0.6 + 1 capitals high. ``capitals`` is the greatest height of the
    label's capitals.
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
    """The centroid, or, if that is outside, the middle of the largest circle inside."""
    polygon = shapely.Polygon(ring)
    centroid = polygon.centroid
    if not polygon.contains(centroid):
        centroid = shapely.Point(shapely.maximum_inscribed_circle(polygon).coords[0])
    return centroid.x, centroid.y
