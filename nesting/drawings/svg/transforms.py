"""The transform attribute of SVG as an affine map (SVG 1.1, chapter 7.6)."""

import math
import re
from dataclasses import dataclass
from typing import Final

Point = tuple[float, float]

_NUMBER: Final = r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?"
_STEP: Final = re.compile(r"\s*([A-Za-z]+)\s*\(([^()]*)\)[\s,]*")
_SEPARATED: Final = re.compile(rf"\s*{_NUMBER}(?:(?:\s*,\s*|\s+|(?=[-+])){_NUMBER})*\s*")

#: How many numbers each step takes.
_TAKES: Final = {
    "matrix": (6,), "translate": (1, 2), "scale": (1, 2), "rotate": (1, 3), "skewX": (1,),
    "skewY": (1,),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Affine:
    """The map (x, y) to (ax + cy + e, bx + dy + f)."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def __call__(self, point: Point) -> Point:
        """The image of a point."""
        x, y = point
        return self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f

    def after(self, first: "Affine") -> "Affine":
        """The map that applies ``first`` and then this one."""
        a, b = self.a * first.a + self.c * first.b, self.b * first.a + self.d * first.b
        c, d = self.a * first.c + self.c * first.d, self.b * first.c + self.d * first.d
        return Affine(a, b, c, d, *self((first.e, first.f)))

    @property
    def stretch(self) -> float:
        """Upper bound of the factor by which the map can lengthen a line."""
        return math.hypot(self.a, self.b, self.c, self.d)


def numbers(text: str) -> list[float]:
    """Numbers with blanks or commas between them.

    Raises
    ------
    ValueError
        When the text has anything else, or a number is not finite.
    """
    if not text.strip():
        return []
    if _SEPARATED.fullmatch(text) is None:
        msg = f"not a list of numbers: {text[:40]!r}"
        raise ValueError(msg)
    found = [float(each) for each in re.findall(_NUMBER, text)]
    if not all(map(math.isfinite, found)):
        msg = f"numbers must be finite: {text[:40]!r}"
        raise ValueError(msg)
    return found


def transform(text: str) -> Affine:
    """The map that a transform attribute describes; a ValueError if it describes none."""
    whole, at = Affine(), 0
    while text[at:].strip():
        step = _STEP.match(text, at)
        if step is None or step[1] not in _TAKES:
            msg = f"not a transform: {text[at : at + 40]!r}"
            raise ValueError(msg)
        given = numbers(step[2])
        if len(given) not in _TAKES[step[1]]:
            msg = f"{step[1]} does not take {len(given)} numbers"
            raise ValueError(msg)
        whole, at = whole.after(_affine(step[1], given)), step.end()
    return whole


def _affine(step: str, given: list[float]) -> Affine:
    first, second = given[0], given[1] if len(given) > 1 else None
    if step == "matrix":
        return Affine(*given)
    if step == "translate":
        return Affine(e=first, f=second or 0.0)
    if step == "scale":
        return Affine(a=first, d=first if second is None else second)
    tangent = math.tan(math.radians(first))
    if step == "skewX":
        return Affine(c=tangent)
    if step == "skewY":
        return Affine(b=tangent)
    x, y = given[1:] if len(given) == 3 else (0.0, 0.0)
    cos, sin = math.cos(math.radians(first)), math.sin(math.radians(first))
    about = Affine(cos, sin, -sin, cos)
    there, back = Affine(e=x, f=y), Affine(e=-x, f=-y)
    return there.after(about).after(back)
