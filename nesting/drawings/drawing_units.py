"""How long one unit of a drawing is: stated in the file, or by whoever has it read."""

import math
from typing import Final

from nesting.errors import Fault, OrderError

#: Millimetres in each unit that can be asked for.
UNITS_MM: Final = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4}

_ASK: Final = 'add unit = "mm" to the item (or cm, m, in): the unit of the drawing\'s numbers'


def unit_mm(stated_mm: float | None, stated: str, asked: str | None) -> float:
    """Millimetres of one unit of a drawing; ``stated`` says what stands in the file.

    Raises
    ------
    OrderError
        When neither says it, or both do and differ.
    """
    if asked is None and stated_mm is None:
        rule = "the drawing must say how long one unit is, or the order must"
        raise OrderError([Fault(stated, rule, "neither does", _ASK)])
    if asked is None:
        return float(stated_mm or 0)
    if stated_mm is not None and not math.isclose(stated_mm, UNITS_MM[asked], rel_tol=1e-6):
        rule = f"one unit of the drawing is {stated_mm:.6g} mm, the order says {asked}"
        remedy = "take unit out of the item if the drawing is right, or save it in the right unit"
        raise OrderError([Fault(stated, rule, "", remedy)])
    return UNITS_MM[asked]
