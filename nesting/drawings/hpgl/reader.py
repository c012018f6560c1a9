"""Reads HP-GL back: lines and texts of a plot file, in millimetres.

It shares no code with the writer, so that a mistake in one is not hidden by the
same mistake in the other; only the drawn letters are known to both. Pen numbers
say what a line is; of kinds that share one, a line has the first that can be a
line, a text the label. Frames (each with its window, separated by page feeds)
are put together again, and lines that were split at their edges are joined. A
pen lowered and lifted on the spot is a point.
"""

import math
import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

from nesting.drawings.drawing import Drawing, Path, Pen, Text
from nesting.drawings.hpgl.lettered import StrokedText
from nesting.errors import Fault, OrderError, written
from nesting.tolerances import PLOT_MM

#: Millimetres of a plotter unit.
_UNIT_MM: Final = 0.025

#: What each pen draws.
_Kinds = Mapping[int, tuple[Pen, ...]]

#: What each pen draws unless the reader is told otherwise.
_KINDS: Final[_Kinds] = {
    1: (Pen.CUT,), 2: (Pen.STITCH,), 3: (Pen.GRAIN,), 4: (Pen.NOTCH,),
    5: (Pen.DRILL,), 6: (Pen.LABEL, Pen.SELVEDGE, Pen.FLAW),
    7: (Pen.INNER_LINE,), 8: (Pen.INNER_CUT,),
}  # fmt: skip

#: The kind that no line is drawn of.
_WITHOUT_LINES: Final = Pen.LABEL

#: Two letters, then a text up to ETX for LB, or numbers for all others.
_INSTRUCTION: Final = re.compile(
    rb"\s*(?:LB(?P<text>[^\x03]*)\x03|(?P<name>[A-Za-z]{2})(?P<numbers>[-+0-9.,\s]*)|\x1b%-?\d[AB])"
    rb"\s*;?\s*"
)

#: Instructions that draw things not read here, or change the meaning of coordinates.
_BEYOND: Final = frozenset(
    (
        "AA", "AR", "AT", "BZ", "BR", "CI", "EA", "EP", "ER", "EW", "FP", "IP",
        "PE", "PM", "RA", "RO", "RR", "RT", "SC", "UC", "WG", "XT", "YT",
    )
)  # fmt: skip

_FEEDS: Final = frozenset({"PG", "AF", "FR"})

Point = tuple[int, int]


@dataclass
class _Stroke:
    """What a pen draws from lowering to lifting, in units from the start of the lay."""

    pen: Pen
    frame: int
    points: list[Point]

    @property
    def closed(self) -> bool:
        """Whether it is a ring; out and back the same way, it is part of a line that was split."""
        return self.points[0] == self.points[-1] and len(self.points) > 3

    @property
    def may_go_on(self) -> bool:
        """Whether it may be part of a line that was split; a ring or a dot is whole."""
        return not self.closed and len(self.points) > 1


