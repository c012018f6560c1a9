"""A box cushion: two rectangular plates with boxing between them.

The boxing is as long as the plate's stitch line, not as its cut edge.
"""

from nesting.errors import Fault
from nesting.panels.boxing import STRIP_GRAIN
from nesting.panels.cautions import BLADES, FIRE, LOCAL_RULES
from nesting.panels.draft import Draft, Fact
from nesting.panels.finished import rectangle
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

#: The plate's edges, anticlockwise as it lies face up; and as the strip meets
#: them when the plate lies face down below.
_SIDES = ("front", "right", "back", "left")
_FACE_DOWN = ("front", "left", "back", "right")


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
        Measurement(
            "thickness",
            MeasurementKind.LENGTH,
            "finished thickness",
            required=True,
            least=5.0,
            greatest=2_000.0,
            example=80.0,
        ),
        strips_measurement(4),
        STRIP_GRAIN,
    )
    cautions = (FIRE, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Allowances too wide for the plates or the strips."""
        return allowance_faults(self.draft(values), allowance_mm)

    def draft(self, values: Values) -> Draft:
        """Both plates sewn to the boxing all round."""
        x, y, depth = (length(values, key) for key in ("length", "width", "thickness"))
        plate = rectangle("plate", 2, x, y, _SIDES, parts=("top-plate", "bottom-plate"))
        sides = [Side(name, plate.edges[name].length_mm) for name in _SIDES]
        boxing = long_strip(
            "boxing",
            sides,
            depth,
            number_or(values, "strips", len(sides)),
            values["strip_grain"],
            [
                rim_of("top plate", "plate", _SIDES, "upper"),
                rim_of("bottom plate", "plate", _FACE_DOWN, "lower"),
            ],
            doubled=_SIDES.index("back"),
        )
        return Draft(
            (plate, *boxing.panels),
            boxing.seams,
            (Fact("boxing: {} round the plate at the stitch line", (2 * (x + y),)),),
            joinings=(boxing.joining,),
            steps=boxed_steps(boxing.seams),
            notions=(foam(x, y, depth),),
            volume_litres=x * y * depth / 1e6,
        )


register(BoxCushion())
