"""A bolster or neck roll: a body rolled to a tube, and two ends.

An end is a disc, or a strip that is sewn to the rim of the body with gathers
and drawn up in the middle, where a button covers the hole. Body and rim meet
at the stitch line: π times the finished diameter, not of the cut disc.
"""

import math
from dataclasses import replace
from typing import Final

from nesting.errors import Fault
from nesting.geometry.curves import circle
from nesting.panels.allowances import allowance_faults
from nesting.panels.cautions import BLADES, CHILDREN, FIRE, LABELS, LOCAL_RULES
from nesting.panels.drafting.draft import Draft, EdgeUse, Fact, Mark, Seam, SeamRole, marks_along
from nesting.panels.drafting.finished import EdgeSort, FinishedPanel, rectangle
from nesting.panels.drafting.sewing import FOAM_OVER_MM, Notion, NotionKind, Step, Stitch, fibre
from nesting.panels.measurements import (
    Measurement,
    MeasurementKind,
    Values,
    given_length,
    length,
    word,
)
from nesting.panels.parts.closures import (
    Closing,
    closing,
    closure_faults,
    closure_measurements,
    left_open,
    zip_allowances,
)
from nesting.panels.parts.filling import Fill, fill_measurement, filling_steps
from nesting.panels.parts.strips.strip import Side, rim_of
from nesting.panels.parts.welt.in_seams import Welted, welt_faults, welt_measurements, welted
from nesting.panels.product import register
from nesting.sentences import Length

DISC: Final = "disc"
GATHERED: Final = "gathered"

#: The ends, and the edge of the body that each is sewn to.
_ENDS: Final = ("left", "right")

#: The place of the closure: the seam along the body.
_BODY: Final = "body"

#: Quarters of the rim; the seam of the body is its start, with a double notch.
_START: Final = Mark(0.0, double=True)


