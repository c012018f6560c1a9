"""A waterfall cushion: its cover runs over the front without a seam.

One wrap makes the top, the front and the bottom, between two sides; the back
is a panel of its own. The front is a half circle (a bullnose), or is rounded by
a lesser radius above and below.
"""

import math
from dataclasses import replace
from typing import Final

from nesting.errors import Fault
from nesting.geometry.curves import Curve, arc, joined, line
from nesting.panels.allowances import allowance_faults
from nesting.panels.cautions import BLADES, CHILDREN, FIRE, LABELS, LOCAL_RULES
from nesting.panels.drafting.draft import Draft, Fact
from nesting.panels.drafting.finished import FinishedPanel
from nesting.panels.drafting.sewing import Notion, foam
from nesting.panels.measurements import (
    Measurement,
    MeasurementKind,
    Values,
    given_length,
    length,
    number_or,
    word,
)
from nesting.panels.parts.closures import (
    Closing,
    closing,
    closure_faults,
    closure_measurements,
    zip_allowances,
)
from nesting.panels.parts.filling import Fill, fill_measurement, loose_fill
from nesting.panels.parts.strips.strip import Side, Strip, rim_of, strips_measurement
from nesting.panels.parts.strips.wrap import (
    WRAP_GRAIN,
    SeparateSide,
    wrap_steps,
    wrap_with_separate_side,
)
from nesting.panels.product import register
from nesting.sentences import Length, Sentence, at_least, at_most

#: The edges of a side, anticlockwise, and those below them on the other side,
#: which is the same panel turned over.
_WAY: Final = ("bottom", "front", "top", "back")
_TURNED_OVER: Final = ("top", "front", "bottom", "back")

_BACK: Final = SeparateSide(_WAY.index("back"), "back", ("back-upper", "back-lower"))

#: Millimetres of a straight edge that can be drawn and sewn.
_STRAIGHT: Final = 1.0


class WaterfallCushion:
    """Two sides, a wrap in one or several pieces, and a back."""

    name = "waterfall-cushion"
    summary = "waterfall or bullnose cushion: the cover runs over a round front without a seam"
    measurements = (
        Measurement(
            "depth",
            MeasurementKind.LENGTH,
            "finished depth, from the back to the front of the rounded edge",
            required=True,
            least=100.0,
            greatest=3_000.0,
            example=550.0,
        ),
        Measurement(
            "width",
            MeasurementKind.LENGTH,
            "finished width, side to side",
            required=True,
            least=100.0,
            greatest=3_000.0,
            example=600.0,
        ),
        Measurement(
            "thickness",
            MeasurementKind.LENGTH,
            "finished thickness",
            required=True,
            least=20.0,
            greatest=1_000.0,
            example=120.0,
        ),
        Measurement(
            "front_radius",
            MeasurementKind.LENGTH,
            "radius of the front above and below; default: half the thickness, a bullnose",
            least=5.0,
            greatest=500.0,
        ),
        strips_measurement(1, what="the wrap"),
        WRAP_GRAIN,
        *closure_measurements("back", kinds=("none", "zip")),
        fill_measurement(Fill.FOAM, Fill.FIBRE),
    )
    cautions = (CHILDREN, FIRE, LABELS, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Rounds larger than the cushion, openings too long, allowances too wide."""
        found = (*_radius_faults(values), *closure_faults(values, _rooms(values)))
        return found or allowance_faults(self.draft(values), allowance_mm)

    def draft(self, values: Values) -> Draft:
        """Both sides sewn to the wrap and the back."""
        width, shut = length(values, "width"), closing(values, _rooms(values))
        side = FinishedPanel("side", 2, _edges(values), parts=("left-side", "right-side"))
        strip = _wrap(values, side, shut)
        run = sum(edge.length_mm for name, edge in side.edges.items() if name != "back")
        litres = _profile(values) * width / 1e6
        way = "ease the wrap round the front, its allowance clipped every 10 to 15 mm"
        return Draft(
            (side, *strip.panels),
            strip.seams,
            (Fact("wrap: {} over top, front and bottom", (run,)), *_foam_facts(values)),
            allowances_mm=zip_allowances(values),
            joinings=(strip.joining,),
            steps=wrap_steps(values, strip.seams, shut, "back", way),
            notions=(*_filling(values, litres), *(shut.notions if shut else ())),
            volume_litres=litres,
        )


def _radius(values: Values) -> float:
    return given_length(values, "front_radius", length(values, "thickness") / 2)


def _rooms(values: Values) -> dict[str, float]:
    """The zip runs from side to side."""
    return {"back": length(values, "width")}


def _profile(values: Values) -> float:
    """Area of a side: both rounds together leave out (2 - π/2)·r² of a rectangle."""
    deep, thick = length(values, "depth"), length(values, "thickness")
    return deep * thick - (2 - math.pi / 2) * _radius(values) ** 2


def _edges(values: Values) -> dict[str, Curve]:
    """A side seen from the left, the front at the right hand."""
    deep, thick, r = length(values, "depth"), length(values, "thickness"), _radius(values)
    straight = deep - r
    below, above = arc((straight, r), r, 270, 90), arc((straight, thick - r), r, 0, 90)
    upright = [line((deep, r), (deep, thick - r))] if thick - 2 * r >= _STRAIGHT else []
    return {
        "bottom": line((0.0, 0.0), (straight, 0.0)),
        "front": joined(below, *upright, above),
        "top": line((straight, thick), (0.0, thick)),
        "back": line((0.0, thick), (0.0, 0.0)),
    }


def _wrap(values: Values, side: FinishedPanel, shut: Closing | None) -> Strip:
    """The wrap from the lower corner of the back, over the front, to its upper corner."""
    sides = [Side(name, side.edges[name].length_mm) for name in _WAY]
    rims = [
        rim_of("left side", side.name, _WAY, "upper", "left-side"),
        rim_of("right side", side.name, _TURNED_OVER, "lower", "right-side"),
    ]
    pieces, grain = number_or(values, "strips", 1), values["strip_grain"]
    return wrap_with_separate_side(sides, _BACK, length(values, "width"), pieces, grain, rims, shut)


def _filling(values: Values, litres: float) -> tuple[Notion, ...]:
    if word(values, "fill") != Fill.FOAM:
        return loose_fill(values, litres)
    block = foam(length(values, "depth"), length(values, "width"), length(values, "thickness"))
    return (replace(block, words=f"{block.words}; its front rounded"),)


def _foam_facts(values: Values) -> tuple[Fact, ...]:
    if word(values, "fill") != Fill.FOAM:
        return ()
    return (Fact("round the front of the foam above and below, radius {}", (_radius(values),)),)


def _radius_faults(values: Values) -> tuple[Fault, ...]:
    radius, thick, deep = _radius(values), length(values, "thickness"), length(values, "depth")
    upright = thick - 2 * radius
    if upright < -1e-6 or 1e-6 < upright < _STRAIGHT:
        words = "must be at most half of the thickness ({}), or leave {} upright"
        most = at_most(thick / 2, otherwise_mm=(thick - _STRAIGHT) / 2)
        rule = Sentence(words, (most, at_least(_STRAIGHT)))
        remedy = "remove it for a bullnose"
        return (Fault("front_radius", rule, Length(radius), remedy),)
    if deep < radius + _STRAIGHT:
        words = "must be at least {}, a little more than the radius of the front"
        rule = Sentence(words, (at_least(radius + _STRAIGHT),))
        return (Fault("depth", rule, Length(deep), "make it deeper or thinner"),)
    return ()


register(WaterfallCushion())
