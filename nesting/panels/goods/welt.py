"""Welt (piping) by the length of the seam it is for, straight or on the bias."""

from nesting.errors import Fault
from nesting.panels.cautions import BLADES, LOCAL_RULES
from nesting.panels.draft import Draft, Fact
from nesting.panels.product import (
    AUTO,
    Measurement,
    MeasurementKind,
    Values,
    allowance_faults,
    length,
    number_or,
    register,
    word,
)
from nesting.panels.sewing import Step, Stitch, cord
from nesting.panels.strips import strips_measurement
from nesting.panels.welt import Cut, strip_width, usual_pieces, welt_strip


class Welt:
    """A strip for a cord, joined to the needed length."""

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
            "what the strip is longer than the seam, where its ends meet",
            default=30.0,
            least=0.0,
            greatest=500.0,
        ),
        Measurement(
            "cut",
            MeasurementKind.CHOICE,
            "on the bias, for corners and curves, or straight across or along the roll",
            default=Cut.BIAS.value,
            choices=tuple(each.value for each in Cut),
        ),
        strips_measurement(AUTO, what="welt"),
    )
    cautions = (BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Pieces shorter than the strip is wide.

        The strip is folded, so that its allowances lie on each other and may be
        wider than it.
        """
        run = _run(values) / _pieces(values)
        least = strip_width(length(values, "cord")) + 2 * allowance_mm
        if run >= least:
            return allowance_faults(self.draft(values), 0.0)
        rule = f"each piece must be at least as long as it is cut wide ({least:.1f} mm)"
        return (Fault("strips", rule, f"{_pieces(values)}", "cut it in fewer pieces"),)

    def draft(self, values: Values) -> Draft:
        """Equal pieces, joined, and folded round the cord."""
        diameter, run = length(values, "cord"), _run(values)
        strip = welt_strip(run, diameter, Cut(word(values, "cut")), _pieces(values))
        *joins, around = (seam.name for seam in strip.seams)
        facts = (
            Fact("strip: {} long when joined, {} of it overlap", (run, length(values, "overlap"))),
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
            steps=_steps(tuple(joins), around, values),
            notions=(cord(run, diameter),),
        )


def _run(values: Values) -> float:
    return length(values, "length") + length(values, "overlap")


def _pieces(values: Values) -> int:
    return number_or(values, "strips", usual_pieces(_run(values)))


def _steps(joins: tuple[str, ...], around: str, values: Values) -> tuple[Step, ...]:
    slanted = word(values, "cut") == Cut.BIAS
    way = "lay two ends at a right angle, face in, and join them along the grain; " * slanted
    joining = f"{way or 'join the pieces end to end, face in; '}press the joins open"
    closing = (
        "where its ends meet, open the strip, cut the cord so that it butts, turn one raw end in "
        "and lay it over the other by {}"
    )
    return (
        *([Step(joining, joins)] if joins else []),
        Step(
            "fold it round the cord, face out, and sew close to the cord with a cord foot",
            (around,),
        ),
        Step("sew it to the face of one panel, raw edges together; clip its allowance at corners"),
        Step(closing, stitch=Stitch.NONE, lengths_mm=(length(values, "overlap"),)),
    )


register(Welt())
