"""The lay as a picture for people: what lies where on the page, in millimetres.

Page coordinates: x along the roll from the cut end, y downward from the
upper edge of the cloth, as SVG counts. What markup is made of it is the
template's business.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import shapely

from nesting.drawings.lettering import fitted_height
from nesting.geometry.outline import Outline
from nesting.geometry.transforms import laid
from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.layouts.sequence import in_marking_order
from nesting.reports.waste import Use
from nesting.reports.wording import length_to_buy
from nesting.units import format_length, to_mm

#: Height of the picture's capitals as a share of the width of the cloth:
#: about 7 px on a phone, 14 px on a desk.
_CAPITALS = 1 / 55

#: Names whose capitals would be less than this share of that are left out; the number stays.
_READABLE = 0.4

#: From this share on, a label is large enough below its number; smaller, one line may serve better.
_LARGE = 0.6

PointMm = tuple[float, float]

#: Size of a letter over the height of its capitals (Arial and faces of its widths).
_SIZE = 1 / 0.716


@dataclass(frozen=True)
class Shape:
    """A cut outline as it lies at some turn, its least corner at the origin."""

    id: str
    points: str


@dataclass(frozen=True)
class Letters:
    """What is written on a panel, around its middle.

    The letters stand around (``x``, ``y``), turned by ``turn`` degrees as SVG
    counts them (clockwise). ``..._below`` is how far a base line lies below
    that middle. Number and label may share one line; the label is empty where
    there is no room for it.
    """

    x: float
    y: float
    turn: float
    number: str
    number_size: float
    number_below: float
    label: str = ""
    label_size: float = 0.0
    label_below: float = 0.0

    @property
    def in_one_line(self) -> bool:
        """Whether number and label share a base line."""
        return bool(self.label) and self.number_below == self.label_below


@dataclass(frozen=True)
class PanelPicture:
    """A panel on the cloth: which shape and where, its full name, its letters."""

    shape: str
    x: float
    y: float
    name: str
    letters: Letters


@dataclass(frozen=True)
class Area:
    """A rectangle of cloth and what becomes of it."""

    use: Use
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True)
class Dimension:
    """A length measured from (x, y) along the roll, or across it when ``upright``.

    Its text stands ``text_at`` from there: in the middle, but never further
    than the cloth is wide, so that it is in sight where a long lay begins.
    """

    x: float
    y: float
    length: float
    text: str
    text_at: float
    upright: bool = False


@dataclass(frozen=True)
class Picture:
    """Everything on the picture of one lay; ``box`` is its SVG view box."""

    box: tuple[float, float, float, float]
    size: float
    width: float
    height: float
    areas: tuple[Area, ...]
    shapes: tuple[Shape, ...]
    panels: tuple[PanelPicture, ...]
    dimensions: tuple[Dimension, ...]


def picture(lay: ClothLay, units: str, prefix: str) -> Picture:
    """The picture of one lay; ``prefix`` keeps its ids apart from others on the page."""
    width, height = to_mm(lay.buy_length), to_mm(lay.cloth.width)
    capitals = height * _CAPITALS
    forms = dict.fromkeys((placed.panel, placed.turn) for placed in lay.placed)
    ids = {form: f"{prefix}-{i}" for i, form in enumerate(forms, start=1)}
    return Picture(
        box=(-6 * capitals, -4 * capitals, width + 8 * capitals, height + 13 * capitals),
        size=capitals * _SIZE,
        width=width,
        height=height,
        areas=tuple(_areas(lay)),
        shapes=tuple(_shape(laid(panel.cut, turn), ids[panel, turn]) for panel, turn in ids),
        panels=tuple(
            _panel(placed, number, ids[placed.panel, placed.turn], lay, units)
            for number, placed in enumerate(in_marking_order(lay), start=1)
        ),
        dimensions=tuple(_dimensions(lay, units, capitals)),
    )


def _shape(outline: Outline, name: str) -> Shape:
    points = (f"{to_mm(x)},{to_mm(-y)}" for x, y in outline.points)
    return Shape(name, " ".join(points))


def _panel(placed: PlacedPanel, number: int, shape: str, lay: ClothLay, units: str) -> PanelPicture:
    outline, width = placed.outline, lay.cloth.width
    ring = [(to_mm(x), to_mm(width - y)) for x, y in outline.points]
    size = f"{format_length(outline.length, units)} × {format_length(outline.height, units)}"
    return PanelPicture(
        shape=shape,
        x=to_mm(placed.x),
        y=to_mm(width - placed.y),
        name=f"{number}: {placed.label}, {size}",
        letters=_letters(str(number), placed.label, ring, to_mm(width) * _CAPITALS),
    )


def _middle(ring: list[PointMm]) -> PointMm:
    """The centroid, or where that is cut out, the middle of the largest circle inside."""
    polygon = shapely.Polygon(ring)
    centroid = polygon.centroid
    if not polygon.contains(centroid):
        centroid = shapely.Point(shapely.maximum_inscribed_circle(polygon).coords[0])
    return centroid.x, centroid.y


def _letters(number: str, label: str, ring: list[PointMm], capitals: float) -> Letters:
    """The number above the label, or before it on a narrow strip, or alone on a small panel.

    Above it stands twice as high; with the blank between the two are
    2 + 0.6 + 1 capitals high.
    """
    middle = _middle(ring)
    stacked, turn = fitted_height(label, middle, ring, capitals, lines=3.6)
    in_line, line_turn = fitted_height(f"{number}  {label}", middle, ring, capitals)
    if max(stacked, in_line) < _READABLE * capitals:
        height, turn = fitted_height(number, middle, ring, 2 * capitals)
        return Letters(*middle, -turn, number, height * _SIZE, height / 2)
    if stacked >= min(in_line, _LARGE * capitals):
        size, below = stacked * _SIZE, 1.8 * stacked
        return Letters(*middle, -turn, number, 2 * size, 0.2 * stacked, label, size, below)
    size, below = in_line * _SIZE, in_line / 2
    return Letters(*middle, -line_turn, number, size, below, label, size, below)


def _areas(lay: ClothLay) -> Iterator[Area]:
    """The cloth beside the panels, laid out in the order in which it is bought."""
    cloth, end = lay.cloth, lay.cloth.end_allowance
    used, bought, usable = lay.used_length, lay.buy_length, cloth.usable_width
    rounding = bought - used - 2 * end
    selvedge = cloth.selvedge
    boxes = (
        (Use.BETWEEN, end, selvedge, used, usable),
        (Use.ENDS, 0, selvedge, end, usable),
        (Use.ENDS, end + used, selvedge, end, usable),
        (Use.BUYING_STEP, bought - rounding, selvedge, rounding, usable),
        (Use.SELVEDGES, 0, 0, bought, selvedge),
        (Use.SELVEDGES, 0, cloth.width - selvedge, bought, selvedge),
    )
    for use, x, y, width, height in boxes:
        if width and height:
            yield Area(use, to_mm(x), to_mm(y), to_mm(width), to_mm(height))


def _dimensions(lay: ClothLay, units: str, capitals: float) -> Iterator[Dimension]:
    height = to_mm(lay.cloth.width)
    end, used, bought = map(to_mm, (lay.cloth.end_allowance, lay.used_length, lay.buy_length))
    width = f"width {format_length(lay.cloth.width, units)}"
    yield Dimension(-2 * capitals, 0, height, width, height / 2, upright=True)
    panels = f"panels {format_length(lay.used_length, units)}"
    yield Dimension(end, height + 3.5 * capitals, used, panels, min(used / 2, height))
    to_buy = f"to buy {length_to_buy(lay.buy_length, units)}"
    yield Dimension(0, height + 7.5 * capitals, bought, to_buy, min(bought / 2, height))
