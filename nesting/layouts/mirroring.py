"""A lay as it looks from the back of the cloth.

Cloth is often chalked on its wrong side. When it is turned over about a line
along the roll, the cut end stays where it is and the edges change places: a
point (x, y) of the lay is marked at (x, width - y).
"""

from dataclasses import replace
from enum import StrEnum

from nesting.geometry.symmetry import Axis, mirrored
from nesting.layouts.cloth_figure import ClothFigure, cloth_figure
from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.layouts.sequence import in_marking_order
from nesting.panels.panel import Panel


class Face(StrEnum):
    """Which way the right side of the cloth lies while it is marked."""

    UP = "up"
    DOWN = "down"


def cloth_seen(lay: ClothLay, face: Face) -> ClothLay:
    """A lay as it is marked on cloth that lies with its right side up or down.

    Its piece stays as it is described, from the right side: `figure_seen` shows it.
    """
    if face is Face.UP:
        return lay
    images = {panel: _mirror_image(panel) for panel in {p.panel for p in lay.placed}}
    return replace(
        lay,
        panels=tuple(images.get(panel) or _mirror_image(panel) for panel in lay.panels),
        placed=tuple(_turned_over(one, images[one.panel], lay.cloth.width) for one in lay.placed),
    )


def figure_seen(lay: ClothLay, face: Face) -> ClothFigure:
    """The piece of cloth under a lay as it is seen while it is marked."""
    figure = cloth_figure(lay)
    return figure if face is Face.UP else figure.turned_over()


def _turned_over(placed: PlacedPanel, image: Panel, width: int) -> PlacedPanel:
    """A panel's place seen from the back: an anticlockwise turn becomes a clockwise one."""
    upper = placed.outline.bounds[3]
    return replace(placed, panel=image, turn=-placed.turn % 360, y=width - upper)


def _mirror_image(panel: Panel) -> Panel:
    """The panel seen from its wrong side; its grain still points towards greater x."""
    box = panel.cut.bounds
    return panel.mapped(lambda points: mirrored(points, box, Axis.ALONG))


def marking_sequence(lay: ClothLay, face: Face) -> tuple[PlacedPanel, ...]:
    """The panels in the order of marking, as seen on cloth with its right side up or down.

    The order is always that of the lay seen from its right side, so a number
    means the same panel on every page and screen.
    """
    return cloth_seen(replace(lay, placed=in_marking_order(lay)), face).placed
