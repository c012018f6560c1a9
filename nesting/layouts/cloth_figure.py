"""What the piece of cloth under a lay looks like: its edge, and whatever lies on it.

Lengths are grid units in the coordinates of the piece. Of a roll that is bought
only the length to buy is shown, so a flaw may be cut off there.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import shapely

from nesting.cloth.stock import ClothPiece, Flaw
from nesting.geometry.outline import Outline
from nesting.layouts.lay import ClothLay

Point = tuple[int, int]

#: A run of straight lines.
Run = tuple[Point, ...]


@dataclass(frozen=True)
class Section:
    """A stretch along a piece from ``start`` to ``end``, and how wide the cloth is there."""

    start: int
    end: int
    width: int


@dataclass(frozen=True)
class ClothFigure:
    """The rings and lines of a piece of cloth.

    ``edge`` is the outline of the piece, or a rectangle, and ``body`` that
    without what measured widths leave out. ``selvedges`` are the lines between
    which panels lie. Where widths were measured, ``measured`` is the edge as it
    was found, and below it the line to which panels may reach. ``sections`` are
    the stretches between those places. Flaws are in their order along the roll.
    """

    length: int
    width: int
    edge: Run
    body: Run
    holes: tuple[Outline, ...]
    flaws: tuple[Flaw, ...]
    selvedges: tuple[Run, ...]
    measured: tuple[Run, ...]
    splices: tuple[Run, ...]
    sections: tuple[Section, ...]

    @cached_property
    def ground(self) -> shapely.Geometry:
        """The cloth that there is: the body without its holes."""
        body = shapely.Polygon(self.body)
        return body.difference(shapely.union_all([shapely.Polygon(h.points) for h in self.holes]))

    @cached_property
    def usable(self) -> shapely.Geometry:
        """The ground between the lines that panels keep to, flaws included."""
        if not self.selvedges:
            return self.ground
        upper = self.measured[-1] if self.measured else self.selvedges[1]
        return self.ground.intersection(shapely.Polygon((*self.selvedges[0], *reversed(upper))))

    def turned_over(self) -> "ClothFigure":
        """The figure seen from the back of the cloth, turned about a line along the roll."""

        def over(run: Run) -> Run:
            return tuple((x, self.width - y) for x, y in run)

        return replace(
            self,
            edge=over(self.edge),
            body=over(self.body),
            holes=tuple(Outline(over(hole.points)) for hole in self.holes),
            flaws=tuple(
                replace(flaw, outline=Outline(over(flaw.outline.points))) for flaw in self.flaws
            ),
            selvedges=tuple(map(over, self.selvedges)),
            measured=tuple(map(over, self.measured)),
            splices=tuple(map(over, self.splices)),
        )


def cloth_figure(lay: ClothLay) -> ClothFigure:
    """The figure of the piece that a lay is on, as long as that piece or as what is bought."""
    piece, length = lay.on, lay.cloth_length
    sections = tuple(_sections(piece, length))
    edge = piece.outline.points if piece.outline else _box(length, piece.width)
    measured = tuple(_measured(piece, sections))
    flaws = [part for flaw in piece.flaws for part in _on_sheet(flaw, length, piece.width)]
    return ClothFigure(
        length=length,
        width=piece.width,
        edge=edge,
        body=(*edge[:2], *reversed(measured[0])) if measured else edge,
        holes=piece.holes,
        flaws=tuple(sorted(flaws, key=lambda flaw: flaw.outline.bounds)),
        selvedges=tuple(_selvedges(piece, length)),
        measured=measured,
        splices=tuple(((x, 0), (x, piece.width)) for x in piece.splices),
        sections=sections,
    )


def _box(length: int, width: int) -> Run:
    return (0, 0), (length, 0), (length, width), (0, width)


def _sections(piece: ClothPiece, length: int) -> Iterator[Section]:
    """Between two measured places the narrower counts; equal neighbours are one section."""
    if not piece.widths:
        yield Section(0, length, piece.width)
        return
    (_, first), (_, last) = piece.widths[0], piece.widths[-1]
    places = [(0, first), *(p for p in piece.widths if 0 < p[0] < length), (length, last)]
    start = 0
    lows = [min(a[1], b[1]) for a, b in pairwise(places)]
    for index, low in enumerate(lows):
        if index + 1 == len(lows) or lows[index + 1] != low:
            end = places[index + 1][0]
            yield Section(start, end, min(low, piece.width))
            start = end


def _selvedges(piece: ClothPiece, length: int) -> Iterator[Run]:
    """Both lines, also where the selvedge is 0; a piece with an outline may have none."""
    if piece.selvedge or not piece.outline:
        for y in (piece.selvedge, piece.width - piece.selvedge):
            yield (0, y), (length, y)


def _measured(piece: ClothPiece, sections: tuple[Section, ...]) -> Iterator[Run]:
    if piece.widths:
        for below in dict.fromkeys((0, piece.selvedge)):
            yield tuple(
                (x, section.width - below)
                for section in sections
                for x in (section.start, section.end)
            )


def _on_sheet(flaw: Flaw, length: int, width: int) -> Iterator[Flaw]:
    """The part of a flaw that is in sight, usually all of it."""
    x0, y0, x1, y1 = flaw.outline.bounds
    if x0 >= 0 and y0 >= 0 and x1 <= length and y1 <= width:
        yield flaw
        return
    seen = shapely.Polygon(flaw.outline.points).intersection(shapely.box(0, 0, length, width))
    for outline in outlines_of(seen):
        yield replace(flaw, outline=outline)


def outlines_of(figure: shapely.Geometry) -> Iterator[Outline]:
    """The edges of the parts of a figure on the grid; those without an area there are left out."""
    for part in shapely.get_parts(shapely.set_precision(figure, 1)):
        if isinstance(part, shapely.Polygon) and part.area > 0:
            yield Outline(tuple((round(x), round(y)) for x, y in part.exterior.coords[:-1]))
