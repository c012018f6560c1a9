"""Rectangles with rounded corners: straight sides, and a quarter of a circle at each corner."""

from collections.abc import Iterable
from itertools import groupby
from typing import Final

from nesting.geometry.curves import Curve, arc, line

#: The sides of a plate, anticlockwise as it lies face up.
SIDES: Final = ("front", "right", "back", "left")

#: The sides in a strip's order: it starts and ends at the back, where a join is seen least.
ROUND: Final = ("left", "front", "right", "back")

#: Millimetres below which a straight side has vanished between its corners.
_VANISHED: Final = 1e-6


def rounded_rectangle(x: float, y: float, radius: float) -> dict[str, Curve]:
    """The edges of a rectangle from (0, 0) to (x, y), named by the sides they follow.

    Corners are named by the two sides they join, front or back first
    (``front-right``); without a radius there are none. A side that vanishes
    between its corners is left out.
    """
    if not radius:
        ends = ((0.0, 0.0), (x, 0.0), (x, y), (0.0, y), (0.0, 0.0))
        return {name: line(ends[i], ends[i + 1]) for i, name in enumerate(SIDES)}
    r, right, back = radius, x - radius, y - radius
    edges = {
        "front": line((r, 0.0), (right, 0.0)),
        "front-right": arc((right, r), r, 270, 90),
        "right": line((x, r), (x, back)),
        "back-right": arc((right, back), r, 0, 90),
        "back": line((right, y), (r, y)),
        "back-left": arc((r, back), r, 90, 90),
        "left": line((0.0, back), (0.0, r)),
        "front-left": arc((r, r), r, 180, 90),
    }
    return {name: edge for name, edge in edges.items() if edge.length_mm > _VANISHED}


def sides_of(edges: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """The edges of each side, as a strip goes round; rounded corners belong to right and left.

    Front and back therefore stay straight, as a zip requires.
    """
    grouped = groupby(edges, key=lambda edge: edge.split("-")[-1])
    sides = {side: tuple(members) for side, members in grouped}
    return {side: sides[side] for side in ROUND if side in sides}


def face_down(edges: tuple[str, ...]) -> tuple[str, ...]:
    """Edges of the rectangle lying face down, in the order of those above them."""
    swapped = {"right": "left", "left": "right"}
    return tuple("-".join(swapped.get(word, word) for word in edge.split("-")) for edge in edges)
