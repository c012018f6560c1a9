"""Pieces of cloth that are left over and worth keeping."""

from collections.abc import Iterator
from itertools import islice
from string import ascii_uppercase
from typing import Final

import shapely

from nesting.geometry.outline import Outline
from nesting.layouts.cloth_figure import cloth_figure, outlines_of
from nesting.layouts.lay import ClothLay
from nesting.reports.vacancy import Box, vacancies
from nesting.units import CM, IN, MM

#: Least length and width of a remnant by unit (our choice): smaller pieces are not worth keeping.
LEAST: Final = {"mm": 10 * CM, "cm": 10 * CM, "in": 4 * IN}

#: Most remnants that are listed.
MOST: Final = 20

#: Outlines are sliced at this length (grid units): beside a slanted edge a remnant may be
#: shorter than possible by up to twice as much.
_SLICE = 5 * MM


def remnants(lay: ClothLay, units: str) -> tuple[Box, ...]:
    """Rectangles along the grain that stay whole when all panels are cut, the largest first.

    They lie between the selvedges and between the end allowances of the piece, or
    of the bought length, which includes what the buying step adds. They are clear
    of flaws, holes and splices and inside the edge. They may touch panels and
    each other. Each is the largest that those before it leave, and at least
    `LEAST` in both directions; there are at most `MOST`.
    """
    cloth, end = lay.cloth, lay.cloth.end_allowance
    region = Box(end, cloth.selvedge, lay.cloth_length - end, cloth.width - cloth.selvedge)
    if not region.holds(LEAST[units]):
        return ()
    outlines = [*(placed.outline for placed in lay.placed), *_unsound(lay, region)]
    return tuple(islice(vacancies(region, outlines, LEAST[units], _SLICE), MOST))


def _unsound(lay: ClothLay, region: Box) -> Iterator[Outline]:
    """What is no sound cloth in a region: flaws, splices, holes, the outside of the edge."""
    if lay.on.is_plain:
        return
    figure = cloth_figure(lay)
    yield from (flaw.outline for flaw in figure.flaws)
    for x in lay.on.splices:
        ends = ((x - MM, region.y0), (x + MM, region.y0), (x + MM, region.y1), (x - MM, region.y1))
        yield Outline(ends)
    box = shapely.box(region.x0, region.y0, region.x1, region.y1)
    yield from outlines_of(box.difference(figure.usable))


def letter(number: int) -> str:
    """Name of a remnant, from 1: A to Z, then AA, AB and so on."""
    name = ""
    while number:
        number, digit = divmod(number - 1, len(ascii_uppercase))
        name = ascii_uppercase[digit] + name
    return name
