"""Welt (piping) for a seam of a given length, straight or on the bias."""

from typing import Final

from nesting.errors import Fault
from nesting.panels.cautions import BLADES, LOCAL_RULES
from nesting.panels.drafting.draft import Draft, Fact
from nesting.panels.drafting.sewing import Step, cord
from nesting.panels.measurements import (
    Measurement,
    MeasurementKind,
    Values,
    length,
    number_or,
    word,
)
from nesting.panels.parts.welt.welt_strip import (
    CUTS,
    OVERLAP_MM,
    WeltCut,
    pieces_faults,
    pieces_measurement,
    strip_width,
    usual_pieces,
    welt_steps,
    welt_strip,
)
from nesting.panels.product import register


class Welt:
    """A strip for a cord, joined to the required length."""

    name = "welt"
    summary = "welt (piping): a strip for a cord, straight or on the bias, as long as its seam"
    measurements = (
        Measurement(
            "length",
            MeasurementKind.LENGTH,
            "length of the seam that it is sewn into",
            required=True,
            least=50.0,
            greatest=100_000.0,
            example=2_000.0,
        ),
        Measurement(
            "cord",
            MeasurementKind.LENGTH,
            "diameter of the cord",
            default=5.0,
            least=2.0,
            greatest=50.0,
        ),
        Measurement(
            "overlap",
            MeasurementKind.LENGTH,
            "how much longer the strip is than the seam, where its ends meet",
            default=OVERLAP_MM,
            least=0.0,
            greatest=500.0,
        ),
        Measurement(
            "cut",
            MeasurementKind.CHOICE,
            "on the bias, for corners and curves, or straight across or along the roll",
            default=WeltCut.BIAS.value,
            choices=CUTS,
        ),
        pieces_measurement("strips", "welt"),
    )
    cautions = (BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Pieces shorter than the strip is wide."""
        return pieces_faults(
            "strips", _run(values), length(values, "cord"), _pieces(values), allowance_mm
        )

    def draft(self, values: Values) -> Draft:
        """Equal pieces, joined, and folded round the cord."""
        diameter, run = length(values, "cord"), _run(values)
        cut, overlap = WeltCut(word(values, "cut")), length(values, "overlap")
        strip = welt_strip(run, diameter, cut, _pieces(values))
        facts = (
            Fact("strip: {} long when joined, {} of it overlap", (run, overlap)),
            Fact(
                "cord {} thick is {} round: the strip between its stitch lines",
                (diameter, strip_width(diameter)),
            ),
        )
        return Draft(
            strip.panels,
            strip.seams,
            facts,
            joinings=(strip.joining,),
            steps=welt_steps(strip, cut, _ONTO, overlap),
            notions=(cord(run, diameter),),
        )


def _run(values: Values) -> float:
    return length(values, "length") + length(values, "overlap")


def _pieces(values: Values) -> int:
    return number_or(values, "strips", usual_pieces(_run(values)))


_ONTO: Final = Step(
    "sew it to the face of one panel, raw edges together; clip its allowance at corners"
)

register(Welt())
