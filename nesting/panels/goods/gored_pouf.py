"""A pouf sewn from gores between two round caps, or from gores that meet in points.

Its profile may be a squashed ellipse, a sphere, a drum whose ends are gored
or any other that is given by points (`nesting.panels.parts.gored.pouf_shape`).
"""

import math

from nesting.errors import Fault
from nesting.geometry.curves import circle
from nesting.panels.allowances import allowance_faults
from nesting.panels.cautions import BEADS, BLADES, CHILDREN, FIRE, LABELS, LOCAL_RULES
from nesting.panels.drafting.draft import Draft, EdgeUse, Fact, Mark, Seam, SeamRole, seam_names
from nesting.panels.drafting.finished import FinishedPanel
from nesting.panels.drafting.sewing import Step
from nesting.panels.measurements import Measurement, MeasurementKind, Values, length, number
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
from nesting.panels.parts.gored.gores import (
    IN_SEAM,
    edge_fact,
    gore,
    half_edge,
    seam_zip_faults,
    side_seams,
)
from nesting.panels.parts.gored.pouf_shape import (
    DRUM,
    POINTS,
    SPHERE,
    SQUASHED,
    PoufShape,
    shape_faults,
    shape_of,
)
from nesting.panels.product import register

#: Names of the single caps, for an order that wants one from another cloth.
_CAPS = ("top-cap", "bottom-cap")

#: The halves of a bottom cap with a zip across it.
_HALVES = ("bottom-cap-front", "bottom-cap-back")

#: The place of a closure in the bottom cap.
_IN_CAP = "bottom-cap"

#: Millimetres between notches on the rim of a cap.
_RIM_MARKS_APART = 20.0