@dataclass
class _Plot:
    """A plotter that remembers what it drew."""

    kinds: _Kinds
    pen: int = 0
    down: bool = False
    relative: bool = False
    at: Point = (0, 0)
    frame: int = 0
    start: int = 0
    window: tuple[int, ...] = ()
    letters_mm: float = 0.0
    angle: float = 0.0
    strokes: list[_Stroke] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    unknown: list[str] = field(default_factory=list)
    lettering: StrokedText | None = None
    current: list[Point] = field(default_factory=list)

    def do(self, name: str, numbers: list[float]) -> None:
        """Carry out one instruction; those that neither draw nor move have no effect here."""
        if name in ("PU", "PD"):
            self.lift() if name == "PU" else self.lower()
        if name in ("PU", "PD", "PA", "PR"):
            self.relative = {"PA": False, "PR": True}.get(name, self.relative)
            self.move([round(number) for number in numbers])
        elif name == "SP":
            self.lift()
            self.lettering = None
            self.pen = int(numbers[0]) if numbers else 0
        elif name == "IW":
            self.window = tuple(round(number) for number in numbers)
        elif name == "SI":
            self.begin_text(numbers[-1] * 10) if numbers else self.end_text()
        elif name == "DI":
            run, rise = numbers or (1, 0)
            self.angle = math.degrees(math.atan2(rise, run)) % 360
            if self.lettering:
                self.lettering.angle = self.angle
        elif name in _FEEDS:
            self.feed()

    def move(self, numbers: list[int]) -> None:
        for x, y in zip(numbers[::2], numbers[1::2], strict=True):
            self.at = (self.at[0] + x, self.at[1] + y) if self.relative else (x, y)
            if self.down:
                self.current.append(self.on_lay(self.at))

    def lower(self) -> None:
        if not self.down:
            self.down, self.current = True, [self.on_lay(self.at)]

    def lift(self) -> None:
        if len(self.current) == 2 and self.current[0] == self.current[1]:
            del self.current[1]
        if self.down and self.lettering:
            self.lettering.strokes.append(self.current)
        elif self.down and self.pen in self.kinds:
            kinds = self.kinds[self.pen]
            kind = next((each for each in kinds if each is not _WITHOUT_LINES), kinds[0])
            self.strokes.append(_Stroke(kind, self.frame, self.current))
        elif self.down and self.pen:
            self.unknown.append(f"a line of pen {self.pen}")
        self.down, self.current = False, []

    def feed(self) -> None:
        self.lift()
        self.lettering = None
        self.start += self.length
        self.frame += 1

    @property
    def length(self) -> int:
        """Length of a frame; 0 for a plot without a window, which has only one frame."""
        return self.window[2] - self.window[0] if len(self.window) == 4 else 0

    def on_lay(self, point: Point) -> Point:
        """A point of the frame, measured from the cut end and the lower edge of the lay."""
        x0, y0 = self.window[:2] if len(self.window) == 4 else (0, 0)
        return point[0] - x0 + self.start, point[1] - y0

    def begin_text(self, height_mm: float) -> None:
        """What is drawn from now on, up to the next SI, are the letters of a text."""
        self.lift()
        self.letters_mm = height_mm
        self.lettering = StrokedText(self.on_lay(self.at), height_mm / _UNIT_MM, self.angle)

    def end_text(self) -> None:
        """Read the letters that were drawn, if there are any."""
        self.lift()
        lettering, self.lettering = self.lettering, None
        if lettering and self.pen in self.kinds:
            content, (x, y) = lettering.read()
            self.letter(content, (x * _UNIT_MM, y * _UNIT_MM))
        elif lettering and self.pen:
            self.unknown.append(f"a text of pen {self.pen}")

    def letter(self, content: str, place: tuple[float, float]) -> None:
        """Add a text with its middle at a place in millimetres."""
        kinds = self.kinds[self.pen]
        kind = Pen.LABEL if Pen.LABEL in kinds else kinds[0]
        self.texts.append(Text(kind, place, self.letters_mm, content, self.angle))


def read(data: bytes, pens: Mapping[Pen, int] | None = None) -> Drawing:
    """The drawing in an HP-GL file; ``within`` is the rounding to its units.

    ``pens`` are the numbers that it was plotted with if they are not the usual
    ones; 0 stands for a kind that is left out.

    Raises
    ------
    OrderError
        When the data are not HP-GL, or draw with instructions that are not read here.
    """
    kinds = _KINDS if pens is None else _by_number(pens)
    plot = _Plot(kinds)
    for name, numbers, text in _instructions(data):
        if text is not None:
            remedy = "plot the file again: the device decides how large its letters are"
            raise _order_error(text, remedy)
        if name in _BEYOND and (numbers or name not in ("SC", "IP", "RO")):
            remedy = "plot straight lines in plotter units, without scaling or turning"
            raise _order_error(name, remedy)
        if len(numbers) % 2 and name in ("PU", "PD", "PA", "PR", "DI"):
            raise _order_error(name, "coordinates come in pairs: plot the file again")
        if name in _FEEDS and not plot.length:
            raise _order_error(name, "give each frame its window (IW) before the paper is fed")
        plot.do(name, numbers)
    plot.lift()
    paths = tuple(map(_path, _join_frames(plot.strokes)))
    width, height = (plot.start + plot.length) * _UNIT_MM, 0.0
    if len(plot.window) == 4:
        height = (plot.window[3] - plot.window[1]) * _UNIT_MM
    within = math.sqrt(2) * PLOT_MM
    alike = tuple(frozenset(each) for each in kinds.values() if len(each) > 1)
    left_out = frozenset(Pen).difference(*kinds.values())
    return Drawing(
        "", width, height, paths, tuple(plot.texts), within, alike, left_out, tuple(plot.unknown)
    )


