"""Writes drawings as HP-GL for pen plotters: units of 0.025 mm, absolute coordinates.

A *frame* is what the plotter draws before it feeds the paper. A drawing that is
longer than a frame is split: every line is divided exactly at the edges of the
frames, and the frames follow each other, separated by page feeds (PG). In each
frame x counts from its own start. The window (IW) of a frame is the frame.

The *origin* of the plotter is the lower left corner of a frame or its middle,
depending on the device. With the corner, every coordinate is positive and the
lay begins at x = 0, so that no blank paper is fed.

Text is ASCII only; other letters are spelled with plain ones. It is drawn as
strokes, so that no device decides how wide it is. SI and DI before it state its
height and direction, and SI alone its end; they draw nothing. The instructions
are those of a published laser printer manual (IN, SP, PU, PD, PA) and, from
memory, of pen plotters (IW, PG, SI, DI).
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from math import ceil, cos, floor, radians, sin
from typing import Final

from nesting.drawings.ascii_names import ascii_text
from nesting.drawings.drawing import Drawing, Path, Pen, Text
from nesting.drawings.hpgl.frames import Run, split_into_frames
from nesting.drawings.hpgl.letters import CAPITALS, PITCH, STROKES
from nesting.errors import Fault, OrderError
from nesting.tolerances import FLOAT_MM

#: Plotter units in a millimetre.
UNITS_PER_MM: Final = 40

#: Greatest coordinate of devices that store coordinates in 16 bits with a sign.
SIXTEEN_BITS: Final = 32767

#: Most points in one PD instruction.
_MOST_POINTS: Final = 50

#: Width of a letter as a share of the height of capitals, for `SI`.
_LETTER_WIDE: Final = 4 / CAPITALS

#: The number of the pen for each kind of line; 0 would leave a kind out. A plotter
#: of eight pens takes a higher number as one of the eight, so kinds that are only
#: drawn, and that nobody confuses, share one. Kinds that mark the cloth have their own.
OWN_PENS: Final[Mapping[Pen, int]] = {
    Pen.CUT: 1, Pen.STITCH: 2, Pen.GRAIN: 3, Pen.NOTCH: 4, Pen.DRILL: 5,
    Pen.LABEL: 6, Pen.SELVEDGE: 6, Pen.FLAW: 6, Pen.INNER_LINE: 7, Pen.INNER_CUT: 8,
}  # fmt: skip

#: Plotters with a carousel have no more pens than this (CP).
USUAL_PENS: Final = 8


class Origin(StrEnum):
    """Where a plotter has its origin."""

    CORNER = "corner"
    CENTRE = "centre"


@dataclass(frozen=True)
class Plotter:
    """Properties of a plotter.

    ``frame`` is the length of a frame and ``width`` the width of the paper, in
    millimetres; None where there is no limit. ``sixteen_bit`` keeps every
    coordinate within ±32767.
    """

    frame: float | None = None
    width: float | None = None
    origin: Origin = Origin.CORNER
    sixteen_bit: bool = False
    pens: Mapping[Pen, int] = field(default_factory=lambda: OWN_PENS)


def write(drawing: Drawing, plotter: Plotter = Plotter()) -> bytes:
    """The drawing as the bytes of an HP-GL file.

    Raises
    ------
    OrderError
        When the drawing is wider than the plotter, or than 16 bits can express.
    """
    faults = width_faults(drawing.title, drawing.height, plotter)
    if faults:
        raise OrderError(faults)
    length = _frame_length(drawing, plotter)
    frames = max(1, ceil(_units(drawing.width) / length))
    runs = split_into_frames(map(_in_units, drawing.paths), length, frames)
    lines = ["IN;"]
    for number in range(frames):
        lines += ["PG;"] if number else []
        texts = [t for t in drawing.texts if _frame_of(t, length, frames) == number]
        lines += _frame(runs[number], texts, number * length, (length, drawing.height), plotter)
    return "\n".join([*lines, "PU;SP0;", ""]).encode("ascii")


def width_faults(title: str, width: float, plotter: Plotter) -> list[Fault]:
    """Reasons why a plotter cannot draw something of a width (millimetres); none if it can."""
    faults = []
    place, shown = f'"{title}" as HP-GL', f"{width:g} mm"
    if plotter.width is not None and width > plotter.width:
        rule = f"must be no wider than the plotter, {plotter.width:g} mm"
        remedy = "plot it on a wider device, or leave out plt and print templates (pdf)"
        faults.append(Fault(place, rule, shown, remedy))
    centred = plotter.origin is Origin.CENTRE
    reach = SIXTEEN_BITS * (2 if centred else 1)
    if plotter.sixteen_bit and _units(width) > reach:
        rule = f"must be no wider than 16 bits allow, {reach / UNITS_PER_MM:g} mm"
        remedy = "plot it without the limit of 16 bits, or print templates (pdf)"
        if not centred and _units(width) <= 2 * SIXTEEN_BITS:
            remedy = "choose the origin in the centre, if the plotter has it there"
        faults.append(Fault(place, rule, shown, remedy))
    return faults


def frame_length_mm(drawing: Drawing, plotter: Plotter) -> float:
    """Length of the frames in which a plotter draws a drawing, in millimetres."""
    return _frame_length(drawing, plotter) / UNITS_PER_MM


def _frame_length(drawing: Drawing, plotter: Plotter) -> int:
    """Length of a frame in plotter units, within the limits of the plotter and of 16 bits."""
    length = _units(drawing.width) or 1
    if plotter.frame is not None:
        length = min(length, floor(plotter.frame * UNITS_PER_MM + FLOAT_MM))
    if plotter.sixteen_bit:
        length = min(length, SIXTEEN_BITS * (2 if plotter.origin is Origin.CENTRE else 1))
    return length


def _frame(
    runs: list[Run], texts: list[Text], start: int, size: tuple[int, float], plotter: Plotter
) -> Iterator[str]:
    """The instructions of one frame: its window, then each pen's lines and texts."""
    length, height = size[0], _units(size[1])
    x0, y0 = start, 0
    if plotter.origin is Origin.CENTRE:
        x0, y0 = start + length // 2, height // 2
    yield f"IW{start - x0},{-y0},{start + length - x0},{height - y0};PA;"
    chosen = None
    for pen, points in runs:
        number = plotter.pens.get(pen, 0)
        if number:
            yield from _select(number, chosen)
            yield _stroke([(x - x0, y - y0) for x, y in points])
            chosen = number
    for text in texts:
        number = plotter.pens.get(text.pen, 0)
        if number:
            yield from _select(number, chosen)
            yield _label(text, (x0, y0))
            chosen = number


