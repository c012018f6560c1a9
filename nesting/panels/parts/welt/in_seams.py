"""Welt in the seams of an article: its keys, and what it adds to the draft.

A product whose plates may be welted adds `welt_measurements` to its own, asks
`welted` with the rims of its plates, and takes its faults from `welt_faults`.
Every rim gets a strip as long as its stitch line and an overlap. It is begun in
the middle of a side, or beside it where a join would else fall on a corner or
its beginning on a join of the boxing.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate
from typing import Final

from nesting.errors import Fault
from nesting.panels.drafting.draft import Draft, EdgeUse, Fact, Joining, Seam, SeamRole
from nesting.panels.drafting.finished import FinishedPanel
from nesting.panels.drafting.sewing import Notion, Step, cord
from nesting.panels.measurements import (
    Measurement,
    MeasurementKind,
    Values,
    length,
    number_or,
    word,
)
from nesting.panels.parts.strips.strip import Rim, Side
from nesting.panels.parts.welt.welt_strip import (
    CUTS,
    OVERLAP_MM,
    WeltCut,
    pieces_faults,
    pieces_measurement,
    strip_width,
    usual_pieces,
    welt_steps,
    welt_strip,
)

#: Distance in millimetres of welt joins from corners, where they would be too thick
#: to turn (common practice: more than the overlap).
_CLEAR: Final = 40.0

#: Step by which the start is moved until they do, and the most it is moved (mm).
_STEP: Final = 10
_FARTHEST: Final = 200.0

_PIECES: Final = "welt_strips"


def welt_measurements(where: str) -> tuple[Measurement, ...]:
    """The keys by which an order asks for welt; ``where`` names the seams that get it."""
    return (
        Measurement(
            "welt_cord",
            MeasurementKind.LENGTH,
            f"diameter of the cord of a welt (piping) in {where}; default: no welt",
            least=2.0,
            greatest=50.0,
            outside=True,
        ),
        Measurement(
            "welt_cut",
            MeasurementKind.CHOICE,
            "its strip on the bias, or straight across or along the roll; default: on the bias",
            choices=CUTS,
            outside=True,
        ),
        replace(pieces_measurement(_PIECES, "each welt"), outside=True),
    )


@dataclass(frozen=True)
class Welted:
    """What welt adds to a draft; empty if the order asks for none."""

    panels: tuple[FinishedPanel, ...] = ()
    seams: tuple[Seam, ...] = ()
    facts: tuple[Fact, ...] = ()
    joinings: tuple[Joining, ...] = ()
    steps: tuple[Step, ...] = ()
    notions: tuple[Notion, ...] = ()

    @property
    def near(self) -> str:
        """Words to append to the step of a seam that holds the welt."""
        return ", close to the cord with a cord foot" if self.steps else ""

    def added_to(self, draft: Draft) -> Draft:
        """The draft with the welt added; the product places the welt's steps itself."""
        return replace(
            draft,
            panels=(*draft.panels, *self.panels),
            seams=(*draft.seams, *self.seams),
            facts=(*draft.facts, *self.facts),
            joinings=(*draft.joinings, *self.joinings),
            notions=(*draft.notions, *self.notions),
        )


def welted(
    values: Values,
    sides: Sequence[Side],
    rims: Sequence[Rim],
    back: int | None = None,
    joins_mm: Sequence[float] = (),
) -> Welted:
    """The welt round every rim, if the order asks for it.

    Parameters
    ----------
    sides
        From corner to corner round a rim; all rims are alike. One side alone
        has no corners.
    rims
        What a welt is sewn to, each with its place.
    back
        Index of the side in whose middle it is begun; the longest if None.
    joins_mm
        Places of the joins of the boxing round the rims, from the start of the
        first side.
    """
    if values["welt_cord"] is None:
        return Welted()
    diameter, cut = length(values, "welt_cord"), _cut(values)
    run, pieces = _run(sides), _pieces(values, _run(sides))
    strip = welt_strip(run, diameter, cut, pieces, measurement=_PIECES, strips=len(rims))
    (panel,) = strip.panels
    along = tuple(
        Seam(
            f"welt at {rim.place}",
            (EdgeUse(panel.name, "lower", times=pieces),),
            tuple(use for uses in rim.uses for use in uses),
            overlap_mm=OVERLAP_MM,
            role=SeamRole.WELT,
            rim=rim.place,
        )
        for rim in rims
    )
    where = " and of ".join(f"the {rim.place}" for rim in rims)
    onto = _sewn_on(where, sides, back, pieces, along, joins_mm)
    return Welted(
        panels=strip.panels,
        seams=(*strip.seams, *along),
        facts=(
            Fact("each welt: {} long when joined, {} of it overlap", (run, OVERLAP_MM)),
            Fact(
                "welt cord {} thick is {} round: the strip between its stitch lines",
                (diameter, strip_width(diameter)),
            ),
        ),
        joinings=(replace(strip.joining, strip="each welt"),),
        steps=welt_steps(strip, cut, onto, OVERLAP_MM),
        notions=(cord(run, diameter, len(rims)),),
    )


