"""Options for machines: the tool in their head, and where the head starts."""

from typing import TYPE_CHECKING, Annotated

import typer

from nesting.errors import Fault, OrderError, written

if TYPE_CHECKING:
    from nesting.drawings.tool import Tool
    from nesting.exporters.cut_path import Corner
    from nesting.exporters.formats import Format

MachineTool = Annotated[
    str | None,
    typer.Option(
        "--tool",
        metavar="TOOL",
        help="What drawings for machines are for: pen (everything is drawn), or knife (only cuts, "
        "notches and drill marks).  [default: pen]",
    ),
]
StartCorner = Annotated[
    str,
    typer.Option(
        "--start-corner",
        metavar="CORNER",
        help="Where the head of a cutter starts: cut-end-lower, cut-end-upper, "
        "far-end-lower or far-end-upper.",
    ),
]


def read_tool(
    text: str | None, formats: tuple["Format", ...], machines: tuple["Format", ...]
) -> "Tool":
    """Read the tool that drawings in the formats of machines are for; a pen unless it is given.

    Raises
    ------
    OrderError
        When it is neither a pen nor a knife, or no drawing for a machine is asked for.
    """
    from nesting.drawings.tool import Tool

    if text is None:
        return Tool.PEN
    if text not in tuple(Tool):
        raise OrderError([Fault("--tool", "must be pen or knife", written(text), "--tool knife")])
    if not set(machines).intersection(formats):
        rule = f"applies only to drawings for machines: {', '.join(machines)}"
        remedy = f"leave it out, or ask for one, for example --formats {machines[-1]}"
        raise OrderError([Fault("--tool", rule, written(text), remedy)])
    return Tool(text)


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