def _select(number: int, chosen: int | None) -> Iterator[str]:
    if number != chosen:
        yield f"PU;SP{number};"


def _stroke(points: list[tuple[int, int]]) -> str:
    """One line, in instructions short enough for a small buffer; a single point is a dot."""
    first, *rest = (f"{x},{y}" for x, y in points)
    parts = (rest[i : i + _MOST_POINTS] for i in range(0, len(rest), _MOST_POINTS))
    drawn = "".join(f"PD{','.join(part)};" for part in parts) or f"PD{first};"
    return f"PU{first};{drawn}PU;"


def _label(text: Text, origin: tuple[int, int]) -> str:
    """A text as strokes, centred on its point; the sizes of SI are in centimetres."""
    run, rise = _direction(text.angle)
    content, unit = ascii_text(text.content), text.height / CAPITALS
    middle = (PITCH * len(content) - 1) / 2

    def placed(x: float, y: float) -> tuple[int, int]:
        along, up = unit * (x - middle), unit * (y - CAPITALS / 2)
        across, high = run * along - rise * up, rise * along + run * up
        return _units(text.at[0] + across) - origin[0], _units(text.at[1] + high) - origin[1]

    x, y = placed(0, 0)
    size = f"SI{text.height * _LETTER_WIDE / 10:.6f},{text.height / 10:.6f};"
    strokes = "".join(
        _stroke([placed(column * PITCH + x, y) for x, y in stroke])
        for column, letter in enumerate(content)
        for stroke in STROKES[letter]
    )
    return f"PU{x},{y};{size}DI{run:.9g},{rise:.9g};{strokes}SI;"


def _direction(angle: float) -> tuple[float, float]:
    """Along x and along y for an angle in degrees, as a file states them."""
    turn = radians(angle)
    return round(cos(turn), 9), round(sin(turn), 9)


def _frame_of(text: Text, length: int, frames: int) -> int:
    """The frame in which the middle of a text lies."""
    return min(max(_units(text.at[0]) // length, 0), frames - 1)


def _in_units(path: Path) -> Run:
    points = [(_units(x), _units(y)) for x, y in path.points]
    return path.pen, [*points, points[0]] if path.closed else points


def _units(value: float) -> int:
    """Nearest plotter unit of a length in millimetres."""
    return round(value * UNITS_PER_MM)
