"""A knife-edge cushion: two panels face to face, without boxing.

A filled cover with square corners has pointed ears there. So each corner is drawn
in, along both of its sides, by a taper that begins at a quarter of the side:
1/2 in, 1 in for sides over 24 in, 1/4 in for sides up to 12 in
(getasquiltingstudio 2021; here by the shorter side).
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from nesting.errors import Fault
from nesting.geometry.curves import Curve, Point, joined, line
from nesting.panels.allowances import allowance_faults
from nesting.panels.cautions import BLADES, CHILDREN, FIRE, LABELS, LOCAL_RULES
from nesting.panels.drafting.draft import Draft, EdgeUse, Fact, Seam, marks_along
from nesting.panels.drafting.finished import EdgeSort, FinishedPanel
from nesting.panels.drafting.sewing import Notion, NotionKind, Step
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
    halved,
    left_open,
    slit,
    zip_allowances,
    zip_seam,
)
from nesting.panels.parts.filling import Fill, filling_steps
from nesting.panels.parts.strips.strip import Side, rim_of
from nesting.panels.parts.welt.in_seams import Welted, welt_faults, welt_measurements, welted
from nesting.panels.product import register
from nesting.sentences import Length, Sentence, at_most

INCH: Final = 25.4

#: Greatest side in millimetres, with the taper of its corners.
TAPERS: Final = ((12 * INCH, INCH / 4), (24 * INCH, INCH / 2), (float("inf"), INCH))

#: Kilograms of fibre for each square millimetre of cover: length × width × 5 %
#: in inches gives ounces (quiltcraft: 20 in square, 20.0 oz; 22 in, 24.2 oz).
FIBRE_KG_PER_MM2: Final = 0.05 * 0.028349523 / INCH**2

#: A ready-made pad is an inch larger than the cover (common practice).
_PAD_OVER: Final = INCH

#: Share of the shorter side by which a corner may be drawn in: well below an
#: eighth, where the sides of the taper would lie in one line.
_MOST_TAPER: Final = 0.1

_HALVES: Final = ("back-lower", "back-upper")


class KnifeEdgeCushion:
    """Front and back, tapered at the corners."""

    name = "knife-edge-cushion"
    summary = "knife-edge cushion: two panels with tapered corners, sewn face to face"
    measurements = (
        Measurement(
            "length",
            MeasurementKind.LENGTH,
            "finished length, along the grain",
            required=True,
            least=100.0,
            greatest=3_000.0,
            example=500.0,
        ),
        Measurement(
            "width",
            MeasurementKind.LENGTH,
            "finished width, across the grain",
            required=True,
            least=100.0,
            greatest=3_000.0,
            example=500.0,
        ),
        Measurement(
            "taper",
            MeasurementKind.LENGTH,
            "how far corners are taken in; 0: square; default: 1/4, 1/2 or 1 in by shorter side",
            least=0.0,
            greatest=150.0,
        ),
        *closure_measurements("seam", "back"),
        *welt_measurements("the seam all round"),
    )
    cautions = (CHILDREN, FIRE, LABELS, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Tapers that flatten a corner, openings or welt that do not fit, allowances too wide."""
        found = (
            *_taper_faults(values),
            *_opening_faults(values),
            *welt_faults(values, _rim(values), allowance_mm),
        )
        return found or allowance_faults(self.draft(values), allowance_mm)

    def draft(self, values: Values) -> Draft:
        """Front and back sewn together on all four sides."""
        shut = closing(values, _rooms(values))
        panels, seams = _covers(values, shut)
        taper = Fact(
            "each corner is taken in by {}, tapering from a quarter of the side",
            (_taper(values),),
        )
        front = rim_of("front", panels[0].name, list(_edges(values)), "upper", "front")
        welt = welted(values, _rim(values), [front], back=0)
        draft = Draft(
            panels,
            seams,
            (taper,) if _taper(values) else (),
            allowances_mm=zip_allowances(values),
            notions=(*_filling(values), *(shut.notions if shut else ())),
        )
        return replace(welt.added_to(draft), steps=_steps(values, shut, welt))


def _taper(values: Values) -> float:
    lesser = min(length(values, "length"), length(values, "width"))
    usual = next(taper for most, taper in TAPERS if lesser <= most)
    return given_length(values, "taper", usual)


def _edges(values: Values) -> dict[str, Curve]:
    """Each side from corner to corner, straight along its middle half."""
    x, y, t = length(values, "length"), length(values, "width"), _taper(values)
    corners = ((t, t), (x - t, t), (x - t, y - t), (t, y - t))
    sides: tuple[tuple[str, Point, Point], ...] = (
        ("lower", (x / 4, 0.0), (3 * x / 4, 0.0)),
        ("right", (x, y / 4), (x, 3 * y / 4)),
        ("upper", (3 * x / 4, y), (x / 4, y)),
        ("left", (0.0, 3 * y / 4), (0.0, y / 4)),
    )
    ends = zip(sides, corners, (*corners[1:], corners[0]), strict=True)
    return {
        name: joined(line(start, first), line(first, last), line(last, end))
        for (name, first, last), start, end in ends
    }