class Bolster:
    """A tube with an end on either side."""

    name = "bolster"
    summary = "bolster or neck roll: a round body with disc ends or gathered ends"
    measurements = (
        Measurement(
            "diameter",
            MeasurementKind.LENGTH,
            "finished diameter",
            required=True,
            least=30.0,
            greatest=2_000.0,
            example=180.0,
        ),
        Measurement(
            "length",
            MeasurementKind.LENGTH,
            "finished length, along the grain",
            required=True,
            least=30.0,
            greatest=6_000.0,
            example=450.0,
        ),
        Measurement(
            "ends",
            MeasurementKind.CHOICE,
            "flat discs, or strips gathered to a button in the middle",
            default=DISC,
            choices=(DISC, GATHERED),
            outside=True,
        ),
        Measurement(
            "gather",
            MeasurementKind.NUMBER,
            "how much longer a gathered end is than the edge it is sewn to; default: 0",
            least=0.0,
            greatest=200.0,
            unit="%",
            outside=True,
        ),
        Measurement(
            "hem_allowance",
            MeasurementKind.LENGTH,
            "casing in the middle of a gathered end; default: the seam allowance",
            least=0.0,
            greatest=100.0,
            outside=True,
        ),
        *closure_measurements(_BODY, kinds=("none", "zip")),
        fill_measurement(Fill.FIBRE, Fill.FOAM),
        *welt_measurements("the seams of disc ends"),
    )
    cautions = (CHILDREN, FIRE, LABELS, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Gathers on a disc, misplaced welt, openings that do not fit, allowances too wide."""
        found = (
            *_useless(values),
            *closure_faults(values, {_BODY: length(values, "length")}),
            *welt_faults(values, _rim(values), allowance_mm),
        )
        return found or allowance_faults(self.draft(values), allowance_mm)

    def draft(self, values: Values) -> Draft:
        """The body sewn to a tube, then an end on either side."""
        diameter, long = length(values, "diameter"), length(values, "length")
        shut = closing(values, {_BODY: long})
        end, drawn = _end(values)
        ends = tuple(_rim_seam(side, end, values) for side in _ENDS)
        litres = math.pi * diameter**2 / 4 * long / 1e6
        hems = values["hem_allowance"]
        hemmed = {} if hems is None else {EdgeSort.HEM: length(values, "hem_allowance")}
        rims = [rim_of(f"{side} end", end.name, ["rim"], "upper", f"{side}-end") for side in _ENDS]
        welt = welted(values, _rim(values), rims)
        draft = Draft(
            (_body(values, shut), end),
            (_body_seam(long, shut), *drawn, *ends),
            _facts(values),
            allowances_mm={**zip_allowances(values), **hemmed},
            notions=_notions(values, litres, shut),
            volume_litres=litres,
        )
        return replace(welt.added_to(draft), steps=_steps(values, shut, welt))


def _useless(values: Values) -> tuple[Fault, ...]:
    if word(values, "ends") == GATHERED:
        if values["welt_cord"] is None:
            return ()
        cord = Length(length(values, "welt_cord"))
        remedy = 'remove it, or write ends = "disc"'
        return (Fault("welt_cord", "goes round disc ends alone", cord, remedy),)
    return tuple(
        Fault(key, "has no effect on a disc", f"{values[key]}", 'add ends = "gathered"')
        for key in ("gather", "hem_allowance")
        if values[key] is not None
    )


def _rim(values: Values) -> list[Side]:
    return [Side("rim", math.pi * length(values, "diameter"))]


def _body(values: Values, shut: Closing | None) -> FinishedPanel:
    sort = EdgeSort.ZIP if shut else EdgeSort.SEAM
    rim = math.pi * length(values, "diameter")
    edges = ("near", "right", "far", "left")
    sorts = {"near": sort, "far": sort}
    return rectangle("body", 1, length(values, "length"), rim, edges, sorts=sorts)


def _body_seam(long: float, shut: Closing | None) -> Seam:
    near, far = (EdgeUse("body", "near"),), (EdgeUse("body", "far"),)
    seam = Seam("body seam", near, far, marks_along(long, 2), role=SeamRole.JOIN)
    return left_open(seam, long, shut.length_mm) if shut else seam


def _end(values: Values) -> tuple[FinishedPanel, tuple[Seam, ...]]:
    """The panel of both ends, and what is sewn before it meets the body."""
    radius = length(values, "diameter") / 2
    parts = tuple(f"{side}-end" for side in _ENDS)
    if word(values, "ends") == DISC:
        return FinishedPanel("end", 2, {"rim": circle(radius)}, parts=parts), ()
    run = math.tau * radius * (1 + _gather(values) / 100)
    edges = ("rim", "end", "middle", "start")
    sorts = {"middle": EdgeSort.HEM}
    panel = rectangle("end", 2, run, radius, edges, sorts=sorts, parts=parts)
    end, start = (EdgeUse("end", "end"),), (EdgeUse("end", "start"),)
    return panel, (Seam("end join", end, start, times=2, role=SeamRole.JOIN),)


def _gather(values: Values) -> float:
    return given_length(values, "gather", 0.0)


def _rim_seam(side: str, end: FinishedPanel, values: Values) -> Seam:
    """The seam of one end and the body; the body's own seam meets the start of the rim."""
    rim = (EdgeUse(end.name, "rim", part=f"{side}-end"),)
    around = math.pi * length(values, "diameter")
    return Seam(
        f"{side} end to body",
        rim,
        (EdgeUse("body", side),),
        (_START, *marks_along(around, 4)),
        ease_percent=_gather(values),
        role=SeamRole.RIM,
        rim=f"{side} end",
    )


def _facts(values: Values) -> tuple[Fact, ...]:
    diameter = length(values, "diameter")
    around = Fact("body: {} round at the stitch line", (math.pi * diameter,))
    if word(values, "ends") == DISC:
        return (around,)
    run = math.pi * diameter * (1 + _gather(values) / 100)
    words = (
        f"gathered ends: {{}} drawn to {{}} at the rim ({_gather(values):g} %), to nothing "
        "in the middle"
    )
    return (around, Fact(words, (run, math.pi * diameter)))


def _notions(values: Values, litres: float, shut: Closing | None) -> tuple[Notion, ...]:
    sizes = (length(values, "diameter") + FOAM_OVER_MM, length(values, "length") + FOAM_OVER_MM)
    words = "round foam {} thick, {} long: {} over the cover, for a taut cover"
    round_foam = Notion(NotionKind.FOAM, words, (*sizes, FOAM_OVER_MM))
    filling = fibre(litres) if word(values, "fill") == Fill.FIBRE else round_foam
    drawn = () if word(values, "ends") == DISC else _MIDDLES
    return (filling, *(shut.notions if shut else ()), *drawn)


_MIDDLES: Final = (
    Notion(NotionKind.BUTTON, "button to cover, for the middle of an end", pieces=2),
    Notion(NotionKind.OTHER, "strong twine to draw an end up", pieces=2),
)


def _steps(values: Values, shut: Closing | None, welt: Welted) -> tuple[Step, ...]:
    """Tube, ends, filling; a zip is open while the ends are sewn on."""
    ends = tuple(f"{side} end to body" for side in _ENDS)
    if shut:
        tube = (
            "fold the body, right sides together, and sew its seam beyond the ends of the zip, "
            "then the zip into its opening"
        )
    else:
        tube = (
            "fold the body, right sides together, and sew its seam, with {opening} in the middle "
            "left open"
        )
    way = "notch to notch; clip the allowance of the body every 10 to 15 mm"
    opened = "open the zip; " if shut else ""
    gathered = word(values, "ends") == GATHERED
    sewn = f"{opened}pin and sew an end into either side, right sides together{welt.near}, {way}"
    drawing = "run two rows of gathering stitches along the rim and draw it up to the body"
    return (
        Step(tube, ("body seam",)),
        *welt.steps,
        *(_ring_steps(_gather(values) > 0, drawing) if gathered else ()),
        Step(sewn, ends),
        *filling_steps(values, shut),
        *(_MIDDLE_STEPS if gathered else ()),
    )


def _ring_steps(eased: bool, drawing: str) -> tuple[Step, ...]:
    return (
        Step("join each end strip to a ring, right sides together", ("end join",)),
        Step("turn its inner edge over and stitch the casing, a gap left for the twine"),
        *([Step(drawing, stitch=Stitch.GATHERING)] if eased else []),
    )


_MIDDLE_STEPS: Final = (
    Step("draw the casing of each end tight with the twine and tie it off", stitch=Stitch.NONE),
    Step("sew a covered button over the middle of each end", stitch=Stitch.HAND),
)

register(Bolster())
