"""Paper to print on: sheets of a standard size, or a roll."""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet in portrait orientation, in millimetres."""

    name: str
    width: float
    height: float

    @property
    def landscape(self) -> "Paper":
        """The same sheet in landscape orientation."""
        return Paper(self.name, self.height, self.width)


#: Sizes of ISO 216 and ANSI/ASME Y14.1, each from the usual sheet of desk printers upward.
A_SERIES: Final = (
    Paper("A4", 210, 297),
    Paper("A3", 297, 420),
    Paper("A2", 420, 594),
    Paper("A1", 594, 841),
    Paper("A0", 841, 1189),
)
INCH_SERIES: Final = (
    Paper("Letter", 215.9, 279.4),
    Paper("Tabloid", 279.4, 431.8),
    Paper("C", 431.8, 558.8),
    Paper("D", 558.8, 863.6),
    Paper("E", 863.6, 1117.6),
)
A4: Final = A_SERIES[0]
LETTER: Final = INCH_SERIES[0]


def desk_paper(units: str) -> Paper:
    """The usual sheet of desk printers where people measure in these units."""
    return LETTER if units == "in" else A4


@dataclass(frozen=True, slots=True)
class RollPaper:
    """Paper from a roll, of any length; its width is in millimetres."""

    width: float
