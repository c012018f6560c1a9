"""What every drawing format can say: paths and texts, each with a pen.

Coordinates are millimetres, x to the right, y up. A pen says what a line is,
not how it looks; each format decides on layer, colour and width.
"""

from dataclasses import dataclass
from enum import StrEnum


class Pen(StrEnum):
    """What a line or text on the cloth is."""

    CUT = "cut"
    STITCH = "stitch"
    GRAIN = "grain"
    NOTCH = "notch"
    LABEL = "label"
    SELVEDGE = "selvedge"


@dataclass(frozen=True, slots=True)
class Path:
    """A run of straight lines; a closed one does not repeat its first point."""

    pen: Pen
    points: tuple[tuple[float, float], ...]
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text, centred on ``at``; ``height`` of capitals, ``angle`` in degrees."""

    pen: Pen
    at: tuple[float, float]
    height: float
    content: str
    angle: float = 0.0


@dataclass(frozen=True)
class Drawing:
    """A sheet of paths and texts within (0, 0) to (width, height), in millimetres."""

    title: str
    width: float
    height: float
    paths: tuple[Path, ...]
    texts: tuple[Text, ...]
