"""Reads the shapes of an SVG file that somebody else made, in millimetres.

The file is read by expat itself, element by element, which knows the line of
each. A file that declares entities is refused before any is expanded, and
nothing that a file refers to is ever fetched.
"""

import math
import re
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Final, NoReturn
from xml.parsers import expat

from nesting.drawings.drawing_units import unit_mm
from nesting.drawings.strokes import (
    FARTHEST_MM,
    MOST_POINTS,
    MOST_STROKES,
    Stroke,
    StrokeDrawing,
    own_coordinates,
    stroke,
)
from nesting.drawings.svg.paths import SHAPES, runs
from nesting.drawings.svg.transforms import Affine, numbers, transform
from nesting.errors import Fault, OrderError
from nesting.tolerances import CHORD_MM

_SPACE: Final = "http://www.w3.org/2000/svg"
_SIZE: Final = re.compile(r"\s*([0-9]*\.?[0-9]+(?:[eE][-+]?[0-9]+)?)\s*(mm|cm|in|pt|pc|Q)\s*")
#: Absolute lengths of CSS (CSS Values and Units, level 3, chapter 5.2).
_LENGTHS_MM: Final = {
    "mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6, "Q": 0.25
}  # fmt: skip

#: Elements whose children are not drawn where they stand.
_UNDRAWN: Final = (
    "defs", "symbol", "clipPath", "mask", "pattern", "marker", "metadata", "linearGradient",
    "radialGradient", "filter", "title", "desc", "style", "script",
)  # fmt: skip

#: Elements that only contain others.
_HOLDING: Final = ("svg", "g", "a", "switch")

_PATHS: Final = "turn clones, symbols and nested drawings into plain paths, and save it again"
_SAVE: Final = "save it again as plain SVG"


def read(data: bytes, unit: str | None) -> StrokeDrawing:
    """All shapes that an SVG file draws; ``unit`` is its user unit, if the order names one.

    Raises
    ------
    OrderError
        When the data are not SVG, declare entities, or state no unit.
    """
    parser = expat.ParserCreate(namespace_separator=" ")
    reading = _Reading(unit, lambda: parser.CurrentLineNumber)
    parser.SetParamEntityParsing(expat.XML_PARAM_ENTITY_PARSING_NEVER)
    parser.StartElementHandler = reading.start
    parser.EndElementHandler = reading.end
    parser.EntityDeclHandler = reading.refuse_entity
    try:
        parser.Parse(data, True)
    except OrderError:
        raise
    except expat.ExpatError as error:
        reason = expat.errors.messages.get(error.code, str(error))
        _refuse(f"line {error.lineno}", "must be an SVG drawing in well-formed XML", reason, _SAVE)
    except (LookupError, ValueError) as error:  # an unknown encoding
        _refuse("the drawing", "must be an SVG drawing", str(error)[:80], _SAVE)
    return reading.drawing