class GoredPouf:
    """Gores and, unless they meet in points, caps."""

    name = "gored-pouf"
    summary = "floor pouf sewn from gores, with two round caps or pointed ends"
    measurements = (
        Measurement(
            "diameter",
            MeasurementKind.LENGTH,
            "finished diameter at the equator",
            required=True,
            least=50.0,
            greatest=10_000.0,
            example=500.0,
        ),
        Measurement(
            "height",
            MeasurementKind.LENGTH,
            "finished height, from bottom cap to top cap; default: the height of a sphere",
            least=20.0,
            greatest=10_000.0,
        ),
        Measurement(
            "gores",
            MeasurementKind.COUNT,
            "number of gores (three or fewer do not make a round shape)",
            default=8,
            least=4,
            greatest=48,
        ),
        Measurement(
            "cap_diameter",
            MeasurementKind.LENGTH,
            "finished diameter of the caps; 0: no caps, the gores meet in points",
            default=0.0,
            least=0.0,
            greatest=10_000.0,
            example=180.0,
        ),
        Measurement(
            "bottom_cap_diameter",
            MeasurementKind.LENGTH,
            "finished diameter of the bottom cap; default: that of the top cap",
            least=0.0,
            greatest=10_000.0,
        ),
        Measurement(
            "profile",
            MeasurementKind.CHOICE,
            "seen from the side: an ellipse, a sphere, a straight side with gored ends, points",
            default=SQUASHED,
            choices=(SQUASHED, SPHERE, DRUM, POINTS),
        ),
        Measurement(
            "side_height",
            MeasurementKind.LENGTH,
            "height of a drum's straight side; default: half of the height",
            least=0.0,
            greatest=10_000.0,
        ),
        Measurement(
            "profile_points",
            MeasurementKind.POINTS,
            "[height, radius] from the bottom to the top; the ends are the radii of the caps",
            least=3,
            greatest=60,
        ),
        *closure_measurements(IN_SEAM, _IN_CAP),
        fill_measurement(Fill.FIBRE, Fill.BEADS),
    )
    cautions = (BEADS, CHILDREN, FIRE, LABELS, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Shapes that a gored pouf cannot have, and openings or allowances that do not fit."""
        found = shape_faults(values)
        if found:
            return found
        shape = shape_of(values)
        rooms = _rooms(shape, _gore(shape, number(values, "gores")))
        found = (*closure_faults(values, rooms), *seam_zip_faults(values, closing(values, rooms)))
        return found or allowance_faults(self.draft(values), allowance_mm)

    def draft(self, values: Values) -> Draft:
        """Gores side by side, closed by a cap at the top and one at the bottom."""
        shape, gores = shape_of(values), number(values, "gores")
        drawn = _gore(shape, gores)
        shut = closing(values, _rooms(shape, drawn))
        caps, rims, zips = _caps(shape, shut)
        seams = (
            *side_seams(drawn, shut),
            *zips,
            *(_cap_seam(end, drawn, rim) for end, rim in rims.items()),
        )
        return Draft(
            (drawn, *caps),
            seams,
            _facts(values, shape, drawn),
            allowances_mm=zip_allowances(values),
            steps=(*_steps(seams, shut), *filling_steps(values, shut)),
            notions=(*loose_fill(values, shape.litres), *(shut.notions if shut else ())),
            volume_litres=shape.litres,
        )


def _gore(shape: PoufShape, gores: int) -> FinishedPanel:
    above, below = (half_edge(half, gores, shape.side / 2) for half in shape.half_profiles)
    return gore("gore", gores, above, below)


def _rooms(shape: PoufShape, drawn: FinishedPanel) -> dict[str, float]:
    """How long an opening may be: an edge of a gore, or across the bottom cap."""
    return {IN_SEAM: drawn.edges["left"].length_mm, _IN_CAP: shape.bottom_cap}


_Caps = tuple[tuple[FinishedPanel, ...], dict[str, tuple[EdgeUse, ...]], tuple[Seam, ...]]


def _caps(shape: PoufShape, shut: Closing | None) -> _Caps:
    """The caps, their rims by the end of the gores, and the seam of a zip across the bottom."""
    opened = shut if shut and shut.place == _IN_CAP else None
    if shape.top_cap == shape.bottom_cap and not opened:
        rim: tuple[EdgeUse, ...] = (EdgeUse("cap", "rim"),)
        both = (_disc("cap", shape.top_cap, 2),) if shape.top_cap else ()
        return both, {"top": rim, "bottom": rim} if both else {}, ()
    sizes = {"top": (_CAPS[0], shape.top_cap), "bottom": (_CAPS[1], shape.bottom_cap)}
    caps = {end: _disc(name, size, 1) for end, (name, size) in sizes.items() if size}
    rims: dict[str, tuple[EdgeUse, ...]]
    rims = {end: (EdgeUse(cap.name, "rim"),) for end, cap in caps.items()}
    if not opened:
        return tuple(caps.values()), rims, ()
    bottom, half = caps.pop("bottom"), opened.length_mm / 2
    if not opened.zip:
        return (*caps.values(), slit(bottom, (-half, 0.0), (half, 0.0))), rims, ()
    front, back = halved(bottom, _HALVES)
    rims["bottom"] = (EdgeUse(front.name, "rim"), EdgeUse(back.name, "rim"))
    zips = (zip_seam("zip", *_HALVES, shape.bottom_cap, opened.length_mm),)
    return (*caps.values(), front, back), rims, zips


def _disc(name: str, diameter: float, per_item: int) -> FinishedPanel:
    parts = _CAPS if per_item > 1 else ()
    return FinishedPanel(name, per_item, {"rim": circle(diameter / 2)}, parts=parts)


def _cap_seam(end: str, drawn: FinishedPanel, rim: tuple[EdgeUse, ...]) -> Seam:
    """The seam of all gores and a cap; marks on the rim show where gore seams meet it."""
    gores = drawn.per_item
    round_it = gores * drawn.edges[end].length_mm
    even = [k for k in range(1, gores + 1) if gores % k == 0]
    every = next((k for k in even if round_it * k / gores >= _RIM_MARKS_APART), gores)
    marks = tuple(Mark(i / gores) for i in range(0, gores, every))
    name, around = f"gores to cap at the {end}", (EdgeUse("gore", end, gores),)
    return Seam(name, around, rim, marks, role=SeamRole.RIM, rim=f"cap at the {end}")


def _steps(seams: tuple[Seam, ...], shut: Closing | None) -> tuple[Step, ...]:
    between, caps = seam_names(seams, SeamRole.JOIN), seam_names(seams, SeamRole.RIM)
    sides = (
        "sew the gores side to side, right sides together, notch to notch, all double notches at "
        "the top"
    )
    both = "sew a cap to the gores at either end" if len(caps) > 1 else "sew the cap to the gores"
    met = f"{both}, right sides together, notches on gore seams"
    closed = (Step(met, caps),) if caps else ()
    if shut is None:
        words = "sew the last seam in the same way; leave {opening} open in its middle"
        last = Step(words, seam_names(seams, SeamRole.CLOSING))
        return Step(sides, between), last, *closed
    if shut.place == IN_SEAM:
        words = "sew the last seam in the same way, but leave {} open in its middle"
        into = "; sew the zip into the opening" if shut.zip else ""
        opened = seam_names(seams, SeamRole.CLOSING)
        last = Step(words + into, opened, lengths_mm=(shut.length_mm,))
        return Step(sides, between), last, *closed
    ways = {
        "zip": "sew the zip between the halves of the bottom cap; leave it open a little",
        "slit": "bind the edges of the slit in the bottom cap",
    }
    first = Step(ways[shut.kind], ("zip",) if shut.zip else ())
    return first, Step(sides, between), *closed


def _facts(values: Values, shape: PoufShape, drawn: FinishedPanel) -> tuple[Fact, ...]:
    gores = drawn.per_item
    arc, chord = math.pi / gores, math.sin(math.pi / gores)
    follows = "" if values["height"] is not None or shape.given else "height of the sphere: {}"
    return (
        *((Fact(follows, (shape.height,)),) if follows else ()),
        edge_fact(drawn),
        Fact(
            "gore: {} wide at the equator, measured round the curve ({} straight across)",
            (arc * length(values, "diameter"), chord * length(values, "diameter")),
        ),
    )


register(GoredPouf())