def _by_number(pens: Mapping[Pen, int]) -> _Kinds:
    """The kinds that each pen draws, in the order of the kinds."""
    kinds: dict[int, tuple[Pen, ...]] = {}
    for kind in Pen:
        number = pens.get(kind, 0)
        if number:
            kinds[number] = (*kinds.get(number, ()), kind)
    return kinds


def _instructions(data: bytes) -> Iterator[tuple[str, list[float], str | None]]:
    """Name, numbers and text of each instruction; only LB has a text."""
    at = 0
    while at < len(data):
        found = _INSTRUCTION.match(data, at)
        if found is None or found.end() == at:
            raise _order_error(
                data[at : at + 20].decode("latin-1"), "plot the file again, as HP-GL"
            )
        at = found.end()
        if found["text"] is not None:
            yield "LB", [], found["text"].decode("latin-1")
        elif found["name"] is not None:
            numbers = re.split(rb"[,\s]+", found["numbers"].strip(b", \r\n\t"))
            yield found["name"].decode().upper(), _floats(numbers), None


def _floats(numbers: list[bytes]) -> list[float]:
    try:
        values = [float(number) for number in numbers if number]
    except ValueError:
        raise _order_error(b",".join(numbers).decode("latin-1"), "plot the file again") from None
    if not all(abs(value) < 2**31 for value in values):
        raise _order_error(b",".join(numbers).decode("latin-1"), "no plotter reaches that far")
    return values


def _join_frames(strokes: list[_Stroke]) -> Iterator[_Stroke]:
    """The strokes, after joining those that were split at the edges of frames.

    Where several were split at one point, each continues in the order of the file. If
    fewer go on than end there, the last do: the shaft of an arrow comes before its head.
    """
    starts: dict[tuple[Pen, int, Point], list[int]] = defaultdict(list)
    for index, stroke in enumerate(strokes):
        if stroke.may_go_on:
            starts[stroke.pen, stroke.frame, stroke.points[0]].append(index)
    after: dict[int, int] = {}
    for index, stroke in reversed(list(enumerate(strokes))):
        for frame in (stroke.frame + 1, stroke.frame - 1) if stroke.may_go_on else ():
            waiting = starts[stroke.pen, frame, stroke.points[-1]]
            if waiting:
                after[index] = waiting.pop()
                break
    firsts = [i for i in range(len(strokes)) if i not in set(after.values())]
    done: set[int] = set()
    for index in (*firsts, *range(len(strokes))):
        if index not in done:
            yield _chain(strokes, after, index, done)


def _chain(strokes: list[_Stroke], after: dict[int, int], index: int, done: set[int]) -> _Stroke:
    """A stroke and all that follow it as one, without the joints that splitting made."""
    first = strokes[index]
    points = list(first.points)
    joints: set[Point] = set()
    done.add(index)
    while index in after:
        index = after[index]
        joints.add(points[-1])
        if index in done:
            break
        done.add(index)
        points += strokes[index].points[1:]
    return _Stroke(first.pen, first.frame, _without_joints(points, joints))


def _without_joints(points: list[Point], joints: set[Point]) -> list[Point]:
    """The points without those joints that lie on the straight line between their neighbours."""
    ring = len(points) > 1 and points[0] == points[-1]
    body = points[:-1] if ring else points
    count = len(body)
    kept = [
        point
        for i, point in enumerate(body)
        if point not in joints
        or (not ring and i in (0, count - 1))
        or not _between(body[i - 1], point, body[(i + 1) % count])
    ]
    return [*kept, kept[0]] if ring else kept


def _between(start: Point, point: Point, end: Point) -> bool:
    """Whether a point lies on the straight line between two others, up to rounding."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    across = abs(dx * (point[1] - start[1]) - dy * (point[0] - start[0]))
    along = dx * (point[0] - start[0]) + dy * (point[1] - start[1])
    return 0 <= along <= dx * dx + dy * dy and 2 * across <= math.hypot(dx, dy)


def _path(stroke: _Stroke) -> Path:
    points = stroke.points[:-1] if stroke.closed else stroke.points
    return Path(stroke.pen, tuple((x * _UNIT_MM, y * _UNIT_MM) for x, y in points), stroke.closed)


def _order_error(what: str, remedy: str) -> OrderError:
    rule = "must be a plot of straight lines in HP-GL"
    return OrderError([Fault("drawing", rule, written(what), remedy)])
