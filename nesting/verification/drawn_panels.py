"""Reads the outlines of a lay drawing, with the labels and grain lines inside them.

Each cut outline contains one label, ``ITEM / PANEL / COPY.PART``, and one grain
line of two points, from tail to head. A line of three points with the pen of the
grain is an arrowhead, its tip in the middle.
"""

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np
import shapely

from nesting.drawings.ascii_names import ascii_names
from nesting.drawings.drawing import Drawing, Path, Pen, Text, one_line
from nesting.panels.panel import Panel
from nesting.tolerances import ALIKE_AREA
from nesting.verification.claims import Key, Ring, at

_LABEL: Final = re.compile(r"(?P<item>.+) / (?P<panel>.+) / (?P<copy>\d{1,9})\.(?P<part>\d{1,9})")

Vector = tuple[float, float]

#: Tail and head of a grain line.
Shaft = tuple[Vector, Vector]

#: The ends of the barbs of an arrowhead, its tip between them.
Head = tuple[Vector, Vector, Vector]


@dataclass(frozen=True, eq=False)
class DrawnPanel:
    """One closed cut line with the labels, grain lines and arrowheads inside it."""

    ring: Ring
    labels: tuple[re.Match[str], ...]
    shafts: tuple[Shaft, ...]
    heads: tuple[Head, ...] = ()

    @property
    def grains(self) -> tuple[Vector, ...]:
        """The grain lines as vectors."""
        return tuple(vector(*shaft) for shaft in self.shafts)

    @property
    def place(self) -> str:
        """Where the outline lies, in words."""
        return f"the outline with its least corner {at(self.ring.min(axis=0))}"

    @cached_property
    def area_mm2(self) -> float:
        """The area inside the cut line, in square millimetres."""
        return float(shapely.area(shapely.Polygon(self.ring)))

    def key(self, known: Mapping[Key, Key]) -> Key:
        """Item and panel that the first label names, according to the known spellings."""
        key = (self.labels[0]["item"], self.labels[0]["panel"])
        return known.get(key, key)


def read_panels(drawing: Drawing) -> tuple[list[DrawnPanel], list[str]]:
    """The closed cut lines with their labels and grain lines, and labels outside all of them."""
    rings = [np.array(path.points) for path in drawing.paths if is_cut_line(path)]
    texts = [text for text in drawing.texts if text.pen is Pen.LABEL]
    labels = [(text, match) for text in texts if (match := _LABEL.fullmatch(text.content))]
    lines = [path.points for path in drawing.paths if _is_grain(path, 2)]
    heads = [path.points for path in drawing.paths if _is_grain(path, 3)]
    named, strays = _assign_to_rings(rings, [text.at for text, _ in labels])
    grained, _ = _assign_to_rings(rings, [_middle(*line) for line in lines])
    headed, _ = _assign_to_rings(rings, [_middle(left, right) for left, _, right in heads])
    cuts = [
        DrawnPanel(
            ring,
            tuple(labels[i][1] for i in names),
            tuple((lines[i][0], lines[i][1]) for i in shafts),
            tuple((heads[i][0], heads[i][1], heads[i][2]) for i in tips),
        )
        for ring, names, shafts, tips in zip(rings, named, grained, headed, strict=True)
    ]
    return cuts, [_stray(labels[i][0]) for i in strays]


def spellings(wanted: Iterable[Key]) -> dict[Key, Key]:
    """Keys as a label may spell them, in plain or their own letters, each with its true key."""
    keys = list(wanted)
    items = ascii_names(item for item, _ in keys)
    names = ascii_names(name for _, name in keys)
    plain = {(items[item], names[name]): (item, name) for item, name in keys}
    return {**plain, **{key: key for key in keys}}


def key_of(panel: Panel) -> Key:
    """Item and panel of a panel as labels have them."""
    return one_line(panel.item), one_line(panel.name)


