"""Welt: a strip folded round a cord, sewn into a seam between its two cloths.

The strip is as wide as the cord is round, and an allowance on either side
(upholstery workrooms: circumference + 2 allowances). Cut on the bias it bends
round corners and curves; its pieces are then cut at 45° and end on the grain,
so that a join lies slantwise and is not felt.
"""

import math
from dataclasses import replace
from enum import StrEnum
from typing import Final

from nesting.panels.boxing import ACROSS, ALONG
from nesting.panels.draft import EdgeUse, Seam
from nesting.panels.finished import EdgeSort, FinishedPanel, polygon
from nesting.panels.strips import Side, Strip, long_strip


class Cut(StrEnum):
    """How the run of a welt strip lies on the cloth."""

    BIAS = "bias"
    ACROSS = ACROSS
    ALONG = ALONG


#: Millimetres of strip in one piece where their number is left to the plan at first.
_USUAL_PIECE: Final = 1_200.0


def strip_width(cord_mm: float) -> float:
    """Width of the strip between its stitch lines: once round the cord."""
    return math.pi * cord_mm


def usual_pieces(length_mm: float) -> int:
    """Pieces of a strip that come out of most cloths."""
    return max(1, math.ceil(length_mm / _USUAL_PIECE))


def welt_strip(
    length_mm: float,
    cord_mm: float,
    cut: Cut,
    pieces: int,
) -> Strip:
    """A strip of welt, its pieces alike and joined end to end.

    Parameters
    ----------
    length_mm
        The seam it is for, and the overlap where the ends meet.
    cord_mm
        Diameter of the cord.
    """
    grain = ACROSS if cut is Cut.ACROSS else ALONG
    width = strip_width(cord_mm)
    run = Side("its length", length_mm)
    plain = long_strip("welt", [run], width, pieces, grain, (), closed=False)
    (panel,) = plain.panels
    if cut is Cut.BIAS:
        panel = _slanted(panel, length_mm / pieces, width)
    if pieces == 1:
        panel = replace(panel, sorts={"start": EdgeSort.HEM, "end": EdgeSort.HEM})
    around = Seam(
        "welt round its cord",
        (EdgeUse(panel.name, "lower"),),
        (EdgeUse(panel.name, "upper"),),
        times=pieces,
    )
    return replace(plain, panels=(panel,), seams=(*plain.seams, around))


def _slanted(panel: FinishedPanel, run: float, width: float) -> FinishedPanel:
    """The same strip at 45° to the grain, its ends along the grain."""
    end, way = width * math.sqrt(2), run / math.sqrt(2)
    corners = {
        "start": (0.0, 0.0),
        "lower": (end, 0.0),
        "end": (end + way, way),
        "upper": (way, way),
    }
    return polygon(panel.name, panel.per_item, corners, grain_rule=panel.grain_rule)
