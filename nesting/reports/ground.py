"""The piece of cloth on the picture of a lay: its edge, and whatever lies on it, as path data."""

from collections.abc import Iterator
from dataclasses import dataclass

import shapely

from nesting.layouts.cloth_figure import ClothFigure
from nesting.reports.shapes import Downward
from nesting.reports.wording import place_on_cloth
from nesting.units import to_mm


@dataclass(frozen=True)
class FlawPicture:
    """A flaw on the cloth: its path data, what and where it is, and its name above (x, y)."""

    path: str
    title: str
    name: str
    x: float
    y: float


@dataclass(frozen=True)
class Ground:
    """Path data of a piece of cloth.

    ``edge`` is the line around the cloth and its holes, ``outside`` what lies
    between it and the box around it. ``reach`` is the line to which panels may
    reach where widths were measured. Each is empty where there is none.
    """

    edge: str
    outside: str
    reach: str
    splices: str
    flaws: tuple[FlawPicture, ...]


def ground(figure: ClothFigure, units: str) -> Ground:
    """A piece of cloth, drawn downward from its upper edge."""
    drawn = Downward(figure.width)
    rings = (figure.body, *(hole.points for hole in figure.holes))
    return Ground(
        edge="".join(drawn.path(ring, closed=True) for ring in rings),
        outside=_outside(figure, drawn),
        reach="".join(map(drawn.path, figure.measured[1:])),
        splices="".join(map(drawn.path, figure.splices)),
        flaws=tuple(_flaws(figure, drawn, units)),
    )


def _outside(figure: ClothFigure, drawn: Downward) -> str:
    """What is no cloth within the box around it, holes included."""
    box = shapely.box(0, 0, figure.length, figure.width)
    rings = [
        ring.coords[:-1]
        for part in shapely.get_parts(box.difference(figure.ground))
        if isinstance(part, shapely.Polygon) and part.area > 0
        for ring in (part.exterior, *part.interiors)
    ]
    return "".join(drawn.path([(x, y) for x, y in ring], closed=True) for ring in rings)


def _flaws(figure: ClothFigure, drawn: Downward, units: str) -> Iterator[FlawPicture]:
    for number, flaw in enumerate(figure.flaws, start=1):
        x0, y0, x1, y1 = flaw.outline.bounds
        what = f" ({flaw.what})" if flaw.what else ""
        minor = ", minor" if flaw.minor else ""
        yield FlawPicture(
            path=drawn.path(flaw.outline.points, closed=True),
            title=f"Flaw {number}{what}{minor}, {place_on_cloth(x0, y0, units)}",
            name=f"flaw {number}",
            x=to_mm((x0 + x1) / 2),
            y=to_mm(figure.width - y1),
        )
