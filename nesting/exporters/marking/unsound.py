"""What a cutter marks around: flaws, holes, splices and narrow cloth, in words and hatched."""

import math
from collections.abc import Iterator
from itertools import count

import shapely

from nesting.cloth.stock import Flaw
from nesting.drawings.print.page import Point
from nesting.geometry.outline import Outline
from nesting.layouts.cloth_figure import ClothFigure
from nesting.layouts.lay import ClothLay
from nesting.layouts.mirroring import Face, figure_seen
from nesting.units import Limit, format_length


def unsound_places(lay: ClothLay, units: str, face: Face) -> tuple[str, ...]:
    """Where on its piece no panel lies, as it is seen while it is marked.

    Distances are rounded away from flaws and holes, so that none is told too small.
    """
    figure = figure_seen(lay, face)
    return (
        *_where_to_measure_from(lay, figure, units, face),
        *(_flaw(flaw, number, units) for number, flaw in enumerate(figure.flaws, start=1)),
        *(f"hole: {_between(hole, units)}" for hole in figure.holes),
        *(_splice(splice[0][0], units) for splice in figure.splices),
        *_widths(figure, units),
    )


def flaw_name(number: int) -> str:
    """What a flaw is called on the picture of a lay."""
    return f"flaw {number}"


def _where_to_measure_from(
    lay: ClothLay, figure: ClothFigure, units: str, face: Face
) -> Iterator[str]:
    width = format_length(figure.width, units)
    if lay.on.outline:
        length = format_length(figure.length, units)
        yield (
            f"this piece has an outline: measure from the sides of the box around it, "
            f"{length} along and {width} across; they stand for the cut end and the lower edge"
        )
    elif figure.measured and face is Face.DOWN:
        yield (
            f"the edge next to you is not straight: draw a line {width} from the other edge, and "
            "measure across the cloth from that"
        )


def _flaw(flaw: Flaw, number: int, units: str) -> str:
    what = f" ({flaw.what})" if flaw.what else ""
    minor = "; minor: hidden panels may lie there" if flaw.minor else ""
    return f"{flaw_name(number)}{what}: {_between(flaw.outline, units)}{minor}"


def _between(outline: Outline, units: str) -> str:
    x0, y0, x1, y1 = outline.bounds
    along, across = _range(x0, x1, units), _range(y0, y1, units)
    return f"{along} from the cut end, {across} from the lower edge"


def _range(near: int, far: int, units: str) -> str:
    start = format_length(near, units, Limit.AT_MOST).removesuffix(f" {units}")
    return f"{start} to {format_length(far, units, Limit.AT_LEAST)}"


def _splice(x: int, units: str) -> str:
    return f"splice: {format_length(x, units)} from the cut end; no panel lies across it"


def _widths(figure: ClothFigure, units: str) -> Iterator[str]:
    for section in figure.sections if figure.measured else ():
        width = format_length(section.width, units, Limit.AT_MOST)
        along = _range(section.start, section.end, units)
        yield f"width {width}: {along} from the cut end, as measured"


def hatching(figure: shapely.Polygon, apart: float) -> Iterator[tuple[Point, ...]]:
    """Slanting lines across a figure, that far apart, one through its middle at least."""
    x0, y0, x1, y1 = figure.bounds
    middle, reach = (x0 + x1 + y0 + y1) / 2, (x1 - x0 + y1 - y0) / 2
    step = apart * math.sqrt(2)
    for number in count(-math.ceil(reach / step)):
        total = middle + number * step
        if total > middle + reach:
            return
        # Along this line x + y is the same everywhere.
        slant = shapely.LineString([(x0, total - x0), (x1, total - x1)])
        for part in shapely.get_parts(figure.intersection(slant)):
            if isinstance(part, shapely.LineString) and part.length > 0:
                yield tuple((x, y) for x, y in part.coords)
