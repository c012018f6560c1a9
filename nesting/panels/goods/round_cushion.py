"""A round cushion: two discs with one strip of boxing between them.

The strip is π times the diameter at the stitch line; measured at the cut
edge of the disc it would be too long by 2π allowances.
"""

import math

from nesting.errors import Fault
from nesting.geometry.curves import circle
from nesting.panels.boxing import STRIP_GRAIN, strip
from nesting.panels.cautions import BLADES, FIRE, LOCAL_RULES
from nesting.panels.draft import Draft, EdgeUse, Fact, Mark, Seam, marks_along
from nesting.panels.finished import FinishedPanel
from nesting.panels.product import (
    Measurement,
    MeasurementKind,
    Values,
    allowance_faults,
    length,
    register,
)


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
        plate = FinishedPanel("plate", 2, {"rim": circle(diameter / 2)})
        boxing = strip("boxing", 1, round_it, thickness, values["strip_grain"])
        marks = (Mark(0.0, double=True), *marks_along(round_it, parts=4))
        seams = tuple(
            Seam(
                f"boxing to {place} plate",
                (EdgeUse("plate", "rim"),),
                (EdgeUse("boxing", edge),),
                marks,
            )
            for place, edge in (("top", "upper"), ("bottom", "lower"))
        )
        join = Seam("boxing join", (EdgeUse("boxing", "end"),), (EdgeUse("boxing", "start"),))
        fact = Fact("boxing: {} round the plate at the stitch line", (round_it,))
        return Draft((plate, boxing), (*seams, join), (fact,))


register(RoundCushion())
