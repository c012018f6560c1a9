"""Full-size templates on sheets or on paper from a roll."""

from collections.abc import Sequence
from dataclasses import dataclass

from nesting.drawings.print.paper import A4, Paper, RollPaper
from nesting.exporters.templates.book import templates
from nesting.exporters.templates.on_roll import roll_templates
from nesting.exporters.templates.tiling import Printing
from nesting.panels.panel import Panel


@dataclass(frozen=True)
class TemplatePrinting:
    """Paper, what a printer cannot reach at each edge (millimetres), halves on the fold or not."""

    paper: Paper | RollPaper = A4
    margin: float = 10.0
    halves: bool = False


def printed_templates(
    panels: Sequence[Panel], order: str, units: str, printing: TemplatePrinting
) -> bytes:
    """The templates of panels as a PDF: sheets to be glued together, or pages off a roll.

    Raises
    ------
    OrderError
        When the margin is out of its limits or the paper too narrow.
    """
    paper, margin, halves = printing.paper, printing.margin, printing.halves
    if isinstance(paper, RollPaper):
        return roll_templates(panels, order, units, paper.width, margin=margin, in_halves=halves)
    return templates(panels, order, units, Printing(paper, margin, halves=halves))
