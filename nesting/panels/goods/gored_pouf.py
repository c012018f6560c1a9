"""A pouf sewn from gores between two round caps, or from gores that meet in points.

The profile is half an ellipse with the half axes a = D/2 across and
b = (H/2)/√(1 - (c/D)²) in height, cut off where it is as wide as the cap c.
At the parameter t it has the radius a·cos t and the height b·sin t. A gore is
the profile rolled flat: x is the length s(t) along the meridian, the half
width is π·r/n, the n-th part of the circumference. (For a sphere this is the
sinusoidal projection: USGS Professional Paper 1395.) Cloth bends round the
circumference, so widths are arcs of it, not chords.
"""

import math
from itertools import pairwise

from nesting.errors import Fault
from nesting.geometry.curves import Curve, Point, circle, line, smooth
from nesting.panels.cautions import BEADS, BLADES, FIRE, LOCAL_RULES
from nesting.panels.draft import Draft, EdgeUse, Fact, Mark, Seam, marks_along
from nesting.panels.finished import FinishedPanel
from nesting.panels.product import (
    Measurement,
    MeasurementKind,
    Values,
    allowance_faults,
    length,
    number,
    register,
)
from nesting.panels.sewing import Step, Stitch, beads

#: Points taken on half a profile: their distances fall short of its true
#: length by less than a millionth.
_POINTS = 1000

#: Millimetres below which a cap or a pouf cannot be sewn and turned.
_LEAST_CAP_MM = 10.0
_LEAST_HEIGHT_MM = 20.0

#: Height to diameter, at least and at most: flatter ones fold at the equator
#: (a round cushion), taller ones are bolsters.
_FLATTEST, _TALLEST = 1 / 10, 10.0

#: The caps by themselves, where an order wants one of them from another cloth.
_CAPS = ("top-cap", "bottom-cap")

#: Millimetres between notches on the rim of a cap.
_RIM_MARKS_APART = 20.0


