"""Remnants of a lay that is being booked, found from its record."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from nesting.geometry.outline import Outline
from nesting.reports.remnants import LEAST, worth_keeping
from nesting.reports.vacancy import Box
from nesting.shelf.lay_record import LayRecord, UsedPiece

if TYPE_CHECKING:
    import shapely


def left_over(lay: LayRecord) -> dict[tuple[str, str], tuple[tuple[int, int], ...]]:
    """Length and width of the remnants of each piece, by the names of its cloth and its own.

    They are rectangles as the report finds them, between the selvedges, clear
    of flaws and holes and within the outline. They end where a roll of the
    shelf is cut off: what lies behind stays on the roll.
    """
    return {(piece.cloth, piece.name): tuple(_remnants(piece)) for piece in lay.pieces}


def _remnants(piece: UsedPiece) -> Iterator[tuple[int, int]]:
    end, edge = piece.end_allowance, piece.selvedge
    region = Box(end, edge, piece.cut_off - end, piece.width - edge)
    if not region.holds(LEAST["cm"]):
        return
    unsound = (*piece.holes, *(flaw.outline for flaw in piece.flaws))
    if piece.outline:
        unsound += tuple(_outside(piece.outline))
    for box in worth_keeping(region, piece.panels, unsound, LEAST["cm"]):
        yield box.x1 - box.x0, box.y1 - box.y0


def _outside(outline: Outline) -> Iterator[Outline]:
    """The box of an outline without the outline, in parts."""
    import shapely  # noqa: PLC0415 - rolls and rectangles need none

    rest = shapely.box(*outline.bounds).difference(shapely.Polygon(outline.points))
    for part in _parts(rest):
        yield Outline(tuple((round(x), round(y)) for x, y in part.exterior.coords))


def _parts(figure: "shapely.Geometry") -> Iterator["shapely.Polygon"]:
    for part in getattr(figure, "geoms", [figure]):
        if part.geom_type == "Polygon" and part.area > 0:
            yield part