@dataclass
class _Reading:
    """What has been read so far.

    ``line`` returns the number of the line being read. ``stack`` has the map of
    each open element into millimetres, or None where nothing in it is drawn.
    """

    unit: str | None
    line: Callable[[], int]
    scale: float = 0.0
    stack: list[Affine | None] = field(default_factory=list)
    strokes: list[Stroke] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    passed_over: Counter[str] = field(default_factory=Counter)
    points: int = 0

    @property
    def drawing(self) -> StrokeDrawing:
        passed = tuple(sorted(self.passed_over.items()))
        words_at = own_coordinates(self.scale, -1)
        return StrokeDrawing(tuple(self.strokes), words_at, tuple(self.faults), passed, up=-1)

    def refuse_entity(self, name: str, *_: object) -> None:
        """Refuse an entity before it is expanded."""
        rule = "must not declare entities"
        _refuse(f"line {self.line()}", rule, f'"{name[:40]}"', _SAVE)

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        """Begin an element."""
        space, _, kind = tag.rpartition(" ")
        place = f"line {self.line()}, {kind}" + (
            f' "{attributes["id"][:40]}"' if "id" in attributes else ""
        )
        if not self.stack:
            self._begin(space, kind, attributes)
            return
        inside = self.stack[-1]
        self.stack.append(None)
        if inside is None or space != _SPACE or kind in _UNDRAWN or _hidden(attributes):
            return
        try:
            own = inside.after(transform(attributes.get("transform", "")))
            self._take(kind, attributes, own, place)
        except OrderError:
            raise
        except ArithmeticError:
            value = "its numbers are far too large or too small"
            self.faults.append(Fault(place, "must be a shape that can be read", value, _SAVE))
        except ValueError as error:
            self.faults.append(Fault(place, "must be a shape that can be read", str(error), _SAVE))

    def end(self, _tag: str) -> None:
        """End an element."""
        self.stack.pop()

    def _begin(self, space: str, kind: str, attributes: Mapping[str, str]) -> None:
        if kind != "svg" or space != _SPACE:
            _refuse(
                "the outermost element", "must be svg, in the name space of SVG", kind[:40], _SAVE
            )
        self.scale = _scale(attributes, self.unit)
        self.stack.append(Affine(self.scale, 0, 0, -self.scale))

    def _take(self, kind: str, attributes: Mapping[str, str], own: Affine, place: str) -> None:
        """Add one element that is drawn."""
        if kind in ("use", "svg", "foreignObject") or "transform" in attributes.get("style", ""):
            self.faults.append(Fault(place, "must be a plain path or shape", kind, _PATHS))
        elif kind in _HOLDING:
            self.stack[-1] = own
        elif kind not in SHAPES:
            self.passed_over[kind] += 1
        else:
            for points, closed in runs(kind, attributes, CHORD_MM / max(own.stretch, 1e-9)):
                self._add([own(point) for point in points], place, closed=closed)

    def _add(self, points: list[tuple[float, float]], place: str, *, closed: bool) -> None:
        self.points += len(points)
        if len(self.strokes) >= MOST_STROKES or self.points > MOST_POINTS:
            rule = f"must not have more than {MOST_STROKES} paths or {MOST_POINTS} points"
            _refuse("the drawing", rule, "", "remove everything but the outlines of the panels")
        if not all(abs(n) <= FARTHEST_MM for point in points for n in point):
            rule = "must lie within 1 km of the origin"
            self.faults.append(Fault(place, rule, "", "check the unit and the coordinates"))
        elif len(points) > 1:
            self.strokes.append(stroke(points, place, closed=closed))


def _hidden(attributes: Mapping[str, str]) -> bool:
    style = attributes.get("style", "").replace(" ", "")
    return attributes.get("display") == "none" or "display:none" in style


def _scale(attributes: Mapping[str, str], unit: str | None) -> float:
    """Millimetres of one user unit."""
    sides = [_SIZE.fullmatch(attributes.get(name, "")) for name in ("width", "height")]
    try:
        box = numbers(attributes.get("viewBox", ""))
    except ValueError:
        box = []
    shown = ", ".join(
        f"{key} {attributes.get(key, 'missing')[:40]}" for key in ("width", "height", "viewBox")
    )
    found = [
        float(side[1]) * _LENGTHS_MM[side[2]] / extent
        for side, extent in zip(sides, box[2:], strict=False)
        if side and extent > 0
    ]
    stretched = attributes.get("preserveAspectRatio", "").strip() == "none"
    if len(found) == 2 and stretched and not math.isclose(*found, rel_tol=1e-6):
        _refuse("svg", "must not be stretched one way", shown, "give both sides the same scale")
    scale = unit_mm(min(found) if len(box) == 4 and found else None, f"svg, {shown}", unit)
    if not 1e-9 < scale < FARTHEST_MM:
        _refuse("svg", "must have a unit of ordinary size", shown, "check width and viewBox")
    return scale


def _refuse(place: str, rule: str, value: str, remedy: str) -> NoReturn:
    raise OrderError([Fault(place, rule, value, remedy)])
