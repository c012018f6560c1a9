"""A round cushion: two discs with one strip of boxing between them.

The strip is π times the diameter at the stitch line; measured at the cut
edge of the disc it would be too long by 2π allowances.
"""

import math

from nesting.errors import Fault
from nesting.geometry.curves import circle
from nesting.panels.boxing import STRIP_GRAIN
from nesting.panels.cautions import BLADES, FIRE, LOCAL_RULES
from nesting.panels.draft import Draft, Fact
from nesting.panels.finished import FinishedPanel
from nesting.panels.product import (
    Measurement,
    MeasurementKind,
    Values,
    allowance_faults,
    length,
    number_or,
    register,
)
from nesting.panels.sewing import foam
from nesting.panels.strips import Side, boxed_steps, long_strip, rim_of, strips_measurement


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
        Measurement(
            "thickness",
            MeasurementKind.LENGTH,
            "finished thickness",
            required=True,
            least=5.0,
            greatest=2_000.0,
            example=80.0,
        ),
        strips_measurement(1),
        STRIP_GRAIN,
    )
    cautions = (FIRE, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Allowances too wide for the disc or the strip."""
        return allowance_faults(self.draft(values), allowance_mm)

    def draft(self, values: Values) -> Draft:
        """Both discs sewn to the strip, whose join meets the double notch."""
        diameter, thickness = length(values, "diameter"), length(values, "thickness")
        round_it = math.pi * diameter
        parts = ("top-plate", "bottom-plate")
        plate = FinishedPanel("plate", 2, {"rim": circle(diameter / 2)}, parts=parts)
        boxing = long_strip(
            "boxing",
            [Side("rim", round_it)],
            thickness,
            number_or(values, "strips", 1),
            values["strip_grain"],
            [
                rim_of("top plate", "plate", ["rim"], "upper"),
                rim_of("bottom plate", "plate", ["rim"], "lower"),
            ],
        )
        volume = math.pi * diameter**2 / 4 * thickness / 1e6
        return Draft(
            (plate, *boxing.panels),
            boxing.seams,
            (Fact("boxing: {} round the plate at the stitch line", (round_it,)),),
            joinings=(boxing.joining,),
            steps=boxed_steps(boxing.seams),
            notions=(foam(diameter, diameter, thickness),),
            volume_litres=volume,
        )


register(RoundCushion())
