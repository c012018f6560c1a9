"""A box cushion: two rectangular plates with boxing between them.

The boxing is as long as the plate's stitch line, not as its cut edge. Corners
may be rounded; joins of the boxing then fall where the front or the back ends.
"""

import math
from dataclasses import replace
from itertools import accumulate
from typing import Final

from nesting.errors import Fault
from nesting.panels.allowances import allowance_faults
from nesting.panels.cautions import BLADES, CHILDREN, FIRE, LABELS, LOCAL_RULES
from nesting.panels.drafting.draft import Draft, Fact, Seam
from nesting.panels.drafting.finished import FinishedPanel
from nesting.panels.drafting.sewing import FOAM_OVER_MM, Notion, Step, foam
from nesting.panels.measurements import (
    Measurement,
    MeasurementKind,
    Values,
    given_length,
    length,
    number,
    word,
)
from nesting.panels.parts.boxed import (
    BOTTOM,
    BOXING,
    THICKNESS,
    Plates,
    boxing_strip,
    button_notions,
    closure_rooms,
    cushion_notions,
    cushion_steps,
    opening_faults,
    plates,
)
from nesting.panels.parts.closures import Closing, closing, closure_measurements, zip_allowances
from nesting.panels.parts.filling import Fill, fill_measurement
from nesting.panels.parts.mattress import (
    MATTRESS,
    handle_marked,
    handled_sides,
    handles,
    is_rolled,
    mattress_faults,
    roll_edges,
    roll_steps,
    rolled_allowances,
)
from nesting.panels.parts.rounded import SIDES, face_down, rounded_rectangle, sides_of
from nesting.panels.parts.strips.strip import STRIP_GRAIN, Side, Strip, strips_measurement
from nesting.panels.parts.tufting import BUTTONS, button_faults, buttoned
from nesting.panels.parts.welt.in_seams import Welted, welt_faults, welt_measurements, welted
from nesting.panels.product import register
from nesting.sentences import Length, Sentence, at_least, at_most

#: Shortest side in millimetres between two rounded corners that can be drawn.
_SHORTEST: Final = 1.0

_SIZES: Final = ("length", "width", "thickness")

_BETWEEN: Final = ("start", "end", "zip")

_SQUARE: Final = "clip the boxing at each corner, turn there with the needle down"
_ROUNDED: Final = "ease the boxing round the corners, its allowance clipped every 10 to 15 mm"


