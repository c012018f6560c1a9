"""Cloth that is left over in pieces worth keeping."""

from itertools import islice
from string import ascii_uppercase
from typing import Final

from nesting.layouts.lay import ClothLay
from nesting.reports.vacancy import Box, vacancies
from nesting.units import CM, IN, MM

#: Least length and width of a remnant by unit (our choice): smaller pieces are not put on a shelf.
LEAST: Final = {"mm": 10 * CM, "cm": 10 * CM, "in": 4 * IN}

#: More of them are not listed: nobody looks for the twenty-first.
MOST: Final = 20

#: Outlines are looked at in slices of this length: a remnant beside a slanted
#: edge may be twice as much shorter than it could be.
_SLICE = 5 * MM


def remnants(lay: ClothLay, units: str) -> tuple[Box, ...]:
    """Rectangles along the grain that stay whole when all panels are cut, the largest first.

    They lie between the selvedges and clear of the allowance at either end of
    what is bought, so what the buying step adds joins the end of the lay.
    They touch panels and each other at most; each is the largest that the
    ones before it leave, at least `LEAST` in both directions, at most `MOST`.
    """
    cloth, end = lay.cloth, lay.cloth.end_allowance
    region = Box(end, cloth.selvedge, lay.buy_length - end, cloth.width - cloth.selvedge)
    outlines = [placed.outline for placed in lay.placed]
    return tuple(islice(vacancies(region, outlines, LEAST[units], _SLICE), MOST))


def letter(number: int) -> str:
    """Name of a remnant, from 1: A to Z, then AA, AB and so on."""
    name = ""
    while number:
        number, digit = divmod(number - 1, len(ascii_uppercase))
        name = ascii_uppercase[digit] + name
    return name
