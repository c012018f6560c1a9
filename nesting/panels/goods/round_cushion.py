"""A round cushion: two discs with one strip of boxing between them.

The strip is π times the diameter at the stitch line; measured at the cut
edge of the disc it would be too long by 2π allowances.
"""

import math
from dataclasses import replace

from nesting.errors import Fault
from nesting.geometry.curves import Curve, circle, joined
from nesting.panels.allowances import allowance_faults
from nesting.panels.cautions import BLADES, CHILDREN, FIRE, LABELS, LOCAL_RULES
from nesting.panels.drafting.draft import Draft, Fact
from nesting.panels.drafting.finished import FinishedPanel
from nesting.panels.drafting.sewing import round_foam
from nesting.panels.measurements import Measurement, MeasurementKind, Values, length
from nesting.panels.parts.boxed import (
    BOTTOM,
    BOXING,
    THICKNESS,
    boxing_strip,
    button_notions,
    closure_rooms,
    cushion_notions,
    cushion_steps,
    opening_faults,
    plates,
)
from nesting.panels.parts.closures import (
    LEAST_BESIDE_MM,
    Closing,
    closing,
    closure_measurements,
    zip_allowances,
)
from nesting.panels.parts.filling import Fill, fill_measurement
from nesting.panels.parts.strips.strip import STRIP_GRAIN, Side, strips_measurement
from nesting.panels.parts.tufting import BUTTONS, button_faults, buttoned
from nesting.panels.parts.welt.in_seams import welt_faults, welt_measurements, welted
from nesting.panels.product import register

_ROUND = "ease the boxing round, its allowance clipped every 10 to 15 mm"


class RoundCushion:
    """Two plates and a strip of boxing."""

    name = "round-cushion"
    summary = "round cushion or drum: two discs with a strip of boxing between them"
    measurements = (
        Measurement(
            "diameter",
            MeasurementKind.LENGTH,
            "finished diameter",
            required=True,
            least=20.0,
            greatest=6_000.0,
            example=450.0,
        ),
        THICKNESS,
        strips_measurement(1),
        STRIP_GRAIN,
        *closure_measurements(BOXING, BOTTOM),
        *BUTTONS,
        fill_measurement(Fill.FOAM, Fill.FIBRE),
        *welt_measurements("the seams of both plates"),
    )
    cautions = (CHILDREN, FIRE, LABELS, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Openings and buttons that do not fit, and allowances too wide for disc or strip."""
        diameter = length(values, "diameter")
        around, plate = math.pi * diameter / 2, _plate(diameter, None)
        found = (
            *opening_faults(values, plate, around, diameter, allowance_mm),
            *button_faults(plate, values),
            *welt_faults(values, _sides(plate), allowance_mm),
        )
        return found or allowance_faults(self.draft(values), allowance_mm)

    def draft(self, values: Values) -> Draft:
        """Both discs sewn to the strip, whose join meets the double notch."""
        diameter, thickness = length(values, "diameter"), length(values, "thickness")
        shut = closing(values, closure_rooms(values, math.pi * diameter / 2, diameter))
        plate = buttoned(_plate(diameter, shut), values)
        way = tuple((edge,) for edge in plate.edges)
        both = plates(plate, way, way, shut)
        sides = _sides(plate)
        welt = welted(values, [Side("rim", math.pi * diameter)], both.rims)
        strip = boxing_strip(values, sides, thickness, both.rims, shut, usual=1, zip_side=0)
        litres = math.pi * diameter**2 / 4 * thickness / 1e6
        block = round_foam(diameter, thickness)
        draft = Draft(
            (*both.panels, *strip.panels),
            (*strip.seams, *both.seams),
            (Fact("boxing: {} round the plate at the stitch line", (math.pi * diameter,)),),
            allowances_mm=zip_allowances(values),
            joinings=(strip.joining,),
            notions=(
                *cushion_notions(values, block, litres, shut),
                *button_notions(both.panels),
            ),
            volume_litres=litres,
        )
        draft = welt.added_to(draft)
        return replace(draft, steps=cushion_steps(values, draft.seams, shut, _ROUND, welt))


def _sides(plate: FinishedPanel) -> list[Side]:
    return [Side(name, edge.length_mm) for name, edge in plate.edges.items()]


def _plate(diameter: float, shut: Closing | None) -> FinishedPanel:
    return FinishedPanel("plate", 2, _rim(diameter, shut), parts=("top-plate", "bottom-plate"))


def _rim(diameter: float, shut: Closing | None) -> dict[str, Curve]:
    """The whole circle, or with a zip in the boxing, the part along the zip and the rest."""
    whole = circle(diameter / 2)
    if shut is None or shut.place != BOXING:
        return {"rim": whole}
    half = (shut.length_mm + 2 * LEAST_BESIDE_MM) / whole.length_mm / 2
    back = joined(whole.part(1 - half, 1), whole.part(0, half))
    return {"back": back, "front": whole.part(half, 1 - half)}


register(RoundCushion())
