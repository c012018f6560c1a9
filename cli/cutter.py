"""Options for machines that cut: where the head starts."""

from typing import TYPE_CHECKING, Annotated

import typer

from nesting.errors import Fault, OrderError, written

if TYPE_CHECKING:
    from nesting.exporters.cut_path import Corner

StartCorner = Annotated[
    str,
    typer.Option(
        "--start-corner",
        metavar="CORNER",
        help="Where the head of a cutter starts: cut-end-lower, cut-end-upper, "
        "far-end-lower or far-end-upper.",
    ),
]


def read_corner(text: str) -> "Corner":
    """Read the corner of the cloth where the head starts.

    Raises
    ------
    OrderError
        When it is not one of the four.
    """
    from nesting.exporters.cut_path import Corner

    if text not in tuple(Corner):
        rule = f"must be one of {', '.join(Corner)}"
        raise OrderError([Fault("--start-corner", rule, written(text), "cut-end-lower")])
    return Corner(text)
