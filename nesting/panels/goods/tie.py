"""Ties: narrow straps, one end sewn into a seam of the cushion, the other one free."""

from nesting.errors import Fault
from nesting.panels.allowances import allowance_faults
from nesting.panels.cautions import BLADES, LOCAL_RULES, TIES
from nesting.panels.drafting.draft import Draft, Fact
from nesting.panels.drafting.finished import EdgeSort
from nesting.panels.drafting.sewing import Step, Stitch
from nesting.panels.measurements import Measurement, MeasurementKind, Values, length, number, word
from nesting.panels.parts.straps import HEM_ALLOWANCE, STRAP_STYLE, strap, strap_seam, strap_steps
from nesting.panels.product import register


#: Long cords and ties can catch a child's neck (EN 14682 bounds those of
#: children's clothes; cushions have no such bound: common practice, from memory).
class Tie:
    """Straps in pairs, to hold a cushion to its chair."""

    name = "tie"
    summary = "ties for a cushion: narrow straps, one end sewn into a seam"
    measurements = (
        Measurement(
            "length",
            MeasurementKind.LENGTH,
            "finished length, from the seam to the free end",
            required=True,
            least=50.0,
            greatest=2_000.0,
            example=300.0,
        ),
        Measurement(
            "width",
            MeasurementKind.LENGTH,
            "finished width",
            default=12.0,
            least=4.0,
            greatest=200.0,
        ),
        Measurement(
            "pieces",
            MeasurementKind.COUNT,
            "ties of one item: two at each place",
            default=4,
            least=1,
            greatest=48,
        ),
        STRAP_STYLE,
        HEM_ALLOWANCE,
    )
    cautions = (TIES, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Allowances wider than the tie."""
        return allowance_faults(self.draft(values), allowance_mm)

    def draft(self, values: Values) -> Draft:
        """One panel for every tie, folded along its middle."""
        long, wide = length(values, "length"), length(values, "width")
        style, hems = word(values, "style"), values["hem_allowance"]
        panel = strap("tie", number(values, "pieces"), long, wide)
        seam = strap_seam("long edges", panel, style)
        free = Step("turn the free end in and stitch it shut", stitch=Stitch.TOPSTITCH)
        caught = "lay the raw ends in pairs between the layers of the seam before it is sewn"
        return Draft(
            (panel,),
            (seam,),
            (Fact("{} wide and {} long when folded", (wide, long)),),
            allowances_mm={} if hems is None else {EdgeSort.HEM: length(values, "hem_allowance")},
            steps=(
                *strap_steps(seam.name, style, "ties"),
                free,
                Step(caught, stitch=Stitch.NONE),
            ),
        )


register(Tie())
