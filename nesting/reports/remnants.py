"""Pieces of cloth that are left over and worth keeping."""

from collections.abc import Iterator, Sequence
from itertools import islice
from string import ascii_uppercase
from typing import Final

import shapely

from nesting.cloth.cloth import Cloth
from nesting.geometry.outline import Outline
from nesting.layouts.cloth_figure import cloth_figure, outlines_of
from nesting.layouts.cutting_list import allowed_turns
from nesting.layouts.lay import ClothLay
from nesting.panels.panel import Panel
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
    """Rectangles along the grain that stay whole when all panels are cut.

    The end of the cloth comes first, over its whole width, then the largest. They
    lie between the selvedges and between the end allowances of the piece, or of
    the bought length, which includes what the buying step adds. They are clear of
    flaws, holes and splices and inside the edge. They may touch panels and each
    other. Each is at least `LEAST` in both directions; there are at most `MOST`.
    """
    cloth, end = lay.cloth, lay.cloth.end_allowance
    region = Box(end, cloth.selvedge, lay.cloth_length - end, cloth.width - cloth.selvedge)
    if not region.holds(LEAST[units]):
        return ()
    panels = [placed.outline for placed in lay.placed]
    return tuple(worth_keeping(region, panels, [*_unsound(lay, region)], LEAST[units]))


def worth_keeping(
    region: Box, panels: Sequence[Outline], unsound: Sequence[Outline], least: int
) -> Iterator[Box]:
    """The end of a region behind all panels if it is sound, then the largest rectangles left.

    A workroom keeps the end of a roll in one piece; the largest rectangle alone
    might take a bite out of it (common practice).
    """
    last = max((panel.bounds[2] for panel in panels), default=region.x0)
    end = Box(max(last, region.x0), region.y0, region.x1, region.y1)
    whole = end.x1 > end.x0 and end.holds(least)
    if whole and not any(_meets(end, outline) for outline in unsound):
        yield end
        region = Box(region.x0, region.y0, end.x0, region.y1)
        if not region.holds(least):
            return
        yield from islice(vacancies(region, [*panels, *unsound], least, _SLICE), MOST - 1)
        return
    yield from islice(vacancies(region, [*panels, *unsound], least, _SLICE), MOST)


def _meets(box: Box, outline: Outline) -> bool:
    x0, y0, x1, y1 = outline.bounds
    return x0 < box.x1 and box.x0 < x1 and y0 < box.y1 and box.y0 < y1


def room_for(box: Box, panel: Panel, cloth: Cloth) -> int:
    """How many copies of a panel fit a remnant in rows and columns, all turned alike."""
    counts = []
    for turn in allowed_turns(panel, cloth):
        size = panel.cut.length, panel.cut.height
        length, width = size[::-1] if turn % 180 else size
        along = (box.x1 - box.x0 + cloth.gap) // (length + cloth.gap)
        counts.append(along * ((box.y1 - box.y0 + cloth.gap) // (width + cloth.gap)))
    return max(counts)


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
