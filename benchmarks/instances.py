"""Reads open strip packing sets as problems, each on a grid that suits it.

Two formats are read (both from the ESICUP collection of cutting and packing
data sets, converted to JSON). A file has one instance with ``strip_width`` and
``pieces`` (``name``, ``quantity``, ``rotations_deg``, ``outline``), or many
rectangle sets under ``instances``, each with ``strip_width`` and
``rectangles``, which may be turned by a quarter.
"""

import json
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from typing import Any, Final

from benchmarks.published import Published, published_results
from nesting.geometry.outline import Outline
from nesting.geometry.transforms import shifted, turned
from nesting.layouts.layout import Layout
from nesting.layouts.problem import Piece, Problem, Shape

#: Least number of grid units across a strip.
FINE: Final = 100_000

#: Greatest number of grid units across a strip; data with more decimals are rounded.
FINEST: Final = 10_000_000

#: Errors that a file in neither format raises.
_UNREADABLE: Final = (ArithmeticError, AttributeError, KeyError, TypeError, ValueError)

GridRing = tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Kind:
    """One kind of piece of an instance, in its own exact coordinates."""

    name: str
    outline: tuple[tuple[Fraction, Fraction], ...]
    turns: tuple[int, ...]
    quantity: int = 1

    def on_grid(self, scale: int) -> GridRing:
        """The outline in grid units, not shifted."""
        return tuple((round(x * scale), round(y * scale)) for x, y in self.outline)


@dataclass(frozen=True)
class Placed:
    """The place of a piece: its outline is turned about the origin, then shifted by (x, y)."""

    piece: str
    turn_deg: int
    x: float
    y: float


@dataclass(frozen=True)
class Instance:
    """A strip packing instance; ``scale`` grid units are one of its own units.

    ``rectangles`` tells that it is a rectangle set, without coordinates of its own.
    """

    name: str
    strip_width: Fraction
    kinds: tuple[Kind, ...]
    published: tuple[Published, ...]
    rectangles: bool = False

    @cached_property
    def scale(self) -> int:
        """The least power of ten that is fine enough and, if decimals allow, exact.

        With a power of ten, coordinates are short decimal numbers.
        """
        numbers = [n for kind in self.kinds for point in kind.outline for n in point]
        exact = math.lcm(*(n.denominator for n in (self.strip_width, *numbers)))
        scale = 1
        while scale * self.strip_width < FINE or scale % exact:
            if scale * 10 * self.strip_width > FINEST:
                break
            scale *= 10
        return scale

    @cached_property
    def problem(self) -> Problem:
        """The instance on the grid; equal outlines with equal turns are one shape."""
        shapes: dict[Shape, int] = {}
        pieces = []
        for kind in self.kinds:
            shape = Shape(Outline(_from_origin(kind.on_grid(self.scale))), kind.turns)
            index = shapes.setdefault(shape, len(shapes))
            pieces += [Piece(index)] * kind.quantity
        return Problem(math.floor(self.strip_width * self.scale), tuple(shapes), tuple(pieces))

    def density(self, length: float) -> float:
        """Share of a strip of this length that the pieces cover, in per cent."""
        area = self.problem.area2 / (2 * self.scale**2)
        return 100 * area / (float(self.strip_width) * length)

    def placed(self, layout: Layout) -> tuple[Placed, ...]:
        """A layout of the problem in the instance's own coordinates, starting at x = 0."""
        start = min(place.x for place in layout.placements)
        kinds = [kind for kind in self.kinds for _ in range(kind.quantity)]
        placed = []
        for kind, place in zip(kinds, layout.placements, strict=True):
            x, y = _least(turned(kind.on_grid(self.scale), place.turn))
            shift = (place.x - start - x) / self.scale, (place.y - y) / self.scale
            placed.append(Placed(kind.name, place.turn, *shift))
        return tuple(placed)

    def recorded(self, placed: Placed) -> Placed:
        """A place as a record states it: (x, y) of a rectangle is its least corner as it lies."""
        if not self.rectangles:
            return placed
        (kind,) = (kind for kind in self.kinds if kind.name == placed.piece)
        x, y = _least(turned(kind.on_grid(self.scale), placed.turn_deg))
        corner = [
            round(shift * self.scale + least) / self.scale
            for shift, least in ((placed.x, x), (placed.y, y))
        ]
        return Placed(placed.piece, placed.turn_deg, *corner)


def read_instances(place: Path) -> Iterator[Instance]:
    """Every instance in one JSON file, or in those of a folder in the order of their names.

    Raises
    ------
    ValueError
        When a file is in neither format; the message has its name.
    """
    for path in sorted(place.glob("*.json")) if place.is_dir() else [place]:
        try:
            data = json.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)
            found = list(_instances(data))
        except _UNREADABLE as error:
            msg = f"{path} is not in a known format: {error!r}"
            raise ValueError(msg) from error
        yield from found


def _instances(data: Mapping[str, Any]) -> Iterator[Instance]:
    if "instances" not in data:
        yield _instance(data["name"], data, map(_kind, data["pieces"]))
        return
    for name, each in data["instances"].items():
        kinds = (_rectangle(index, sides) for index, sides in enumerate(each["rectangles"]))
        yield replace(_instance(name, each, kinds), rectangles=True)


def _instance(name: str, data: Mapping[str, Any], kinds: Iterable[Kind]) -> Instance:
    width = Fraction(data["strip_width"])
    return Instance(name, width, tuple(kinds), published_results(data))


def _kind(piece: Mapping[str, Any]) -> Kind:
    outline = tuple((Fraction(x), Fraction(y)) for x, y in piece["outline"])
    turns = tuple(int(turn) for turn in piece["rotations_deg"])
    if not {0, 90, 180, 270}.issuperset(turns):
        msg = f"{piece['name']}: only quarter turns are possible, not {turns}"
        raise ValueError(msg)
    return Kind(piece["name"], outline, turns, int(piece["quantity"]))


def _rectangle(index: int, sides: tuple[Any, Any]) -> Kind:
    """A rectangle, named by its place in the list; at turn 0 of ``[w, h]`` w is along the strip."""
    w, h = map(Fraction, sides)
    zero = Fraction(0)
    return Kind(str(index), ((zero, zero), (w, zero), (w, h), (zero, h)), (0, 90))


def _from_origin(ring: GridRing) -> GridRing:
    x, y = _least(ring)
    return shifted(ring, -x, -y)


def _least(ring: GridRing) -> tuple[int, int]:
    xs, ys = zip(*ring, strict=True)
    return min(xs), min(ys)
