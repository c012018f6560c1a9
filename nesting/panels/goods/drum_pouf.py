"""A drum pouf: two discs and a straight side between them, in one or several strips.

The side is π times the diameter at the stitch line.
"""

import math

from nesting.errors import Fault
from nesting.geometry.curves import circle
from nesting.panels.allowances import allowance_faults
from nesting.panels.cautions import BEADS, BLADES, CHILDREN, FIRE, LABELS, LOCAL_RULES
from nesting.panels.drafting.draft import Draft, EdgeUse, Fact, Seam, SeamRole, seam_names
from nesting.panels.drafting.finished import FinishedPanel
from nesting.panels.drafting.sewing import Step
from nesting.panels.measurements import Measurement, MeasurementKind, Values, length, number_or
from nesting.panels.parts.closures import (
    Closing,
    closing,
    closure_faults,
    closure_measurements,
    halved,
    slit,
    zip_allowances,
    zip_seam,
)
from nesting.panels.parts.filling import Fill, fill_measurement, filling_steps, loose_fill
from nesting.panels.parts.strips.long_strip import long_strip
from nesting.panels.parts.strips.strip import STRIP_GRAIN, Rim, Side, rim_of, strips_measurement
from nesting.panels.product import register

_HALVES = ("bottom-front", "bottom-back")


class DrumPouf:
    """Two plates, a side, and an optional closure across the bottom plate."""

    name = "drum-pouf"
    summary = "drum-shaped pouf: two discs and a straight side in one or several strips"
    measurements = (
        Measurement(
            "diameter",
            MeasurementKind.LENGTH,
            "finished diameter",
            required=True,
            least=100.0,
            greatest=3_000.0,
            example=500.0,
        ),
        Measurement(
            "height",
            MeasurementKind.LENGTH,
            "finished height",
            required=True,
            least=50.0,
            greatest=2_000.0,
            example=350.0,
        ),
        strips_measurement("auto", what="the side"),
        STRIP_GRAIN,
        *closure_measurements("bottom"),
        fill_measurement(Fill.FIBRE, Fill.BEADS),
    )
    cautions = (BEADS, CHILDREN, FIRE, LABELS, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Openings too long for the bottom, allowances too wide for a panel."""
        rooms = {"bottom": length(values, "diameter")}
        return closure_faults(values, rooms) or allowance_faults(self.draft(values), allowance_mm)

    def draft(self, values: Values) -> Draft:
        """Both plates sewn to the side, whose first join meets the double notch."""
        diameter, height = length(values, "diameter"), length(values, "height")
        shut = closing(values, {"bottom": diameter})
        plates, rims, zips = _plates(diameter, shut)
        run = math.pi * diameter
        side = long_strip(
            "side",
            [Side("rim", run)],
            height,
            number_or(values, "strips", 1),
            values["strip_grain"],
            rims,
        )
        seams = (*side.seams, *zips)
        litres = math.pi * diameter**2 / 4 * height / 1e6
        return Draft(
            (*plates, *side.panels),
            seams,
            (Fact("side: {} round the plate at the stitch line", (run,)),),
            allowances_mm=zip_allowances(values),
            joinings=(side.joining,),
            steps=(*_steps(seams, shut), *filling_steps(values, shut)),
            notions=(*loose_fill(values, litres), *(shut.notions if shut else ())),
            volume_litres=litres,
        )


def _plates(
    diameter: float, shut: Closing | None
) -> tuple[tuple[FinishedPanel, ...], tuple[Rim, Rim], tuple[Seam, ...]]:
    """The plates, their rims as the side meets them, and the seam of a zip."""
    rim = {"rim": circle(diameter / 2)}
    if shut is None:
        both = FinishedPanel("plate", 2, rim, parts=("top-plate", "bottom-plate"))
        return (both,), (_rim("top", "plate"), _rim("bottom", "plate")), ()
    top, bottom = FinishedPanel("top-plate", 1, rim), FinishedPanel("bottom-plate", 1, rim)
    above = _rim("top", "top-plate")
    if not shut.zip:
        half = shut.length_mm / 2
        cut = slit(bottom, (-half, 0.0), (half, 0.0))
        return (top, cut), (above, _rim("bottom", "bottom-plate")), ()
    halves = halved(bottom, _HALVES)
    below = Rim("bottom plate", (tuple(EdgeUse(half, "rim") for half in _HALVES),), "lower")
    return (top, *halves), (above, below), (zip_seam("zip", *_HALVES, diameter, shut.length_mm),)


def _rim(place: str, panel: str) -> Rim:
    edge = "upper" if place == "top" else "lower"
    return rim_of(f"{place} plate", panel, ["rim"], edge, f"{place}-plate")


def _steps(seams: tuple[Seam, ...], shut: Closing | None) -> tuple[Step, ...]:
    opened = "open the zip; " if shut and shut.zip else ""
    kept = "" if shut else "; leave {opening} open"
    ways = {
        "zip": "sew the zip between the bottom halves and close the seam beyond its ends",
        "slit": "bind the edges of the slit in the bottom plate",
    }
    on_top, below = (seam_names(seams, SeamRole.RIM, f"{end} plate") for end in ("top", "bottom"))
    met = "right sides together, quarter to quarter"
    return (
        *([Step(ways[shut.kind], ("zip",) if shut.zip else ())] if shut else []),
        Step(
            "join the side end to end to a ring, right sides together",
            seam_names(seams, SeamRole.JOIN),
        ),
        Step(f"sew the ring to the top plate, {met}", on_top),
        Step(f"{opened}sew the ring to the bottom plate, {met}{kept}", below),
    )


register(DrumPouf())