class GoredPouf:
    """Gores and, unless they meet in points, two caps."""

    name = "gored-pouf"
    summary = "floor pouf sewn from gores, with two round caps or pointed ends"
    measurements = (
        Measurement(
            "diameter",
            MeasurementKind.LENGTH,
            "finished diameter at the equator",
            required=True,
            least=50.0,
            greatest=10_000.0,
            example=500.0,
        ),
        Measurement(
            "height",
            MeasurementKind.LENGTH,
            "finished height, cap plane to cap plane; absent: that of a sphere",
            least=_LEAST_HEIGHT_MM,
            greatest=10_000.0,
        ),
        Measurement(
            "gores",
            MeasurementKind.COUNT,
            "number of gores (three or fewer make no round shape)",
            default=8,
            least=4,
            greatest=48,
        ),
        Measurement(
            "cap_diameter",
            MeasurementKind.LENGTH,
            "finished diameter of the caps; 0: the gores meet in points",
            default=0.0,
            least=0.0,
            greatest=10_000.0,
            example=180.0,
        ),
    )
    cautions = (BEADS, FIRE, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Caps and heights that no such pouf can have, and allowances too wide for it."""
        return _shape_faults(values) or allowance_faults(self.draft(values), allowance_mm)

    def draft(self, values: Values) -> Draft:
        """Gores side by side, closed by a cap at the head and one at the tail."""
        gores, cap = number(values, "gores"), length(values, "cap_diameter")
        half = smooth(_half_edge(values))
        gore = _gore(half, gores)
        side = gore.edges["left"].length_mm
        seams = [
            Seam(
                "gore to gore",
                (EdgeUse("gore", "right"),),
                (EdgeUse("gore", "left"),),
                marks_along(side, parts=4, doubled=3),
                times=gores,
            )
        ]
        panels = [gore]
        if cap:
            panels.append(FinishedPanel("cap", 2, {"rim": circle(cap / 2)}, parts=_CAPS))
            seams += [_cap_seam(end, gores, math.pi * cap) for end in ("head", "tail")]
        litres = _litres(values)
        return Draft(
            tuple(panels),
            tuple(seams),
            _facts(values, half, side),
            steps=_steps([seam.name for seam in seams]),
            notions=(beads(litres),),
            volume_litres=litres,
        )


def _height(values: Values) -> float:
    """Height from cap plane to cap plane: the given one, or that of a sphere."""
    if values["height"] is not None:
        return length(values, "height")
    diameter, cap = length(values, "diameter"), length(values, "cap_diameter")
    return math.sqrt(diameter**2 - cap**2)


def _half_edge(values: Values) -> list[Point]:
    """Many points of a gore's edge, from the equator to the head."""
    diameter, cap = length(values, "diameter"), length(values, "cap_diameter")
    across = diameter / 2
    high = _height(values) / 2 / math.sqrt(1 - (cap / diameter) ** 2)
    last = math.acos(cap / diameter)
    angles = [last * i / _POINTS for i in range(_POINTS)]
    profile = [(high * math.sin(t), across * math.cos(t)) for t in angles]
    profile.append((high * math.sin(last), cap / 2))
    widen = math.pi / number(values, "gores")
    met = 0.0
    points = [(met, widen * across)]
    for before, after in pairwise(profile):
        met += math.dist(before, after)
        points.append((met, widen * after[1]))
    return points


def _litres(values: Values) -> float:
    """Volume of the solid that the profile turns: ∫π·r² dh, r² = a²·(1 - h²/b²)."""
    across, tall = length(values, "diameter") / 2, _height(values)
    cap = length(values, "cap_diameter") / 2
    return math.pi * tall * (2 * across**2 + cap**2) / 3 / 1e6


def _steps(seams: list[str]) -> tuple[Step, ...]:
    between, *caps = seams
    closing = [Step("sew a cap to the gores at either end, notches on gore seams", tuple(caps))]
    return (
        Step("sew the gores side to side, leaving part of the last seam open", (between,)),
        *(closing if caps else []),
        Step("turn the cover face out, put the inner bag in, close the seam", stitch=Stitch.HAND),
    )


def _gore(half: Curve, gores: int) -> FinishedPanel:
    """A gore about the origin, head towards greater x; ``left`` as seen towards the head."""
    there = [(-x, -y) for x, y in reversed(half.points)]
    back = [(x, -y) for x, y in half.points[1:]]
    right = Curve((*there, *back), 2 * half.length_mm)
    left = right.turned(180)
    x, y = half.points[-1]
    if not y:
        return FinishedPanel("gore", gores, {"right": right, "left": left})
    head = line((x, -y), (x, y))
    tail = head.turned(180)
    edges = {"right": right, "head": head, "left": left, "tail": tail}
    return FinishedPanel("gore", gores, edges)


def _cap_seam(end: str, gores: int, rim: float) -> Seam:
    """All gores to a cap, its rim marked where every gore seam, or every few, will lie."""
    even = [k for k in range(1, gores + 1) if gores % k == 0]
    every = next((k for k in even if rim * k / gores >= _RIM_MARKS_APART), gores)
    return Seam(
        f"gores to cap at the {end}",
        (EdgeUse("gore", end, gores),),
        (EdgeUse("cap", "rim"),),
        tuple(Mark(i / gores) for i in range(0, gores, every)),
    )


def _shape_faults(values: Values) -> tuple[Fault, ...]:
    diameter, cap = length(values, "diameter"), length(values, "cap_diameter")
    if cap >= diameter:
        return (
            Fault(
                "cap_diameter",
                f"must be less than the diameter of the pouf ({diameter:g} mm)",
                f"{cap:g} mm",
                "make the cap narrower or the pouf wider",
            ),
        )
    faults = []
    if 0 < cap < _LEAST_CAP_MM:
        remedy = "give 0 for gores that meet in points"
        rule = f"must be 0 or at least {_LEAST_CAP_MM:g} mm"
        faults.append(Fault("cap_diameter", rule, f"{cap:g} mm", remedy))
    return (*faults, *_height_faults(diameter, _height(values), given=values["height"] is not None))


def _height_faults(diameter: float, height: float, *, given: bool) -> tuple[Fault, ...]:
    least, greatest = max(_LEAST_HEIGHT_MM, _FLATTEST * diameter), _TALLEST * diameter
    if least <= height <= greatest:
        return ()
    rule = f"must be between {least:g} mm and {greatest:g} mm for a diameter of {diameter:g} mm"
    if given:
        remedy = "a flatter one is a cushion, a taller one a bolster"
        return (Fault("height", rule, f"{height:g} mm", remedy),)
    rule = f"leaves a sphere too little height between its caps, which {rule}"
    return (Fault("cap_diameter", rule, f"{height:.1f} mm", "give a narrower cap, or the height"),)


def _facts(values: Values, half: Curve, side: float) -> tuple[Fact, ...]:
    diameter, gores = length(values, "diameter"), number(values, "gores")
    centre, arc = 2 * half.points[-1][0], math.pi * diameter / gores
    chord = diameter * math.sin(math.pi / gores)
    follows = (
        ()
        if values["height"] is not None
        else (Fact("height of the sphere: {}", (_height(values),)),)
    )
    return (
        *follows,
        Fact(
            "gore: {} along its centre line; its edges are {}, "
            f"{100 * (side / centre - 1):.2f} % longer",
            (centre, side),
        ),
        Fact(
            "gore: {} wide at the equator, its share of the circumference, round which the "
            "cloth bends; straight across it would be {}",
            (arc, chord),
        ),
    )


register(GoredPouf())
