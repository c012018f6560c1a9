"""A wedge: a wrap over bottom, back and slope between two sides.

The sides are triangles with a right angle at the back, or where the front has
a height of its own, trapezia; each is the mirror image of the other.
"""

import math
from typing import Final

from nesting.errors import Fault
from nesting.panels.allowances import allowance_faults
from nesting.panels.cautions import BLADES, CHILDREN, FIRE, LABELS, LOCAL_RULES
from nesting.panels.drafting.draft import Draft, Fact
from nesting.panels.drafting.finished import FinishedPanel, mirror_image, polygon
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
from nesting.panels.parts.strips.long_strip import long_strip
from nesting.panels.parts.strips.strip import Side, Strip, rim_of, strips_measurement
from nesting.panels.parts.strips.wrap import (
    WRAP_GRAIN,
    SeparateSide,
    wrap_steps,
    wrap_with_separate_side,
)
from nesting.panels.product import register
from nesting.sentences import Length, Sentence, at_least

_RIGHT, _LEFT = "right-side", "left-side"

#: Height over depth below which the point in front is too sharp to sew and turn
#: (common practice: about 8 degrees).
_FLATTEST: Final = 0.14

#: Least difference in millimetres between the heights of back and front.
_RISE: Final = 10.0

#: Halves of the side with the zip, in the order in which the wrap's way meets them.
_HALVES: Final = {"back": ("back-upper", "back-lower"), "bottom": ("bottom-back", "bottom-front")}


class Wedge:
    """Two sides and a wrap in one or several pieces."""

    name = "wedge"
    summary = "wedge cushion: a wrap over bottom, back and slope between two sides"
    measurements = (
        Measurement(
            "depth",
            MeasurementKind.LENGTH,
            "finished depth along the bottom, front to back",
            required=True,
            least=100.0,
            greatest=3_000.0,
            example=500.0,
        ),
        Measurement(
            "width",
            MeasurementKind.LENGTH,
            "finished width, side to side",
            required=True,
            least=100.0,
            greatest=3_000.0,
            example=500.0,
        ),
        Measurement(
            "height",
            MeasurementKind.LENGTH,
            "finished height of the back",
            required=True,
            least=30.0,
            greatest=2_000.0,
            example=250.0,
        ),
        Measurement(
            "front_height",
            MeasurementKind.LENGTH,
            "finished height of the front; default: it runs out to an edge",
            least=20.0,
            greatest=2_000.0,
        ),
        strips_measurement(1, what="the wrap"),
        WRAP_GRAIN,
        *closure_measurements("back", "bottom", kinds=("none", "zip")),
        fill_measurement(Fill.FOAM, Fill.FIBRE),
    )
    cautions = (CHILDREN, FIRE, LABELS, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Wedges that are flat or too sharp, openings too long, allowances too wide."""
        found = (*_shape_faults(values), *closure_faults(values, _rooms(values)))
        return found or allowance_faults(self.draft(values), allowance_mm)

    def draft(self, values: Values) -> Draft:
        """Both sides sewn to the wrap all round."""
        width, shut = length(values, "width"), closing(values, _rooms(values))
        left = _side(values)
        strip = _wrap(values, left, shut)
        slope = left.edges["slope"].length_mm
        tilt = math.degrees(math.atan2(_rise(values), length(values, "depth")))
        litres = _profile(values) * width / 1e6
        way = "clip the wrap at each corner, turn there with the needle down"
        return Draft(
            (left, mirror_image(left, _RIGHT), *strip.panels),
            strip.seams,
            (Fact(f"slope: {{}} long, {tilt:.1f}° from the level", (slope,)), *_foam_facts(values)),
            allowances_mm=zip_allowances(values),
            joinings=(strip.joining,),
            steps=wrap_steps(values, strip.seams, shut, shut.place if shut else "", way),
            notions=(*_filling(values, litres), *(shut.notions if shut else ())),
            volume_litres=litres,
        )


def _front(values: Values) -> float:
    return given_length(values, "front_height", 0.0)


def _rise(values: Values) -> float:
    return length(values, "height") - _front(values)


def _profile(values: Values) -> float:
    """Area of a side."""
    return length(values, "depth") * (length(values, "height") + _front(values)) / 2


def _rooms(values: Values) -> dict[str, float]:
    """A zip runs from side to side, in the back or in the bottom."""
    return dict.fromkeys(_HALVES, length(values, "width"))


def _side(values: Values) -> FinishedPanel:
    """The left side, seen from the left: the front at the right hand."""
    deep, high, low = length(values, "depth"), length(values, "height"), _front(values)
    front = {"front": (deep, 0.0)} if low else {}
    corners = {"bottom": (0.0, 0.0), **front, "slope": (deep, low), "back": (0.0, high)}
    return polygon(_LEFT, 1, corners)


def _wrap(values: Values, left: FinishedPanel, shut: Closing | None) -> Strip:
    """The wrap, from the corner of bottom and back; a side with a zip is a panel of its own."""
    names = tuple(left.edges)
    sides = [Side(name, left.edges[name].length_mm) for name in names]
    rims = [
        rim_of("left side", _LEFT, names, "upper"),
        rim_of("right side", _RIGHT, names, "lower"),
    ]
    width, grain = length(values, "width"), values["strip_grain"]
    pieces = number_or(values, "strips", 1)
    if shut is None:
        back = names.index("back")
        return long_strip("wrap", sides, width, pieces, grain, rims, doubled=back)
    apart = SeparateSide(names.index(shut.place), shut.place, _HALVES[shut.place])
    return wrap_with_separate_side(sides, apart, width, pieces, grain, rims, shut)


def _filling(values: Values, litres: float) -> tuple[Notion, ...]:
    if word(values, "fill") == Fill.FOAM:
        return (foam(length(values, "depth"), length(values, "width"), length(values, "height")),)
    return loose_fill(values, litres)


def _foam_facts(values: Values) -> tuple[Fact, ...]:
    if word(values, "fill") != Fill.FOAM:
        return ()
    high, low = length(values, "height"), _front(values)
    if not low:
        return (
            Fact("cut the block of foam on the slope, from {} at the back to an edge", (high,)),
        )
    return (Fact("cut the block of foam on the slope, from {} at the back to {}", (high, low)),)


def _shape_faults(values: Values) -> tuple[Fault, ...]:
    deep, high = length(values, "depth"), length(values, "height")
    if _front(values) and _rise(values) < _RISE:
        words = "must be at least {} less than the back's ({})"
        rule = Sentence(words, (at_least(_RISE), Length(high)))
        remedy = "make it lower; a level one is a box cushion"
        return (Fault("front_height", rule, Length(_front(values)), remedy),)
    if not _front(values) and high < _FLATTEST * deep:
        words = "must be at least {} where the front runs out to an edge"
        rule = Sentence(words, (at_least(_FLATTEST * deep),))
        remedy = "make the back higher, or give a front_height"
        return (Fault("height", rule, Length(high), remedy),)
    return ()


register(Wedge())
