"""A strip: the panel, the sides that it runs along, and the rims that it is sewn to."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from nesting.panels.drafting.draft import EdgeUse, Joining, Seam
from nesting.panels.drafting.finished import FinishedPanel, rectangle
from nesting.panels.measurements import Measurement, MeasurementKind
from nesting.panels.panel import GrainRule

ACROSS: Final = "across"
ALONG: Final = "along"
ANY: Final = "any"

STRIP_GRAIN: Final = Measurement(
    "strip_grain",
    MeasurementKind.CHOICE,
    "how the run of the strip lies on the roll: across it, along it, or any way",
    default=ACROSS,
    choices=(ACROSS, ALONG, ANY),
)


def strips_measurement(
    default: int | str,
    name: str = "strips",
    what: str = "boxing",
    joined: str = "where its sides meet if they can be",
) -> Measurement:
    """The measurement that asks how many pieces a long strip is cut in."""
    meaning = f'pieces of {what}, joined {joined}; "auto": what saves most cloth'
    return Measurement(
        name, MeasurementKind.COUNT_OR_AUTO, meaning, default=default, least=1, greatest=48
    )


@dataclass(frozen=True)
class Side:
    """One side along which a strip runs: its name for people and its length.

    ``bends_mm`` are the places within it where a straight line meets a round.
    """

    name: str
    length_mm: float
    bends_mm: tuple[float, ...] = ()


@dataclass(frozen=True)
class Rim:
    """One plate, and its edges along each side of the strip.

    ``uses`` are in the order of the sides, for each side the edges that make
    it (two where the plate is halved there). ``edge`` is the strip's: along
    ``upper`` it meets a plate that runs with the sides, along ``lower`` one
    that lies face down and runs against them.
    """

    place: str
    uses: tuple[tuple[EdgeUse, ...], ...]
    edge: str


def rim_of(place: str, panel: str, edges: Sequence[str], edge: str, part: str = "") -> Rim:
    """The rim of one panel, by its edges in the order of the sides.

    ``part`` names the one that it is where several are alike.
    """
    return Rim(place, tuple((EdgeUse(panel, each, part=part),) for each in edges), edge)


@dataclass(frozen=True)
class Strip:
    """A long strip: its panels, all its seams, and how it is joined.

    ``ends`` names its first and its last piece; ``joins_mm`` are the places of
    its joins, from the start of the first side.
    """

    panels: tuple[FinishedPanel, ...]
    seams: tuple[Seam, ...]
    joining: Joining
    ends: tuple[str, str] = ("", "")
    joins_mm: tuple[float, ...] = ()


def strip_panel(name: str, per_item: int, run: float, depth: float, grain: object) -> FinishedPanel:
    """A strip of boxing with the edges ``lower``, ``end``, ``upper`` and ``start``.

    ``run`` goes round the plates, from start to end; ``depth`` from one plate
    to the other. Across the roll (and where any grain will do) it is drawn with
    the upper edge at the head of the grain.
    """
    drawn = rectangle(name, per_item, run, depth, ("lower", "end", "upper", "start"))
    if grain == ALONG:
        return drawn
    rule = GrainRule.ANY if grain == ANY else GrainRule.AS_DRAWN
    return replace(drawn.turned(270), grain_rule=rule)
