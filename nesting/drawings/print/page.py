"""What a printed page can have: lines, words, and figures drawn once and shown often.

Coordinates are millimetres from the lower left corner of the page, x to the
right, y up. A pen of a drawing says what a line is; a `Look` says how a line
looks on paper. Everything is grey, so that any printer can show it.
"""

from dataclasses import dataclass
from enum import StrEnum

from nesting.drawings.drawing import one_line

Point = tuple[float, float]

#: Greatest length and width of a PDF page: 200 in (ISO 32000-1:2008, annex C.2).
LONGEST_PAGE_MM = 5080.0


@dataclass(frozen=True, slots=True)
class Look:
    """How a line looks: width and dashes in millimetres, grey from 0 (black) to 1 (white).

    ``fill`` is the grey inside a closed line; a ``width`` of 0 draws none.
    """

    width: float = 0.25
    grey: float = 0.0
    dashes: tuple[float, ...] = ()
    fill: float | None = None


@dataclass(frozen=True, slots=True)
class Stroke:
    """A run of straight lines; a closed one does not repeat its first point."""

    points: tuple[Point, ...]
    look: Look = Look()
    closed: bool = False


class Side(StrEnum):
    """Which part of a line of words its point is."""

    LEFT = "left"
    MIDDLE = "middle"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class Words:
    """One line of text: ``at`` is half-way up its capitals, ``height`` is their height.

    ``angle`` is in degrees anticlockwise. Characters that a line cannot have
    (line ends, controls) become blanks.
    """

    at: Point
    height: float
    content: str
    side: Side = Side.LEFT
    angle: float = 0.0
    grey: float = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "content", one_line(self.content))


@dataclass(frozen=True, eq=False)
class Figure:
    """Marks in their own frame, within ``box`` (least x, least y, greatest x, greatest y).

    A file stores a figure once, however often it is shown.
    """

    box: tuple[float, float, float, float]
    marks: tuple["Mark", ...]


@dataclass(frozen=True, slots=True)
class View:
    """A figure on a page: its origin is ``at`` a point, and it is ``scale`` times as large.

    It is turned about that point by ``turn`` degrees anticlockwise. If the view
    has a ``window`` (a box on the page), only the part inside is drawn.
    """

    figure: Figure
    at: Point
    scale: float = 1.0
    turn: float = 0.0
    window: tuple[float, float, float, float] | None = None


Mark = Stroke | Words | View


@dataclass(frozen=True)
class Page:
    """One page with its size in millimetres."""

    width: float
    height: float
    marks: tuple[Mark, ...]


def rectangle(x: float, y: float, width: float, height: float, look: Look = Look()) -> Stroke:
    """A rectangle with its least corner at (x, y)."""
    right, top = x + width, y + height
    return Stroke(((x, y), (right, y), (right, top), (x, top)), look, closed=True)


def line(start: Point, end: Point, look: Look = Look()) -> Stroke:
    """A straight line."""
    return Stroke((start, end), look)