def _rim(values: Values) -> list[Side]:
    """The sides in the order in which a welt follows them."""
    return [Side(f"{name} side", e.length_mm) for name, e in _edges(values).items()]


def _covers(
    values: Values, shut: Closing | None
) -> tuple[tuple[FinishedPanel, ...], tuple[Seam, ...]]:
    """The panels, and all seams between them."""
    edges = _edges(values)
    both = FinishedPanel("cover", 2, edges, parts=("front", "back"))
    if shut is None:
        return (both,), _sides(edges, "cover", ("cover",))
    if shut.place == "seam":
        zipped = replace(both, sorts={"lower": EdgeSort.ZIP})
        lower, *others = _sides(edges, "cover", ("cover",))
        opened = left_open(lower, edges["lower"].length_mm, shut.length_mm)
        return (zipped,), (opened, *others)
    front, back = FinishedPanel("front", 1, edges), FinishedPanel("back", 1, edges)
    across, middle = length(values, "length"), length(values, "width") / 2
    if not shut.zip:
        start, end = (across - shut.length_mm) / 2, (across + shut.length_mm) / 2
        slitted = slit(back, (start, middle), (end, middle))
        return (front, slitted), _sides(edges, "front", ("back",))
    halves = halved(back, _HALVES)
    closed = zip_seam("zip", *_HALVES, across, shut.length_mm)
    return (front, *halves), (*_sides(edges, "front", _HALVES), closed)


def _sides(edges: Mapping[str, Curve], front: str, backs: tuple[str, ...]) -> tuple[Seam, ...]:
    """The four sides; the back lies face down, so that its left meets the front's right.

    ``backs`` are the panels of the back from the lower side to the upper one.
    """
    met = {
        "lower": (EdgeUse(backs[0], "lower", part="back"),),
        "right": tuple(EdgeUse(each, "left", part="back") for each in backs),
        "upper": (EdgeUse(backs[-1], "upper", part="back"),),
        "left": tuple(EdgeUse(each, "right", part="back") for each in reversed(backs)),
    }
    uses = {side: (EdgeUse(front, side, part="front"),) for side in edges}
    return tuple(
        Seam(f"{side} side", uses[side], met[side], marks_along(edge.length_mm, 4))
        for side, edge in edges.items()
    )


def _filling(values: Values) -> tuple[Notion, ...]:
    x, y = length(values, "length"), length(values, "width")
    mass = FIBRE_KG_PER_MM2 * x * y
    pad = "or a ready pad instead, about {} × {}: larger than the cover, which it fills taut"
    return (
        Notion(NotionKind.FILL, "fibre filling", kilograms=(mass, mass)),
        Notion(NotionKind.FILL, pad, (x + _PAD_OVER, y + _PAD_OVER)),
    )


def _steps(values: Values, shut: Closing | None, welt: Welted) -> tuple[Step, ...]:
    last = filling_steps({**values, "fill": Fill.FIBRE.value}, shut)
    around = "right side", "upper side", "left side"
    turn = "turn at each corner with the needle down, trim the allowance across it"
    if welt.steps:
        turn = f"keep close to the cord with a cord foot, {turn}"
    if shut and shut.place == "seam":
        words = "sew the zip into the lower side, and close the seam beyond its ends; open it"
        first = Step(words, ("lower side",))
        return (
            *welt.steps,
            first,
            Step(f"sew the other sides, right sides together; {turn}", around),
            *last,
        )
    every = ("lower side", *around)
    if shut is None:
        words = (
            f"sew front to back, right sides together, with {{opening}} of a side left open; {turn}"
        )
        return (*welt.steps, Step(words, every), *last)
    opened = (
        Step(
            "sew the zip between the halves of the back, and close the seam beyond its ends",
            ("zip",),
        )
        if shut.zip
        else Step("cut the slit in the back open and bind its edges")
    )
    begun = "open it; sew" if shut.zip else "sew"
    round_it = Step(f"{begun} front to back all round, right sides together; {turn}", every)
    return (opened, *welt.steps, round_it, *last)


def _rooms(values: Values) -> dict[str, float]:
    """A slit lies in the back; a zip in the seam of the lower side, or across the back."""
    across = {"back": length(values, "length")}
    if word(values, "closure") == "slit":
        return across
    return {"seam": _edges(values)["lower"].length_mm, **across}


def _opening_faults(values: Values) -> tuple[Fault, ...]:
    if word(values, "closure") == "slit" and values["closure_place"] == "seam":
        rule = "a slit can lie in the back alone"
        return (Fault("closure_place", rule, "seam", "remove it, or ask for a zip"),)
    return closure_faults(values, _rooms(values))


def _taper_faults(values: Values) -> tuple[Fault, ...]:
    most = _MOST_TAPER * min(length(values, "length"), length(values, "width"))
    if _taper(values) <= most:
        return ()
    rule = Sentence("must be at most a tenth of the shorter side ({})", (at_most(most),))
    return (Fault("taper", rule, Length(_taper(values)), "draw the corners in less"),)


register(KnifeEdgeCushion())