def unmatched(drawn: Iterable[DrawnPanel], panels: Iterable[Panel]) -> int:
    """How many labelled outlines and panel copies have no partner of the other kind.

    Partners have the same item, panel, copy and part, and roughly the same area.
    """
    panels = tuple(panels)
    known = spellings(map(key_of, panels))
    labelled = {
        (cut.key(known), int(cut.labels[0]["copy"]), int(cut.labels[0]["part"])): cut.area_mm2
        for cut in drawn
        if cut.labels
    }
    wanted = {
        (key_of(panel), copy, part): panel.cut.area_mm2
        for panel in panels
        for copy in range(1, panel.quantity + 1)
        for part in range(1, panel.per_item + 1)
    }
    partners = sum(
        math.isclose(labelled[name], area, rel_tol=ALIKE_AREA)
        for name, area in wanted.items()
        if name in labelled
    )
    return len(labelled) + len(wanted) - 2 * partners


def unmatched_areas(drawn: Iterable[DrawnPanel], panels: Iterable[Panel]) -> int:
    """How many outlines and panel copies have no partner of the other kind and of its area."""
    left = [cut.area_mm2 for cut in drawn]
    alone = 0
    for panel in panels:
        area = panel.cut.area_mm2
        for _ in range(panel.quantity * panel.per_item):
            near = [one for one in left if math.isclose(one, area, rel_tol=ALIKE_AREA)]
            if near:
                left.remove(min(near, key=lambda one: abs(one - area)))
            else:
                alone += 1
    return alone + len(left)


def one_copy(
    drawn: Iterable[DrawnPanel], panels: Iterable[Panel], item: str
) -> tuple[DrawnPanel, ...]:
    """The outlines of the copy of an item that is drawn first; none if no copy is drawn.

    ``panels`` are all that labels may name.
    """
    known = spellings(map(key_of, panels))
    named = [cut for cut in drawn if cut.labels and cut.key(known)[0] == one_line(item)]
    return tuple(cut for cut in named if cut.labels[0]["copy"] == named[0].labels[0]["copy"])


def part_around(drawing: Drawing, drawn: Sequence[DrawnPanel]) -> Drawing:
    """The paths and texts of a drawing whose middles are inside the boxes of some outlines."""
    boxes = [(*cut.ring.min(axis=0), *cut.ring.max(axis=0)) for cut in drawn]

    def inside(x: float, y: float) -> bool:
        return any(left <= x <= right and low <= y <= top for left, low, right, top in boxes)

    return replace(
        drawing,
        paths=tuple(path for path in drawing.paths if path.points and inside(*_centre(path))),
        texts=tuple(text for text in drawing.texts if inside(*text.at)),
    )


def _centre(path: Path) -> Vector:
    """The middle of the box around a path."""
    xs, ys = zip(*path.points, strict=True)
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def is_cut_line(path: Path) -> bool:
    """Whether a path is a closed cut line that can enclose an area."""
    enough = path.closed and len(path.points) >= 3
    return path.pen is Pen.CUT and enough and bool(np.isfinite(path.points).all())


def vector(tail: Vector, head: Vector) -> Vector:
    """The vector from one point to another."""
    return head[0] - tail[0], head[1] - tail[1]


def _assign_to_rings(
    rings: Sequence[Ring], points: Sequence[Vector]
) -> tuple[list[list[int]], list[int]]:
    """Indices of the points inside each ring, and of those in none.

    Where rings overlap, a point goes to the one that has the fewest so far.
    """
    tree = shapely.STRtree([shapely.Polygon(ring) for ring in rings])
    hits = tree.query(shapely.points(np.reshape(points, (-1, 2))), predicate="within").T
    homes: list[list[int]] = [[] for _ in points]
    for point, ring in hits:
        homes[point].append(int(ring))
    inside: list[list[int]] = [[] for _ in rings]
    for point, candidates in enumerate(homes):
        if candidates:
            min((inside[ring] for ring in sorted(candidates)), key=len).append(point)
    return inside, [point for point, candidates in enumerate(homes) if not candidates]


def _is_grain(path: Path, points: int) -> bool:
    """Whether a path is a grain line, which has two points, or an arrowhead, which has three."""
    open_run = not path.closed and len(path.points) == points
    return path.pen is Pen.GRAIN and open_run and path.points[0] != path.points[-1]


def _stray(text: Text) -> str:
    return f"the label {text.content} {at(text.at)} is not inside any cut outline"


def _middle(tail: Vector, head: Vector) -> Vector:
    return (tail[0] + head[0]) / 2, (tail[1] + head[1]) / 2
