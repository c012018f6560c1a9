"""Handles: straps that are sewn on at both ends, made in any number."""

from nesting.errors import Fault
from nesting.panels.allowances import allowance_faults
from nesting.panels.cautions import BLADES, LOCAL_RULES
from nesting.panels.drafting.draft import Draft, Fact
from nesting.panels.drafting.finished import EdgeSort
from nesting.panels.drafting.sewing import Notion, NotionKind, Step, Stitch
from nesting.panels.measurements import Measurement, MeasurementKind, Values, length, number, word
from nesting.panels.parts.straps import HEM_ALLOWANCE, STRAP_STYLE, strap, strap_seam, strap_steps
from nesting.panels.product import register


class Handle:
    """Straps with both ends turned under and sewn on."""

    name = "handle"
    summary = "handles for a cushion or a pouf: folded straps, sewn on at both ends"
    measurements = (
        Measurement(
            "length",
            MeasurementKind.LENGTH,
            "finished length, without the ends that are turned under",
            required=True,
            least=50.0,
            greatest=3_000.0,
            example=200.0,
        ),
        Measurement(
            "width",
            MeasurementKind.LENGTH,
            "finished width",
            default=30.0,
            least=8.0,
            greatest=300.0,
        ),
        Measurement(
            "pieces",
            MeasurementKind.COUNT,
            "handles of one item",
            default=2,
            least=1,
            greatest=24,
        ),
        STRAP_STYLE,
        HEM_ALLOWANCE,
    )
    cautions = (BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Allowances wider than the handle."""
        return allowance_faults(self.draft(values), allowance_mm)

    def draft(self, values: Values) -> Draft:
        """One panel for every handle, folded along its middle."""
        long, wide = length(values, "length"), length(values, "width")
        pieces, style = number(values, "pieces"), word(values, "style")
        panel = strap("handle", pieces, long, wide)
        seam = strap_seam("long edges", panel, style)
        on = "turn the ends under and sew them on, a crossed square on each; back it with tape"
        tape = Notion(NotionKind.OTHER, "squares of strong tape behind the ends", pieces=2 * pieces)
        hems = values["hem_allowance"]
        return Draft(
            (panel,),
            (seam,),
            (Fact("{} wide and {} long when folded", (wide, long)),),
            allowances_mm={} if hems is None else {EdgeSort.HEM: length(values, "hem_allowance")},
            steps=(
                *strap_steps(seam.name, style, "handles"),
                Step(on, stitch=Stitch.TOPSTITCH),
            ),
            notions=(tape,),
        )


register(Handle())
