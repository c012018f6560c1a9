"""The tool that follows a drawing on a machine: a pen draws all of it, a knife a part."""

from collections.abc import Mapping
from enum import StrEnum
from typing import Final

from nesting.drawings.drawing import Pen


class Tool(StrEnum):
    """What stands in the head of a machine."""

    PEN = "pen"
    KNIFE = "knife"


#: The kinds of line that a knife or a punch follows; a drill mark is a point for it.
FOLLOWED: Final = (Pen.NOTCH, Pen.DRILL, Pen.INNER_CUT, Pen.CUT)


def pens_followed(pens: Mapping[Pen, int]) -> dict[Pen, int]:
    """The pens of a file for a knife: a kind that it leaves out shares none with one it holds."""
    taken = {pens.get(kind, 0) for kind in FOLLOWED}
    return {k: number for k, number in pens.items() if k in FOLLOWED or number not in taken}
