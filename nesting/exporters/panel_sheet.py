"""Panels side by side as a drawing at true scale: what a product is cut into."""

from collections.abc import Iterable, Iterator, Sequence

from nesting.drawings.drawing import Drawing, Path, Text
from nesting.exporters.lay import label_text, panel_paths
from nesting.layouts.lay import PlacedPanel
from nesting.panels.panel import Panel
from nesting.units import CM, to_mm

#: Between panels, and round them all.
_APART = 2 * CM

#: A row is no longer than this many times the longest panel.
_ROW = 2


def panels_drawing(title: str, panels: Sequence[Panel]) -> Drawing:
    """Each panel once, in rows from the lower left, the roll from left to right."""
    paths: list[Path] = []
    texts: list[Text] = []
    width = height = 0
    for placed in _in_rows(panels):
        paths.extend(panel_paths(placed))
        name = f"{placed.panel.per_item} {placed.panel.name}"
        texts.append(label_text(placed, name))
        bounds = placed.outline.bounds
        width, height = max(width, bounds[2]), max(height, bounds[3])
    margin = to_mm(_APART)
    return Drawing(title, to_mm(width) + margin, to_mm(height) + margin, tuple(paths), tuple(texts))


def _in_rows(panels: Iterable[Panel]) -> Iterator[PlacedPanel]:
    known = list(panels)
    longest = _ROW * max(panel.cut.length for panel in known)
    x = y = _APART
    row = 0
    for panel in known:
        if x > _APART and x + panel.cut.length > longest + _APART:
            x, y, row = _APART, y + row + _APART, 0
        yield PlacedPanel(panel, 1, 1, 0, x, y)
        x += panel.cut.length + _APART
        row = max(row, panel.cut.height)
