"""The piece of cloth that a lay is on as lines and texts of its drawing.

Its edge, selvedge lines, holes and measured widths are lines of the cloth;
flaws and splices have a pen of their own. A knife follows none of them.
"""

from collections.abc import Iterator

import shapely

from nesting.cloth.stock import Flaw
from nesting.drawings.drawing import Path, Pen, Text
from nesting.drawings.lettering import LEAST_HEIGHT_MM, fitted_height
from nesting.layouts.cloth_figure import cloth_figure
from nesting.layouts.lay import ClothLay
from nesting.units import points_to_mm, to_mm

#: Height of the capitals of what is written on a flaw where it has room (mm), and beside
#: a splice.
_FLAW_MM = 12.0
_SPLICE_MM = 5.0


def cloth_paths(lay: ClothLay) -> Iterator[Path]:
    """The edge of the cloth first, then the lines that panels keep to, then what they avoid."""
    figure = cloth_figure(lay)
    yield Path(Pen.SELVEDGE, points_to_mm(figure.edge), closed=True)
    for line in (*figure.selvedges, *figure.measured):
        yield Path(Pen.SELVEDGE, points_to_mm(line))
    for hole in figure.holes:
        yield Path(Pen.SELVEDGE, points_to_mm(hole.points), closed=True)
    for flaw in figure.flaws:
        yield Path(Pen.FLAW, points_to_mm(flaw.outline.points), closed=True)
    for splice in figure.splices:
        yield Path(Pen.FLAW, points_to_mm(splice))


def cloth_texts(lay: ClothLay) -> Iterator[Text]:
    """What each flaw is, written on it, and which lines are splices."""
    figure = cloth_figure(lay)
    for flaw in figure.flaws:
        content = flaw_words(flaw)
        ring = points_to_mm(flaw.outline.points)
        inside = shapely.Polygon(ring).representative_point()
        at = inside.x, inside.y
        height, angle = fitted_height(content, at, ring, _FLAW_MM)
        yield Text(Pen.FLAW, at, max(height, LEAST_HEIGHT_MM), content, angle)
    for (x, low), (_, high) in figure.splices:
        beside = to_mm(x) - _SPLICE_MM
        yield Text(Pen.FLAW, (beside, to_mm((low + high) / 2)), _SPLICE_MM, "splice", 90.0)


def flaw_words(flaw: Flaw) -> str:
    """What a flaw is, in words that no label of a panel has."""
    kind = "minor flaw" if flaw.minor else "flaw"
    what = flaw.what.replace(" / ", ", ")
    return f"{kind}: {what}" if what else kind
