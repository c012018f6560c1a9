"""All panels of an order at true size on one sheet, each once: full-size templates for a plotter.

Panels stand in columns across the sheet, the longest first, grain along the
roll, or across where a panel fits no other way. Lines are those of a lay
drawing; a label says how often to cut.
"""

from collections.abc import Iterable, Sequence

from nesting.drawings.drawing import Drawing, Path, Pen, Text
from nesting.drawings.tool import Tool
from nesting.exporters.lay import drill_names, knife_paths, panel_label, panel_paths
from nesting.layouts.lay import PlacedPanel
from nesting.panels.panel import Panel
from nesting.units import CM, to_mm

#: Width of the sheet unless a plotter is narrower or wider.
SHEET_WIDTH = 90 * CM

#: Between panels and round them.
APART = 1 * CM


def panel_drawing(
    panels: Sequence[Panel], title: str, room: int = SHEET_WIDTH, tool: Tool = Tool.PEN
) -> Drawing:
    """Every panel once; the sheet is as wide as ``room``, or as the widest panel needs.

    For a knife it holds only what a knife or a punch follows, and no text.
    """
    stood = [(panel, _turn(panel, room)) for panel in panels]
    room = max([room, *(_extent(*one)[1] + 2 * APART for one in stood)])
    paths: list[Path] = []
    texts: list[Text] = []
    placed = _in_columns(stood, room)
    for one in placed:
        if tool is Tool.KNIFE:
            paths += knife_paths(one)
            continue
        paths += panel_paths(one)
        texts += [_label(one), *drill_names(one)]
    length = max((one.outline.bounds[2] for one in placed), default=0) + APART
    return Drawing(title, to_mm(length), to_mm(room), tuple(paths), tuple(texts))


def _turn(panel: Panel, room: int) -> int:
    """A quarter turn for a panel that does not fit without it."""
    fits = panel.cut.height + 2 * APART <= room or panel.cut.length + 2 * APART > room
    return 0 if fits else 90


def _extent(panel: Panel, turn: int) -> tuple[int, int]:
    """Along the sheet and across it."""
    extent = panel.cut.length, panel.cut.height
    return extent if turn == 0 else extent[::-1]


def _in_columns(stood: Iterable[tuple[Panel, int]], room: int) -> list[PlacedPanel]:
    placed: list[PlacedPanel] = []
    x, y, longest = APART, APART, 0
    for panel, turn in sorted(stood, key=lambda one: -_extent(*one)[0]):
        length, height = _extent(panel, turn)
        if y + height + APART > room:
            x, y, longest = x + longest + APART, APART, 0
        placed.append(PlacedPanel(panel, 1, 1, turn, x, y))
        y += height + APART
        longest = max(longest, length)
    return placed


def _label(placed: PlacedPanel) -> Text:
    panel = placed.panel
    name = f"{panel.item} / {panel.name}" if panel.item else panel.name
    content = f"{name}, cut {panel.copies}"
    height, angle, at = panel_label(content, placed)
    return Text(Pen.LABEL, at, height, content, angle)
