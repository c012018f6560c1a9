"""The length of one unit of a drawing, as its file or the order states it."""

import math
from typing import Final

from nesting.errors import Fault, OrderError

#: Millimetres in each unit that an order may name.
UNITS_MM: Final = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4}

_ASK: Final = 'add unit = "mm" below its name (or cm, m, in): the unit of the drawing\'s numbers'


def unit_mm(stated_mm: float | None, place: str, asked: str | None) -> float:
    """Millimetres of one unit of a drawing.

    ``stated_mm`` is what the file states at ``place``, ``asked`` the unit that
    the order names; each may be None.

    Raises
    ------
    OrderError
        When neither states the unit, or both do and differ.
    """
    if asked is None and stated_mm is None:
        rule = "the drawing or the order must say how long one unit is"
        raise OrderError([Fault(place, rule, "neither does", _ASK)])
    if asked is None:
        return float(stated_mm or 0)
    if stated_mm is not None and not math.isclose(stated_mm, UNITS_MM[asked], rel_tol=1e-6):
        rule = f"one unit of the drawing is {stated_mm:.6g} mm, but the order says {asked}"
        remedy = (
            "remove unit from the order if the drawing is right, or save the drawing in the right"
            " unit"
        )
        raise OrderError([Fault(place, rule, "", remedy)])
    return UNITS_MM[asked]
