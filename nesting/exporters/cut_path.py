"""Orders a lay drawing for a plotting or cutting machine.

Every format names a pen, a layer or a group for each kind of line, and a
machine changes its tool from one kind to the next. So each kind that makes a
mark in the cloth is a *pass* of its own, from the start corner: notches, then
drill marks, cuts inside panels, and last the outlines, so that nothing is made
in a panel that has come loose. Lines that are only drawn go before them, pen
by pen.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from nesting.cut_order.method import CutOrder, cut_order
from nesting.drawings.drawing import Drawing, Pen
from nesting.units import format_length, to_grid

#: The passes of the head, in their order.
PASSES: Final = (Pen.NOTCH, Pen.DRILL, Pen.INNER_CUT, Pen.CUT)


class Corner(StrEnum):
    """Where the head starts: a corner of the cloth, by its end and its edge."""

    CUT_END_LOWER = "cut-end-lower"
    CUT_END_UPPER = "cut-end-upper"
    FAR_END_LOWER = "far-end-lower"
    FAR_END_UPPER = "far-end-upper"

    @property
    def words(self) -> str:
        """The corner in words, as in ``lower left``."""
        end, _, edge = self.rpartition("-")
        return f"corner at the {end.replace('-', ' ')} by the {edge} edge"

    def of(self, drawing: Drawing) -> tuple[float, float]:
        """The corner of a sheet, in millimetres."""
        end, _, edge = self.rpartition("-")
        x = 0.0 if end == "cut-end" else drawing.width
        return x, 0.0 if edge == "lower" else drawing.height


@dataclass(frozen=True)
class CutPath:
    """A drawing whose passes stand in their order of cutting, and each pass with its travel."""

    corner: Corner
    drawing: Drawing
    passes: Mapping[Pen, CutOrder]

    @property
    def cuts(self) -> CutOrder:
        """The pass of the outlines."""
        return self.passes[Pen.CUT]

    def titled_sentence(self, units: str) -> str:
        """The travel of the head between cuts, as a sentence for the machine and the drawing."""
        sentence = self.sentence(units)
        return f"Cutting machine, {self.drawing.title}: {sentence[0].lower()}{sentence[1:]}"

    def sentence(self, units: str) -> str:
        """The travel of the head between cuts, as a sentence with lengths in ``units``."""
        travel = self.cuts.travel
        given, nearest, after = (
            format_length(to_grid(way), units)
            for way in (travel.given, travel.nearest, travel.after)
        )
        return (
            f"Between cuts the head travels {after}, from the {self.corner.words}. "
            f"In the order of layout.json it would travel {given} "
            f"({100 * travel.below_given:.1f} % saved); always going on to the nearest cut, "
            f"{nearest} ({100 * travel.below_nearest:.1f} % saved)."
        )


def cut_path(drawing: Drawing, corner: Corner = Corner.CUT_END_LOWER) -> CutPath:
    """Order a lay drawing for cutting, with the least travel found from a corner of the cloth."""
    pens = dict.fromkeys(path.pen for path in drawing.paths if path.pen not in PASSES)
    drawn = [path for pen in pens for path in drawing.paths if path.pen is pen]
    passes = {
        pen: cut_order([path for path in drawing.paths if path.pen is pen], corner.of(drawing))
        for pen in PASSES
    }
    made = [path for pen in PASSES for path in passes[pen].paths]
    return CutPath(corner, replace(drawing, paths=(*drawn, *made)), passes)
