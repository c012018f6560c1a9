"""Welt: a strip folded round a cord, sewn into a seam between its two cloths.

It is cut alone, for any seam (the product ``welt``), or with an article whose
seams have one (`nesting.panels.parts.welt.in_seams`).

The strip is as wide as the cord is round, and an allowance on either side
(upholstery workrooms: circumference + 2 allowances). Cut on the bias it bends
round corners and curves; its pieces are then cut at 45° and end on the grain,
so that a join lies slantwise and is not felt.
"""

import math
from dataclasses import replace
from enum import StrEnum
from typing import Final

from nesting.errors import Fault
from nesting.panels.drafting.draft import EdgeUse, Seam, SeamRole
from nesting.panels.drafting.finished import EdgeSort, FinishedPanel, polygon
from nesting.panels.drafting.sewing import Step, Stitch
from nesting.panels.measurements import Measurement
from nesting.panels.parts.strips.long_strip import long_strip
from nesting.panels.parts.strips.strip import ACROSS, ALONG, Side, Strip, strips_measurement
from nesting.sentences import Sentence, at_least


class WeltCut(StrEnum):
    """How the length of a welt strip lies on the cloth."""

    BIAS = "bias"
    ACROSS = ACROSS
    ALONG = ALONG


#: Millimetres that the end of a welt lies over its beginning (common practice).
OVERLAP_MM: Final = 30.0

#: The words for the ways of cutting in an order.
CUTS: Final = tuple(each.value for each in WeltCut)

#: Greatest length of one piece in millimetres until the plan chooses their number.
_USUAL_PIECE: Final = 1_200.0


def strip_width(cord_mm: float) -> float:
    """Width of the strip between its stitch lines: once round the cord."""
    return math.pi * cord_mm


def pieces_measurement(name: str, what: str) -> Measurement:
    """The measurement that asks how many pieces a welt is cut in."""
    return strips_measurement("auto", name, what, joined="end to end")


def usual_pieces(length_mm: float) -> int:
    """The number of pieces of a strip that can be cut from most cloths."""
    return max(1, math.ceil(length_mm / _USUAL_PIECE))


def welt_strip(
    length_mm: float,
    cord_mm: float,
    cut: WeltCut,
    pieces: int,
    *,
    measurement: str = "strips",
    strips: int = 1,
) -> Strip:
    """A strip of welt in equal pieces, joined end to end.

    Parameters
    ----------
    length_mm
        The seam it is for, and the overlap where the ends meet.
    cord_mm
        Diameter of the cord.
    measurement
        The key by which the order asks for ``pieces``.
    strips
        How many such strips there are; ``pieces`` is of each.
    """
    grain = ACROSS if cut is WeltCut.ACROSS else ALONG
    width = strip_width(cord_mm)
    run = Side("its length", length_mm)
    plain = long_strip(
        "welt", [run], width, pieces, grain, (), measurement=measurement, closed=False
    )
    (panel,) = plain.panels
    if cut is WeltCut.BIAS:
        panel = _slanted(panel, length_mm / pieces, width)
    sorts = {"start": EdgeSort.HEM, "end": EdgeSort.HEM} if pieces == 1 else {}
    panel = replace(panel, per_item=strips * pieces, sorts=sorts, folded=True)
    joins = tuple(
        replace(join, times=strips * join.times, role=SeamRole.WELT) for join in plain.seams
    )
    around = Seam(
        "welt round its cord",
        (EdgeUse(panel.name, "lower"),),
        (EdgeUse(panel.name, "upper"),),
        times=strips * pieces,
        role=SeamRole.WELT,
    )
    return replace(plain, panels=(panel,), seams=(*joins, around))


def pieces_faults(
    key: str, length_mm: float, cord_mm: float, pieces: int, allowance_mm: float
) -> tuple[Fault, ...]:
    """Pieces of a strip that are shorter than they are cut wide; ``key`` asks for their number."""
    least = strip_width(cord_mm) + 2 * allowance_mm
    if length_mm / pieces >= least:
        return ()
    words = "each piece must be at least as long as it is cut wide ({})"
    rule = Sentence(words, (at_least(least),))
    fewer = "cut it in fewer pieces, or take a thinner cord"
    return (Fault(key, rule, f"{pieces}", fewer if pieces > 1 else "take a thinner cord"),)


def welt_steps(strip: Strip, cut: WeltCut, onto: Step, overlap_mm: float) -> tuple[Step, ...]:
    """The steps from the pieces to a finished welt sewn ``onto`` its seam."""
    *joins, around = (seam.name for seam in strip.seams)
    slanted = "two ends at a right angle, right sides together, the seam along the grain"
    way = slanted if cut is WeltCut.BIAS else "end to end, right sides together"
    joining = f"join the pieces of welt, {way}; press the joins open"
    closing = (
        "where its ends meet, open the strip, cut the cord so that it butts, turn one raw end in "
        "and lay it over the other by {}"
    )
    folding = "fold the strip round the cord, right side out, and sew close to it with a cord foot"
    return (
        *([Step(joining, tuple(joins))] if joins else ()),
        Step(folding, (around,)),
        onto,
        Step(closing, stitch=Stitch.NONE, lengths_mm=(overlap_mm,)),
    )


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
