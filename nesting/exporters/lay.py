"""A lay as a drawing that a plotter draws, a cutter cuts and the checker reads back.

The sheet is the cloth: x from the cut end along the roll, y from the lower
edge, millimetres. The lines of the cloth come first, then every
panel in the order of the lay: what is marked on it (stitch line, notches,
drill marks, inner lines, grain arrow: shaft from tail to head, then the head),
then the cuts inside it, and last its cut line, so that nothing is cut in a
panel that has come loose. Cut lines are closed and run anticlockwise; a cut
inside a panel is closed where it is a cut-out and open where it is a slit.

For a knife a drawing holds only what a knife or a punch follows: notches, drill
marks as single points, cuts inside panels and outlines.
"""

from collections.abc import Iterator
from dataclasses import replace

from nesting.drawings.ascii_names import ascii_names, ascii_notes
from nesting.drawings.drawing import Drawing, Path, Pen, Text
from nesting.drawings.lettering import Lettering, placed_label
from nesting.drawings.panel_marks import drill_cross, grain_arrow
from nesting.drawings.tool import Tool
from nesting.exporters.cloth_lines import cloth_paths, cloth_texts
from nesting.layouts.lay import ClothLay, PlacedPanel
from nesting.units import points_to_mm, to_mm

#: Height of a label's capitals where the panel has room for it (mm): read at arm's length.
LABEL_MM = 12.0

#: Size of a drill mark (mm).
_CROSS_MM = 8.0

#: Height of the capitals of a drill mark's name (mm).
_DRILL_NAME_MM = 5.0

PointMm = tuple[float, float]

#: The lettering of each label, its middle counted from its panel, by panel and turn.
Sizes = dict[tuple[int, int, int], Lettering]


def lay_drawing(lay: ClothLay, tool: Tool = Tool.PEN) -> Drawing:
    """The lay on one piece of cloth at true scale, for a pen or a knife."""
    width, height = to_mm(lay.cloth_length), to_mm(lay.cloth.width)
    if tool is Tool.KNIFE:
        followed = (path for placed in lay.placed for path in knife_paths(placed))
        return Drawing(lay.title, width, height, tuple(followed), ())
    paths = [*cloth_paths(lay)]
    for placed in lay.placed:
        paths.extend(panel_paths(placed))
    return Drawing(lay.title, width, height, tuple(paths), texts(lay))


def texts(lay: ClothLay) -> tuple[Text, ...]:
    """What is written on the cloth; labels and names of drill marks, in the order of the lay."""
    sizes: Sizes = {}
    of_panels = (
        text for placed in lay.placed for text in (_label(placed, sizes), *drill_names(placed))
    )
    return (*cloth_texts(lay), *of_panels)


def panel_paths(placed: PlacedPanel) -> Iterator[Path]:
    """Everything drawn for one panel, with its cut line last."""
    panel = placed.panel
    if panel.stitch is not None:
        yield Path(Pen.STITCH, points_to_mm(placed.on_cloth(panel.stitch.points)), closed=True)
    yield from _notches(placed)
    for at in points_to_mm(placed.on_cloth(drill.at for drill in panel.drills)):
        yield from (Path(Pen.DRILL, stroke) for stroke in drill_cross(at, _CROSS_MM / 2))
    for drawn in panel.lines:
        yield _run(Pen.INNER_LINE, placed.on_cloth(drawn))
    tail, head = points_to_mm(placed.on_cloth(panel.grain))
    yield from (Path(Pen.GRAIN, stroke) for stroke in grain_arrow(tail, head))
    yield from _cuts(placed)


def knife_paths(placed: PlacedPanel) -> Iterator[Path]:
    """What a knife or a punch follows in one panel, its cut line last; drill marks are points."""
    yield from _notches(placed)
    for at in points_to_mm(placed.on_cloth(drill.at for drill in placed.panel.drills)):
        yield Path(Pen.DRILL, (at,))
    yield from _cuts(placed)


def _notches(placed: PlacedPanel) -> Iterator[Path]:
    for notch in placed.panel.notches:
        yield Path(Pen.NOTCH, points_to_mm(placed.on_cloth((notch.foot, notch.tip))))


def _cuts(placed: PlacedPanel) -> Iterator[Path]:
    for cut in placed.panel.inner_cuts:
        yield _run(Pen.INNER_CUT, placed.on_cloth(cut))
    yield Path(Pen.CUT, points_to_mm(placed.outline.points), closed=True)


def _run(pen: Pen, points: tuple[tuple[int, int], ...]) -> Path:
    """A run of points as a path, closed where it ends where it began."""
    closed = len(points) > 3 and points[0] == points[-1]
    return Path(pen, points_to_mm(points[:-1] if closed else points), closed)


def drill_names(placed: PlacedPanel) -> Iterator[Text]:
    """What each drill mark is for, just above it."""
    for drill in placed.panel.drills:
        if drill.name:
            ((x, y),) = points_to_mm(placed.on_cloth((drill.at,)))
            yield Text(Pen.DRILL, (x, y + _CROSS_MM), _DRILL_NAME_MM, drill.name)


def _label(placed: PlacedPanel, sizes: Sizes) -> Text:
    alike = (id(placed.panel), placed.turn, len(placed.label))
    x, y = to_mm(placed.x), to_mm(placed.y)
    if alike not in sizes:
        found = panel_label(placed.label, placed)
        sizes[alike] = found._replace(at=(found.at[0] - x, found.at[1] - y))
    height, angle, (dx, dy) = sizes[alike]
    return Text(Pen.LABEL, (x + dx, y + dy), height, placed.label, angle)


def panel_label(content: str, placed: PlacedPanel) -> Lettering:
    """A label within the stitch line of a panel, clear of what is drawn there."""
    panel = placed.panel
    (at,) = points_to_mm(placed.on_cloth((panel.label,)))
    ring = points_to_mm(placed.on_cloth((panel.stitch or panel.cut).points))
    tail, head = points_to_mm(placed.on_cloth(panel.grain))
    inner = (*panel.lines, *panel.inner_cuts, *((n.foot, n.tip) for n in panel.notches))
    drills = points_to_mm(placed.on_cloth(drill.at for drill in panel.drills))
    lines = [
        *grain_arrow(tail, head),
        *(points_to_mm(placed.on_cloth(run)) for run in inner),
        *(stroke for drill in drills for stroke in drill_cross(drill, _CROSS_MM / 2)),
    ]
    return placed_label(content, at, ring, LABEL_MM, lines)


def lay_in_plain_letters(lay: ClothLay) -> tuple[ClothLay, tuple[str, ...]]:
    """The lay with its items and panels spelled in ASCII, as old formats need them.

    Also a note for each name that is spelled otherwise.
    """
    items = ascii_names(panel.item for panel in lay.panels)
    names = ascii_names(panel.name for panel in lay.panels)
    spelled = {
        panel: replace(panel, item=items[panel.item], name=names[panel.name])
        for panel in (*lay.panels, *(one.panel for one in lay.placed))
    }
    plain = replace(
        lay,
        panels=tuple(spelled[panel] for panel in lay.panels),
        placed=tuple(replace(one, panel=spelled[one.panel]) for one in lay.placed),
    )
    return plain, (*ascii_notes(items), *ascii_notes(names))