def welt_faults(values: Values, sides: Sequence[Side], allowance_mm: float) -> tuple[Fault, ...]:
    """Keys without effect if there is no cord, and pieces shorter than they are wide."""
    if values["welt_cord"] is not None:
        run, diameter = _run(sides), length(values, "welt_cord")
        return pieces_faults(_PIECES, run, diameter, _pieces(values, run), allowance_mm)
    rule, remedy = "has no effect without welt", "add welt_cord, or remove this"
    return tuple(
        Fault(key, rule, f"{values[key]}", remedy)
        for key, absent in (("welt_cut", None), (_PIECES, "auto"))
        if values[key] != absent
    )


def _cut(values: Values) -> WeltCut:
    return WeltCut.BIAS if values["welt_cut"] is None else WeltCut(word(values, "welt_cut"))


def _run(sides: Sequence[Side]) -> float:
    return sum(side.length_mm for side in sides) + OVERLAP_MM


def _pieces(values: Values, run: float) -> int:
    return number_or(values, _PIECES, usual_pieces(run))


def _sewn_on(
    where: str,
    sides: Sequence[Side],
    back: int | None,
    pieces: int,
    seams: Sequence[Seam],
    joins_mm: Sequence[float],
) -> Step:
    """The step that sews the welt round its rims and says where to start."""
    names = tuple(seam.name for seam in seams)
    onto = f"sew a welt to the right side of {where}, raw edges together"
    if len(sides) == 1:
        words = f"{onto}; start midway between two notches; clip its allowance every 10 to 15 mm"
        return Step(words, names)
    lengths = [side.length_mm for side in sides]
    index = lengths.index(max(lengths)) if back is None else back
    aside, why = _aside(lengths, index, pieces, joins_mm)
    begun = (
        f"start {'{} beside' if aside else 'in'} the middle of {_with_article(sides[index].name)}"
    )
    turn = "clip its allowance at each corner and turn there with the needle down"
    if any(side.bends_mm for side in sides):
        turn = "clip its allowance every 10 to 15 mm round the corners"
    return Step(f"{onto}; {begun}{why}; {turn}", names, lengths_mm=(aside,) if aside else ())


def _with_article(name: str) -> str:
    """A side's name in a sentence: the back, but side 4."""
    return name if name[-1].isdigit() else f"the {name}"


def _aside(
    lengths: Sequence[float], index: int, pieces: int, joins_mm: Sequence[float]
) -> tuple[float, str]:
    """How far beside the middle of a side a welt is begun, and why there, in words.

    Its joins keep clear of corners, and its beginning of the joins of the
    boxing, whichever way it is sewn and to whichever side of the middle the
    beginning is moved; the beginning alone where all joins cannot near the middle,
    and where no place is clear the one farthest from what it should keep from.
    """
    corners = list(accumulate(lengths))
    around = corners[-1]
    middle, piece = corners[index] - lengths[index] / 2, (around + OVERLAP_MM) / pieces

    def clear(aside: float, joins: int, others: Sequence[float]) -> float:
        return min(
            abs(math.remainder(begun + way * i * piece - other, around))
            for begun in (middle - aside, middle + aside)
            for way in (-1, 1)
            for i in range(joins + 1)
            for other in others
        )

    ends = (*corners, *joins_mm)
    tried = [float(aside) for aside in range(0, int(min(lengths[index] / 2, _FARTHEST)) + 1, _STEP)]
    begun = [aside for aside in tried if clear(aside, 0, ends) >= _CLEAR]
    best = next((aside for aside in begun if clear(aside, pieces, corners) >= _CLEAR), None)
    if best is None:
        return begun[0] if begun else max(tried, key=lambda aside: clear(aside, 0, ends)), ""
    boxed = ", nor its beginning on a join of the boxing" if joins_mm else ""
    return best, f", so that no join falls on a corner{boxed}"
