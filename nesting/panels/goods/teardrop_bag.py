"""A teardrop bean bag: six panels with curved sides on a hexagon, a small hexagon on top.

Filled it is round: below its widest place it follows an ellipse, above it half
a wave of a cosine that ends upright in a neck. Each panel is a gore of that
shape, so that six of them are as wide together as the way round; at the foot
and at the neck a panel is as wide as a side of the hexagon there.
"""

import math

from nesting.errors import Fault
from nesting.panels.allowances import allowance_faults
from nesting.panels.cautions import BEADS, BLADES, CHILDREN, FIRE, LABELS, LOCAL_RULES
from nesting.panels.drafting.draft import Draft, EdgeUse, Fact, Mark, Seam, SeamRole, seam_names
from nesting.panels.drafting.finished import FinishedPanel, polygon
from nesting.panels.drafting.sewing import Step
from nesting.panels.measurements import (
    Measurement,
    MeasurementKind,
    Values,
    given_length,
    length,
)
from nesting.panels.parts.closures import (
    Closing,
    closing,
    closure_faults,
    closure_measurements,
    halved,
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
from nesting.panels.parts.gored.profiles import ellipse, neck, solid_litres
from nesting.panels.product import register
from nesting.sentences import Length, Sentence, at_least, at_most, less_than

_SIDES = 6

#: Sides of the hexagon from its right corner anticlockwise, and as the panels
#: meet them.
_NAMES = tuple(f"side-{i}" for i in range(1, _SIDES + 1))

_HALVES = ("base-front", "base-back")

#: Height of the widest place when it is not given, as a share of the whole.
_WIDEST_AT = 0.35

#: Least share of the height that lies below and above the widest place.
_LEAST_SHARE = 0.1


class TeardropBag:
    """Six panels between two hexagons."""

    name = "teardrop-bag"
    summary = "teardrop bean bag: six curved panels on a hexagon base, a small hexagon on top"
    measurements = (
        Measurement(
            "diameter",
            MeasurementKind.LENGTH,
            "finished diameter at the widest place, filled round",
            required=True,
            least=200.0,
            greatest=3_000.0,
            example=800.0,
        ),
        Measurement(
            "height",
            MeasurementKind.LENGTH,
            "finished height, base to top",
            required=True,
            least=200.0,
            greatest=3_000.0,
            example=1_000.0,
        ),
        Measurement(
            "widest_at",
            MeasurementKind.LENGTH,
            "height of the widest place; default: 0.35 of the height",
            least=20.0,
            greatest=3_000.0,
        ),
        Measurement(
            "base_side",
            MeasurementKind.LENGTH,
            "finished side of the hexagon base",
            required=True,
            least=40.0,
            greatest=1_500.0,
            example=300.0,
        ),
        Measurement(
            "cap_side",
            MeasurementKind.LENGTH,
            "finished side of the hexagon on top",
            default=60.0,
            least=20.0,
            greatest=1_500.0,
        ),
        *closure_measurements("base", IN_SEAM, kinds=("none", "zip")),
        fill_measurement(Fill.FIBRE, Fill.BEADS),
    )
    cautions = (BEADS, CHILDREN, FIRE, LABELS, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Hexagons wider than the bag, a misplaced widest place, bad openings or allowances."""
        found = _shape_faults(values)
        if found:
            return found
        rooms = _rooms(values, _panel(values))
        found = (*closure_faults(values, rooms), *seam_zip_faults(values, closing(values, rooms)))
        return found or allowance_faults(self.draft(values), allowance_mm)

    def draft(self, values: Values) -> Draft:
        """Panels side by side, closed by a hexagon at either end."""
        panel = _panel(values)
        shut = closing(values, _rooms(values, panel))
        bases, second, zips = _base(length(values, "base_side"), shut)
        cap = _hexagon("cap", length(values, "cap_side"))
        round_cap = tuple(EdgeUse("cap", name) for name in reversed(_NAMES))
        seams = (
            *side_seams(panel, shut),
            *zips,
            _end_seam("cap", "top", round_cap),
            _end_seam("base", "bottom", second),
        )
        below, above = _profile(values)
        volume = solid_litres(below) + solid_litres(above)
        return Draft(
            (panel, *bases, cap),
            seams,
            (edge_fact(panel), _width_fact(values)),
            allowances_mm=zip_allowances(values),
            steps=(*_steps(seams, shut), *filling_steps(values, shut)),
            notions=(*loose_fill(values, volume), *(shut.notions if shut else ())),
            volume_litres=volume,
        )


def _radius(side_mm: float) -> float:
    """Radius of the circle with the same circumference as a hexagon."""
    return _SIDES * side_mm / math.tau


def _profile(values: Values) -> tuple[list[tuple[float, float]], list[tuple[float, float]]]:
    """Half profiles below and above the widest place."""
    across, low = length(values, "diameter") / 2, _widest_at(values)
    foot, top = (_radius(length(values, f"{end}_side")) for end in ("base", "cap"))
    below = ellipse(across, low / math.sqrt(1 - (foot / across) ** 2), foot)
    return below, neck(across, length(values, "height") - low, top)


def _widest_at(values: Values) -> float:
    return given_length(values, "widest_at", _WIDEST_AT * length(values, "height"))


def _panel(values: Values) -> FinishedPanel:
    below, above = (half_edge(half, _SIDES) for half in _profile(values))
    return gore("panel", _SIDES, above, below)


def _rooms(values: Values, panel: FinishedPanel) -> dict[str, float]:
    """A zip lies across the base, corner to corner, or in the seam between two panels."""
    return {"base": 2 * length(values, "base_side"), IN_SEAM: panel.edges["left"].length_mm}


def _hexagon(name: str, side: float) -> FinishedPanel:
    """A regular hexagon about the origin with corners to the right and to the left."""
    high = side * math.sqrt(3) / 2
    half = side / 2
    corners = (
        (side, 0.0),
        (half, high),
        (-half, high),
        (-side, 0.0),
        (-half, -high),
        (half, -high),
    )
    return polygon(name, 1, dict(zip(_NAMES, corners, strict=True)))


def _base(
    side: float, shut: Closing | None
) -> tuple[tuple[FinishedPanel, ...], tuple[EdgeUse, ...], tuple[Seam, ...]]:
    """The base, whole or in two halves with a zip, and its edges as the panels meet them."""
    whole = _hexagon("base", side)
    if shut is None or shut.place == IN_SEAM:
        return (whole,), tuple(EdgeUse("base", name) for name in reversed(_NAMES)), ()
    front, back = halved(whole, _HALVES)
    run = tuple(
        EdgeUse(front.name if name in front.edges else back.name, name) for name in reversed(_NAMES)
    )
    return (front, back), run, (zip_seam("zip", *_HALVES, 2 * side, shut.length_mm),)


def _end_seam(name: str, end: str, hexagon: tuple[EdgeUse, ...]) -> Seam:
    """The seam of all panels and the named hexagon, whose corners meet the panel seams."""
    marks = tuple(Mark(i / _SIDES) for i in range(1, _SIDES))
    around = (EdgeUse("panel", end, _SIDES),)
    return Seam(f"panels to {name}", around, hexagon, marks, role=SeamRole.RIM, rim=name)


def _steps(seams: tuple[Seam, ...], shut: Closing | None) -> tuple[Step, ...]:
    in_base = shut is not None and shut.place != IN_SEAM
    in_seam = shut is not None and not in_base
    corners = (
        "right sides together, each corner at a seam; clip the panels there; stop and pivot at "
        "every corner"
    )
    zips, closed = seam_names(seams, SeamRole.ZIP), seam_names(seams, SeamRole.CLOSING)
    first = (Step("sew the zip between the halves of the base", zips),) if in_base else ()
    words = (
        "sew the last seam in the same way at both ends of the opening, then the zip into it"
        if in_seam
        else "sew the last seam in the same way; leave {opening} open in its middle"
    )
    sides = "sew the panels side to side, right sides together, notch to notch"
    opened = "open the zip; " if shut else ""
    cap, base = (seam_names(seams, SeamRole.RIM, end) for end in ("cap", "base"))
    return (
        *first,
        Step(sides, seam_names(seams, SeamRole.JOIN)),
        *([Step(words, closed)] if closed else ()),
        Step(f"sew the small hexagon into the top, {corners}", cap),
        Step(f"{opened}sew the base on, {corners}", base),
    )


def _width_fact(values: Values) -> Fact:
    share = math.pi * length(values, "diameter") / _SIDES
    sentence = "panel: {} wide at its widest, {} at the base, {} at the top"
    return Fact(sentence, (share, length(values, "base_side"), length(values, "cap_side")))


def _shape_faults(values: Values) -> tuple[Fault, ...]:
    diameter, height, low = length(values, "diameter"), length(values, "height"), _widest_at(values)
    most = math.pi * diameter / _SIDES
    wide = less_than(most)
    faults = [
        Fault(
            key,
            Sentence("must be less than a panel's width at the widest place ({})", (wide,)),
            Length(length(values, key)),
            "make the hexagon smaller or the bag wider",
        )
        for key in ("base_side", "cap_side")
        if length(values, key) >= most
    ]
    least, greatest = _LEAST_SHARE * height, (1 - _LEAST_SHARE) * height
    if not least <= low <= greatest:
        words = "must be between {} and {} for a height of {}"
        rule = Sentence(words, (at_least(least), at_most(greatest), Length(height)))
        remedy = "remove it for a common teardrop"
        faults.append(Fault("widest_at", rule, Length(low), remedy))
    return tuple(faults)


register(TeardropBag())
