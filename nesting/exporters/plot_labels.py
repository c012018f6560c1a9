"""Texts of a plot that is drawn in frames: each stands wholly in one of them.

A plotter feeds paper between two frames, and letters that it draws across the
edge come out divided or not at all. So a text that would cross an edge moves
within its panel or flaw, as little as possible, or else where it can be largest.
"""

import math
from collections.abc import Iterator
from dataclasses import replace

import shapely

from nesting.drawings.drawing import Drawing, Pen, Text
from nesting.drawings.hpgl.writer import Plotter, frame_length_mm
from nesting.drawings.lettering import ADVANCE, fitted_height

Box = tuple[float, float, float, float]

#: Height of a line over that of its capitals, whose middle is that of the line: letters
#: go a third below the line, and so much is left above.
_TALL = 5 / 3

#: How near to its middle the widest place of a panel in a frame is found (mm).
_NEAR_MM = 1.0


def with_texts_in_frames(drawing: Drawing, plotter: Plotter) -> Drawing:
    """The drawing with every text wholly in one frame of the plotter, and in its panel or flaw."""
    length = frame_length_mm(drawing, plotter)
    if length >= drawing.width:
        return drawing
    sheet = shapely.box(0, 0, drawing.width, drawing.height)
    panels, flaws = (_closed(drawing, pen) for pen in (Pen.CUT, Pen.FLAW))

    def settled(text: Text) -> Text:
        if _frame(text, length) is not None:
            return text
        rings = flaws if text.pen is Pen.FLAW else panels
        around = rings.query(shapely.Point(text.at), predicate="within")
        inside = min(rings.geometries[around], key=shapely.area, default=sheet)
        return _in_a_frame(text, inside, length)

    return replace(drawing, texts=tuple(map(settled, drawing.texts)))


def _closed(drawing: Drawing, pen: Pen) -> shapely.STRtree:
    """The rings of a kind."""
    rings = (path.points for path in drawing.paths if path.pen is pen and path.closed)
    return shapely.STRtree([shapely.Polygon(ring) for ring in rings])


def text_box(text: Text) -> Box:
    """The upright box around a text, in millimetres."""
    long, tall = ADVANCE * len(text.content) * text.height, _TALL * text.height
    cos, sin = abs(math.cos(math.radians(text.angle))), abs(math.sin(math.radians(text.angle)))
    across, up = long * cos + tall * sin, long * sin + tall * cos
    x, y = text.at
    return x - across / 2, y - up / 2, x + across / 2, y + up / 2


def _frame(text: Text, length: float) -> int | None:
    """The frame in which a text stands; None if it crosses an edge."""
    left, _, right, _ = text_box(text)
    frame = int(left // length)
    return frame if right <= (frame + 1) * length else None


def _in_a_frame(text: Text, panel: shapely.Polygon, length: float) -> Text:
    """The text moved along x if its panel has room beside the edge, or else made smaller."""
    moved = [
        one for one in _beside_the_edge(text, length) if panel.contains(shapely.box(*text_box(one)))
    ]
    if moved:
        return min(moved, key=lambda one: abs(one.at[0] - text.at[0]))
    smaller = list(_as_large_as_fits(text, panel, length))
    return max(smaller, key=lambda one: one.height, default=text)


def _beside_the_edge(text: Text, length: float) -> Iterator[Text]:
    """The text moved back before an edge that it crosses, and on behind it."""
    left, _, right, _ = text_box(text)
    x, y = text.at
    edge = (left // length + 1) * length
    if right - left <= length:
        yield replace(text, at=(x - (right - edge), y))
        yield replace(text, at=(x + (edge - left), y))


def _as_large_as_fits(text: Text, panel: shapely.Polygon, length: float) -> Iterator[Text]:
    """The text in each part of its panel that lies in one frame."""
    left, low, right, top = panel.bounds
    for frame in range(int(left // length), int(right // length) + 1):
        strip = shapely.box(frame * length, low, (frame + 1) * length, top)
        for part in shapely.get_parts(panel.intersection(strip)):
            if isinstance(part, shapely.Polygon) and part.area > _NEAR_MM**2:
                middle = shapely.maximum_inscribed_circle(part, _NEAR_MM).coords[0]
                ring = list(part.exterior.coords)
                height, angle = fitted_height(text.content, middle, ring, text.height)
                yield replace(text, at=middle, height=height, angle=angle)
