"""Boxing: the strip that stands between two plates."""

from dataclasses import replace
from typing import Final

from nesting.panels.drafting.finished import FinishedPanel, rectangle
from nesting.panels.panel import GrainRule
from nesting.panels.product import Measurement, MeasurementKind

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


def strip(name: str, per_item: int, run: float, depth: float, grain: object) -> FinishedPanel:
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
