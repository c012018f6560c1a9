"""The picture of a lay: what is where, in millimetres; the template turns it into markup.

Coordinates are as in SVG: x along the roll from the cut end, y downward from
the upper edge of the cloth.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from nesting.layouts.cloth_figure import cloth_figure
from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.layouts.sequence import in_marking_order
from nesting.panels.panel import Panel
from nesting.reports.ground import Ground, ground
from nesting.reports.letters import SIZE, Letters, letters
from nesting.reports.remnants import letter
from nesting.reports.shapes import Shape, shape
from nesting.reports.vacancy import Box
from nesting.reports.waste import Use
from nesting.reports.wording import length_of_cloth, length_to_cut, length_to_use, place_on_cloth
from nesting.units import CM, IN, MM, format_length, to_mm

#: Height of the picture's capitals as a share of the width of the cloth:
#: about 7 px on a phone, 14 px on a desk.
_CAPITALS = 1 / 55

#: Distance between marks and between figures of the tape along the cloth (grid units), by unit.
_MARKS = {"mm": (10 * CM, 50 * CM), "cm": (10 * CM, 50 * CM), "in": (6 * IN, 18 * IN)}

#: Grid units in 1 of the figures on the tape, by unit.
_FIGURE = {"mm": MM, "cm": CM, "in": IN}

#: What the title of a panel says about its state.
_STATES = {"": "", "done": ", cut already", "fresh": ", new here"}


@dataclass(frozen=True)
class PanelPicture:
    """A panel on the cloth: its shape and place, and its texts.

    Where an order is planned again, its ``state`` is "done" if it is cut already, and
    "fresh" if it is new where it lies.
    """

    kind: int
    shape: str
    x: float
    y: float
    title: str
    number: int
    label: str
    letters: Letters
    state: str = ""


@dataclass(frozen=True)
class Area:
    """A rectangle of cloth and its use."""

    use: Use
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True)
class RemnantPicture:
    """A remnant on the cloth; ``size`` is that of its letter."""

    letter: str
    title: str
    x: float
    y: float
    width: float
    height: float
    size: float


@dataclass(frozen=True)
class Dimension:
    """A length measured from (x, y) along the roll, or across it when ``upright``.

    Its text is ``text_at`` from there: in the middle, but no further than the
    width of the cloth, so that it is in sight at the start of a long lay.
    """

    x: float
    y: float
    length: float
    text: str
    text_at: float
    upright: bool = False


@dataclass(frozen=True)
class Mark:
    """A mark of the tape along the lower edge; small marks have an empty ``figure``."""

    x: float
    figure: str


@dataclass(frozen=True)
class Picture:
    """Everything on the picture of one lay; ``box`` is its SVG view box.

    ``gap`` is the width of the line around each panel that shows the gap; the
    panel hides its inner half. ``inside`` is the area of the lay, where gaps
    count.
    """

    box: tuple[float, float, float, float]
    size: float
    width: float
    height: float
    gap: float
    inside: tuple[float, float, float, float]
    areas: tuple[Area, ...]
    ground: Ground
    shapes: tuple[Shape, ...]
    panels: tuple[PanelPicture, ...]
    remnants: tuple[RemnantPicture, ...]
    dimensions: tuple[Dimension, ...]
    tape: tuple[Mark, ...]


def picture(lay: ClothLay, left_over: Sequence[Box], units: str, prefix: str) -> Picture:
    """The picture of one lay; ``prefix`` makes its ids different from others on the page."""
    cloth, width, height = lay.cloth, to_mm(lay.cloth_length), to_mm(lay.cloth.width)
    capitals = height * _CAPITALS
    forms = dict.fromkeys((placed.panel, placed.turn) for placed in lay.placed)
    ids = {form: f"{prefix}-{i}" for i, form in enumerate(forms, start=1)}
    inside = (cloth.end_allowance, cloth.selvedge, lay.used_length, cloth.usable_width)
    return Picture(
        box=(-6 * capitals, -4 * capitals, width + 8 * capitals, height + 16 * capitals),
        size=capitals * SIZE,
        width=width,
        height=height,
        gap=to_mm(cloth.gap),
        inside=(to_mm(inside[0]), to_mm(inside[1]), to_mm(inside[2]), to_mm(inside[3])),
        areas=tuple(_areas(lay)),
        ground=ground(cloth_figure(lay), units),
        shapes=tuple(shape(panel, turn, name) for (panel, turn), name in ids.items()),
        panels=tuple(_panels(lay, ids, units)),
        remnants=tuple(_remnants(lay, left_over, units)),
        dimensions=tuple(_dimensions(lay, units, capitals)),
        tape=tuple(_tape(lay.cloth_length, units)),
    )


def _panels(lay: ClothLay, ids: dict[tuple[Panel, int], str], units: str) -> Iterator[PanelPicture]:
    """Panels in the order of their numbers; letters are fitted once per shape and text length."""
    kinds = {panel: kind for kind, panel in enumerate(lay.panels, start=1)}
    capitals = to_mm(lay.cloth.width) * _CAPITALS
    fitted: dict[tuple[str, int, int], Letters] = {}
    for number, placed in enumerate(in_marking_order(lay), start=1):
        form = ids[placed.panel, placed.turn]
        key = (form, len(str(number)), len(placed.label))
        if key not in fitted:
            fitted[key] = letters(str(number), placed.label, _ring(placed), capitals)
        yield PanelPicture(
            kind=kinds[placed.panel],
            shape=form,
            x=to_mm(placed.x),
            y=to_mm(lay.cloth.width - placed.y),
            title=f"{number}: {placed.label}, {_size(placed, units)}, "
            f"{place_on_cloth(placed.x, placed.y, units)}{_STATES[_state(placed)]}",
            number=number,
            label=placed.label,
            letters=fitted[key],
            state=_state(placed),
        )


def _state(placed: PlacedPanel) -> str:
    return "done" if placed.is_cut else "fresh" if placed.is_new else ""


def _size(placed: PlacedPanel, units: str) -> str:
    outline = placed.outline
    return f"{length_to_cut(outline.length, units)} × {length_to_cut(outline.height, units)}"


def _ring(placed: PlacedPanel) -> tuple[tuple[float, float], ...]:
    """The outline from its least corner, y downward."""
    points = placed.outline.points
    return tuple((to_mm(x - placed.x), to_mm(placed.y - y)) for x, y in points)


def _remnants(lay: ClothLay, boxes: Sequence[Box], units: str) -> Iterator[RemnantPicture]:
    greatest = to_mm(lay.cloth.width) / 16
    for number, box in enumerate(boxes, start=1):
        width, height = to_mm(box.x1 - box.x0), to_mm(box.y1 - box.y0)
        size = " × ".join(length_to_use(s, units) for s in (box.x1 - box.x0, box.y1 - box.y0))
        yield RemnantPicture(
            letter=letter(number),
            title=f"Remnant {letter(number)}: {size}, {place_on_cloth(box.x0, box.y0, units)}",
            x=to_mm(box.x0),
            y=to_mm(lay.cloth.width - box.y1),
            width=width,
            height=height,
            size=min(greatest, width / 2, height / 2),
        )


def _areas(lay: ClothLay) -> Iterator[Area]:
    """The cloth that is not panels; what is bought or left besides is after the lay."""
    cloth, end = lay.cloth, lay.cloth.end_allowance
    used, length, usable = lay.used_length, lay.cloth_length, cloth.usable_width
    selvedge = cloth.selvedge
    after = Use.BUYING_STEP if lay.on.length is None else Use.LEFT
    boxes = (
        (Use.BETWEEN, end, selvedge, used, usable),
        (after, end + used, selvedge, length - used - 2 * end, usable),
        (Use.ENDS, 0, selvedge, end, usable),
        (Use.ENDS, length - end, selvedge, end, usable),
        (Use.SELVEDGES, 0, 0, length, selvedge),
        *(
            (Use.SELVEDGES, part.start, cloth.width - part.width, part.end - part.start, selvedge)
            for part in cloth_figure(lay).sections
        ),
    )
    for use, x, y, width, height in boxes:
        if width and height:
            yield Area(use, to_mm(x), to_mm(y), to_mm(width), to_mm(height))


def _dimensions(lay: ClothLay, units: str, capitals: float) -> Iterator[Dimension]:
    height = to_mm(lay.cloth.width)
    end, used, length = map(to_mm, (lay.cloth.end_allowance, lay.used_length, lay.cloth_length))
    width = f"width {format_length(lay.cloth.width, units)}"
    yield Dimension(-2 * capitals, 0, height, width, height / 2, upright=True)
    plan = f"lay plan {format_length(lay.used_length, units)}"
    yield Dimension(end, height + 6.5 * capitals, used, plan, min(used / 2, height))
    bought = lay.on.length is None
    whole = f"{'to buy' if bought else 'piece'} {length_of_cloth(lay.cloth_length, units)}"
    yield Dimension(0, height + 10.5 * capitals, length, whole, min(length / 2, height))


def _tape(length: int, units: str) -> Iterator[Mark]:
    """Marks of a tape along the cloth, from the cut end."""
    step, figure = _MARKS[units]
    for x in range(0, length + 1, step):
        yield Mark(to_mm(x), "" if x % figure else str(x // _FIGURE[units]))