class BoxCushion:
    """Two plates, and boxing in any number of strips."""

    name = "box-cushion"
    summary = "cushion or floor pillow: two rectangular plates with boxing between them"
    measurements = (
        Measurement(
            "length",
            MeasurementKind.LENGTH,
            "finished length, along the grain",
            required=True,
            least=10.0,
            greatest=20_000.0,
            example=500.0,
        ),
        Measurement(
            "width",
            MeasurementKind.LENGTH,
            "finished width, across the grain",
            required=True,
            least=10.0,
            greatest=20_000.0,
            example=400.0,
        ),
        THICKNESS,
        Measurement(
            "corner_radius",
            MeasurementKind.LENGTH,
            "radius of rounded corners; default: square corners",
            least=5.0,
            greatest=5_000.0,
        ),
        strips_measurement(4),
        STRIP_GRAIN,
        *closure_measurements(BOXING, BOTTOM),
        *BUTTONS,
        fill_measurement(Fill.FOAM, Fill.FIBRE),
        *MATTRESS,
        *welt_measurements("the seams of both plates"),
    )
    cautions = (CHILDREN, FIRE, LABELS, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Corners, openings, buttons, handles or welt that do not fit; allowances too wide."""
        found = _radius_faults(values)
        if not found:
            sizes = {key: length(values, key) for key in _SIZES}
            plate, places = _plate(values), (_zip_room(values), sizes["length"])
            found = (
                *opening_faults(values, plate, *places, allowance_mm),
                *button_faults(plate, values),
                *mattress_faults(values, sizes),
                *_welt_faults(values, allowance_mm),
            )
        return found or allowance_faults(self.draft(values), allowance_mm)

    def draft(self, values: Values) -> Draft:
        """Both plates sewn to the boxing all round."""
        shut = closing(values, closure_rooms(values, _zip_room(values), length(values, "length")))
        plate = buttoned(_plate(values), values)
        way = tuple(sides_of(plate.edges).values())
        both = plates(plate, way, tuple(map(face_down, way)), shut)
        sides = _sides(plate)
        strip = _boxing(values, sides, both, shut)
        welt = welted(values, sides, both.rims, _index(sides, "back"), strip.joins_mm)
        around = sum(edge.length_mm for edge in plate.edges.values())
        draft = Draft(
            (*both.panels, *_marked(strip, values)),
            (*strip.seams, *both.seams),
            (
                Fact("boxing: {} round the plate at the stitch line", (around,)),
                *_foam_facts(values),
            ),
            allowances_mm={**zip_allowances(values), **rolled_allowances(values)},
            joinings=(strip.joining,),
            notions=(*_filling(values, shut), *button_notions(both.panels)),
            volume_litres=_litres(values),
        )
        return _in_style(welt.added_to(draft), values, shut, welt)


def _radius(values: Values) -> float:
    return given_length(values, "corner_radius", 0.0)


def _plate(values: Values) -> FinishedPanel:
    x, y = length(values, "length"), length(values, "width")
    edges = rounded_rectangle(x, y, _radius(values))
    return FinishedPanel("plate", 2, edges, parts=("top-plate", "bottom-plate"))


def _litres(values: Values) -> float:
    """Plate area, less (4 - π)·r² for four rounded corners, times the thickness, in litres."""
    x, y, depth = (length(values, key) for key in _SIZES)
    return (x * y - (4 - math.pi) * _radius(values) ** 2) * depth / 1e6


def _sides(plate: FinishedPanel) -> list[Side]:
    runs = {
        name: tuple(accumulate(plate.edges[edge].length_mm for edge in edges))
        for name, edges in sides_of(plate.edges).items()
    }
    return [Side(name, run[-1], run[:-1]) for name, run in runs.items()]


def _index(sides: list[Side], name: str) -> int | None:
    return next((i for i, side in enumerate(sides) if side.name == name), None)


def _boxing(values: Values, sides: list[Side], both: Plates, shut: Closing | None) -> Strip:
    """The boxing round the plate; the middle of the back gets the double notch."""
    return boxing_strip(
        values,
        sides,
        length(values, "thickness"),
        both.rims,
        shut,
        usual=4,
        zip_side=_index(sides, _zip_side(values)) or 0,
        doubled=_index(sides, "back"),
    )


def _filling(values: Values, shut: Closing | None) -> tuple[Notion, ...]:
    x, y, depth = (length(values, key) for key in _SIZES)
    return cushion_notions(values, foam(x, y, depth), _litres(values), shut)


def _foam_facts(values: Values) -> tuple[Fact, ...]:
    """Foam is cut larger than the finished size on all sides, with larger corner radii."""
    if not _radius(values) or word(values, "fill") != Fill.FOAM:
        return ()
    return (Fact("round the foam's corners, radius {}", (_radius(values) + FOAM_OVER_MM / 2,)),)


def _zip_side(values: Values) -> str:
    """The side whose boxing has the zip: the back, or a short side if the back has handles."""
    x, y = length(values, "length"), length(values, "width")
    if number(values, "handles"):
        return next((side for side in SIDES[::-1] if side not in handled_sides(x, y)), "back")
    return "back"


def _zip_room(values: Values) -> float:
    """Length of the boxing along the side with the zip."""
    side = "length" if _zip_side(values) in ("front", "back") else "width"
    return length(values, side) - 2 * _radius(values)


def _marked(strip: Strip, values: Values) -> tuple[FinishedPanel, ...]:
    """The panels of the boxing, those of the long sides with drill marks for handles."""
    if not number(values, "handles"):
        return strip.panels
    run = max(length(values, "length"), length(values, "width"))
    return tuple(
        handle_marked(panel, values, run)
        if "zip" not in panel.edges and math.isclose(panel.edges["lower"].length_mm, run)
        else panel
        for panel in strip.panels
    )


def _in_style(draft: Draft, values: Values, shut: Closing | None, welt: Welted) -> Draft:
    """The draft with the rolled edges and handles that are ordered, and its steps."""
    panels, seams = draft.panels, draft.seams
    if is_rolled(values):
        panels, seams = roll_edges(panels, seams, _BETWEEN)
    grips = handles(values, length(values, "length"), length(values, "width"))
    if grips:
        panels, seams = (*panels, grips.panel), (*seams, grips.seam)
    return replace(
        draft,
        panels=panels,
        seams=seams,
        facts=(*draft.facts, *(grips.facts if grips else ())),
        notions=(*draft.notions, *(grips.notions if grips else ())),
        steps=(*(grips.steps if grips else ()), *_steps(values, seams, shut, welt)),
    )


def _steps(
    values: Values, seams: tuple[Seam, ...], shut: Closing | None, welt: Welted
) -> tuple[Step, ...]:
    way = _ROUNDED if _radius(values) else _SQUARE
    return (*cushion_steps(values, seams, shut, way, welt), *roll_steps(values))


def _welt_faults(values: Values, allowance_mm: float) -> tuple[Fault, ...]:
    """Welt together with rolled edges, and what `welt_faults` finds."""
    if values["welt_cord"] is not None and is_rolled(values):
        rule = "goes into plain seams, not into rolled edges"
        cord = Length(length(values, "welt_cord"))
        return (Fault("welt_cord", rule, cord, 'remove it, or write edge = "plain"'),)
    return welt_faults(values, _sides(_plate(values)), allowance_mm)


def _radius_faults(values: Values) -> tuple[Fault, ...]:
    """Corner radii that overlap, or that leave too little of a side to draw."""
    radius, sides = _radius(values), (length(values, "length"), length(values, "width"))
    straight = [side - 2 * radius for side in sides] if radius else []
    if all(abs(rest) < 1e-6 or rest >= _SHORTEST for rest in straight):
        return ()
    half, less = min(sides) / 2, (min(sides) - _SHORTEST) / 2
    uneven = 0 < max(sides) - min(sides) < _SHORTEST
    most = at_most(less) if uneven else at_most(half, otherwise_mm=less)
    words = "must leave nothing or at least {} of a side: at most {}"
    rule = Sentence(words, (at_least(_SHORTEST), most))
    return (Fault("corner_radius", rule, Length(radius), "make the corners rounder or sharper"),)


register(BoxCushion())
