"""What every drawing format can express: paths and texts, each with a pen.

Coordinates are in millimetres, x to the right, y up. A pen says what a line
is, not how it looks; each format chooses layer, colour and width.
"""

import unicodedata
from dataclasses import dataclass
from enum import StrEnum

#: Unicode categories that a line of text cannot have (controls, surrogates, line
#: and paragraph ends), and two more code points that XML forbids.
_UNWRITABLE = frozenset({"Cc", "Cs", "Zl", "Zp"})
_NO_CHARACTERS = frozenset("\ufffe\uffff")


class Pen(StrEnum):
    """What a line or text on the cloth is; only ``CUT`` and ``INNER_CUT`` go through it.

    ``CUT`` is the outline of a panel, ``INNER_CUT`` a slit or a cut-out inside one.
    """

    CUT = "cut"
    STITCH = "stitch"
    GRAIN = "grain"
    NOTCH = "notch"
    DRILL = "drill"
    LABEL = "label"
    SELVEDGE = "selvedge"
    FLAW = "flaw"
    INNER_LINE = "inner-line"
    INNER_CUT = "inner-cut"


@dataclass(frozen=True, slots=True)
class Path:
    """A run of straight lines; a closed one does not repeat its first point.

    A path of a single point is a mark that a punch makes there.
    """

    pen: Pen
    points: tuple[tuple[float, float], ...]
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text, centred on ``at``; ``height`` of capitals, ``angle`` in degrees.

    Characters that a line cannot have (line ends, controls) become blanks.
    """

    pen: Pen
    at: tuple[float, float]
    height: float
    content: str
    angle: float = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "content", one_line(self.content))


@dataclass(frozen=True)
class Drawing:
    """A sheet of paths and texts within (0, 0) to (width, height), in millimetres.

    ``within`` is how far its lines may be from the intended ones: a format may
    round coordinates, or store arcs in place of chords. A file may not tell
    apart some kinds of line (``alike``): its paths have the pen of one of them.
    Kinds may be ``left_out`` of it. ``unknown`` names what else its file draws, of
    which the reader knows no kind. ``comments`` are sentences for whoever opens the
    file, where its format has a place for them; readers pass over them.
    """

    title: str
    width: float
    height: float
    paths: tuple[Path, ...]
    texts: tuple[Text, ...]
    within: float = 0.0
    alike: tuple[frozenset[Pen], ...] = ()
    left_out: frozenset[Pen] = frozenset()
    unknown: tuple[str, ...] = ()
    comments: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "title", one_line(self.title))

    def told_as(self, pen: Pen) -> tuple[Pen, ...]:
        """The kinds that are not told apart from a kind, itself among them."""
        alike = next((kinds for kinds in self.alike if pen in kinds), frozenset({pen}))
        return tuple(each for each in Pen if each in alike)


def one_line(text: str) -> str:
    """The text with a blank for every character that a line of text cannot have."""
    return "".join(
        " " if unicodedata.category(c) in _UNWRITABLE or c in _NO_CHARACTERS else c for c in text
    )
