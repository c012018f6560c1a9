"""Options of printed templates: paper, margin, and halves to cut on the fold."""

from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, Final

import typer

from cli.options import read_length
from nesting.errors import Fault, OrderError, written

if TYPE_CHECKING:
    from nesting.drawings.print.paper import Paper as SheetPaper
    from nesting.drawings.print.paper import RollPaper
    from nesting.exporters.templates.printing import TemplatePrinting

_MARGIN_MM: Final = 10.0

Paper = Annotated[
    str | None,
    typer.Option(
        "--paper",
        metavar="PAPER",
        help="Paper of templates: a4, letter, or the width of a roll.  [default: by the units]",
    ),
]
Margin = Annotated[
    str | None,
    typer.Option(
        "--margin", metavar="LENGTH", help="Edge that the printer cannot reach.  [default: 10 mm]"
    ),
]
OnFold = Annotated[
    bool,
    typer.Option("--fold", help="Print symmetric panels as halves, to cut on the fold."),
]


def read_printing(
    paper: str | None, margin: str | None, units: str, *, on_fold: bool
) -> "TemplatePrinting":
    """Read the options of printed templates; lengths without a unit are in ``units``.

    Raises
    ------
    OrderError
        With every option whose value is wrong.
    """
    from nesting.drawings.print.paper import desk_paper
    from nesting.exporters.templates.printing import TemplatePrinting
    from nesting.exporters.templates.tiling import margin_faults

    faults: list[Fault] = []
    chosen: SheetPaper | RollPaper = desk_paper(units)
    edge = _MARGIN_MM
    try:
        chosen = chosen if paper is None else _paper(paper, units)
    except OrderError as error:
        faults += error.faults
    try:
        edge = edge if margin is None else read_length("--margin", margin, units)
    except OrderError as error:
        faults += error.faults
    faults += (replace(fault, place="--margin") for fault in margin_faults(edge))
    if faults:
        raise OrderError(faults)
    return TemplatePrinting(chosen, edge, on_fold)


def _paper(text: str, units: str) -> "SheetPaper | RollPaper":
    from nesting.drawings.print.paper import A4, LETTER, RollPaper
    from nesting.exporters.templates.on_roll import roll_faults

    named = {paper.name.lower(): paper for paper in (A4, LETTER)}
    name = text.strip().lower()
    if name in named:
        return named[name]
    try:
        width = read_length("--paper", text, units)
    except OrderError as error:
        rule = "must be a4, letter, or the width of a roll of paper"
        remedy = 'for example --paper a4 or --paper "36 in"'
        raise OrderError([Fault("--paper", rule, written(text), remedy)]) from error
    if faults := roll_faults(width):
        raise OrderError([replace(fault, place="--paper") for fault in faults])
    return RollPaper(width)
