"""A plain rectangle: a cover, a hanging, a strip."""

from nesting.errors import Fault
from nesting.panels.allowances import allowance_faults
from nesting.panels.cautions import BLADES, FIRE_IF_SEATING, LOCAL_RULES
from nesting.panels.drafting.draft import Draft
from nesting.panels.drafting.finished import rectangle
from nesting.panels.measurements import Measurement, MeasurementKind, Values, length
from nesting.panels.product import register


class FlatPanel:
    """One rectangle."""

    name = "panel"
    summary = "one rectangular panel"
    measurements = (
        Measurement(
            "length",
            MeasurementKind.LENGTH,
            "finished length, along the grain",
            required=True,
            least=1.0,
            greatest=20_000.0,
            example=600.0,
        ),
        Measurement(
            "width",
            MeasurementKind.LENGTH,
            "finished width, across the grain",
            required=True,
            least=1.0,
            greatest=20_000.0,
            example=400.0,
        ),
    )
    cautions = (FIRE_IF_SEATING, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """An allowance too wide for the panel."""
        return allowance_faults(self.draft(values), allowance_mm)

    def draft(self, values: Values) -> Draft:
        """Only the rectangle; nothing is sewn to it."""
        x, y = length(values, "length"), length(values, "width")
        return Draft((rectangle("panel", 1, x, y, ("lower", "right", "upper", "left")),), ())


register(FlatPanel())
