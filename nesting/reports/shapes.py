"""The lines of a panel at a turn as SVG path data, drawn once and used for every copy.

Coordinates are millimetres with one decimal, x along the roll and y downward.
The least corner of the cut outline is at (0, 0), so y is never positive.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from nesting.drawings.panel_marks import drill_cross, grain_arrow
from nesting.layouts.lay import PlacedPanel
from nesting.panels.panel import Panel
from nesting.units import MM

#: Grid units in one step of the last decimal.
_TENTH = MM // 10

#: Length of the head of a grain arrow: larger than at full size, or nobody sees it.
_HEAD = 12 * MM

#: Half the arms of the cross of a drill mark.
ARM = 5 * MM

Point = tuple[float, float]


@dataclass(frozen=True)
class Shape:
    """Path data of everything drawn on a panel; empty where there is nothing.

    ``stitch`` has everything that is drawn dashed, lines inside the panel
    included; ``marks`` has notches, drill marks and inner cuts.
    """

    id: str
    cut: str
    stitch: str
    marks: str
    grain: str


def shape(panel: Panel, turn: int, name: str) -> Shape:
    """The lines of a panel at a turn."""
    form = PlacedPanel(panel, 1, 1, turn, 0, 0)
    stitch = _path(form.on_cloth(panel.stitch.points), closed=True) if panel.stitch else ""
    lines = (_path(form.on_cloth(line)) for line in panel.lines)
    notches = (_path(form.on_cloth((notch.foot, notch.tip))) for notch in panel.notches)
    places = form.on_cloth(drill.at for drill in panel.drills)
    drills = (_path(stroke) for at in places for stroke in drill_cross(at, ARM))
    tail, head = form.on_cloth(panel.grain)
    inner_cuts = (_path(form.on_cloth(run)) for run in panel.inner_cuts)
    return Shape(
        id=name,
        cut=_path(form.outline.points, closed=True),
        stitch=stitch + "".join(lines),
        marks="".join((*notches, *drills, *inner_cuts)),
        grain="".join(map(_path, grain_arrow(tail, head, _HEAD))),
    )


@dataclass(frozen=True)
class Downward:
    """Draws on a cloth that is ``width`` wide, with y downward from its upper edge."""

    width: int

    def path(self, points: Iterable[Point], *, closed: bool = False) -> str:
        """A run of straight lines as path data."""
        return _path([(x, y - self.width) for x, y in points], closed=closed)


def _path(points: Iterable[Point], *, closed: bool = False) -> str:
    """A run of straight lines, each written as a step from the point before.

    Points are rounded before steps are computed, so rounding does not add up.
    """
    ring = [(round(x / _TENTH), round(-y / _TENTH)) for x, y in points]
    steps = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(ring) if a != b]
    lines = " ".join(map(_pair, steps))
    return f"M{_pair(ring[0])}l{lines}{'z' if closed else ''}"


def _pair(pair: tuple[int, int]) -> str:
    return f"{_decimal(pair[0])} {_decimal(pair[1])}"


def _decimal(tenths: int) -> str:
    """A number of tenths as the shortest possible text: 0.5 is ``.5``."""
    whole, part = divmod(abs(tenths), 10)
    sign = "-" if tenths < 0 else ""
    return f"{sign}{whole or ''}.{part}" if part else f"{sign}{whole}"
