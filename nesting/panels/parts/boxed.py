"""Boxed cushions: two plates with boxing between them, closed by a zip or a slit or by hand."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from nesting.errors import Fault
from nesting.geometry.curves import Point
from nesting.panels.drafting.draft import EdgeUse, Seam, SeamRole, seam_names
from nesting.panels.drafting.finished import FinishedPanel
from nesting.panels.drafting.sewing import Notion, Step, Stitch, buttons
from nesting.panels.measurements import (
    Measurement,
    MeasurementKind,
    Values,
    given_length,
    length,
    number_or,
    word,
)
from nesting.panels.parts.closures import Closing, closing, closure_faults, halved, slit, zip_seam
from nesting.panels.parts.filling import Fill, filling_steps, loose_fill
from nesting.panels.parts.strips.long_strip import long_strip
from nesting.panels.parts.strips.strip import Rim, Side, Strip
from nesting.panels.parts.strips.zipped import zipped_strip
from nesting.panels.parts.tufting import buttoned
from nesting.panels.parts.welt.in_seams import Welted
from nesting.sentences import Length, Sentence, at_least, at_most, point

#: Where a boxed cushion may be opened.
BOXING: Final = "boxing"
BOTTOM: Final = "bottom"

#: The rims that boxing is sewn to.
TOP_PLATE: Final = "top plate"
BOTTOM_PLATE: Final = "bottom plate"

#: What every boxed cushion asks for.
THICKNESS: Final = Measurement(
    "thickness",
    MeasurementKind.LENGTH,
    "finished thickness",
    required=True,
    least=5.0,
    greatest=2_000.0,
    example=80.0,
)

#: Millimetres within which a point lies on the middle line of a plate.
_ON_LINE: Final = 1e-6

#: Least distance in millimetres from a button to a zip or a slit: half of a zip's
#: tape, or the binding of a slit (common practice).
_BESIDE_MM: Final = 15.0

#: The two halves of a bottom plate with a zip.
HALVES: Final = ("bottom-front", "bottom-back")


@dataclass(frozen=True)
class Plates:
    """The plates, their rims as the boxing meets them, and the seam of a zip between halves."""

    panels: tuple[FinishedPanel, ...]
    rims: tuple[Rim, Rim]
    seams: tuple[Seam, ...] = ()


#: Edges of a plate for each side of the boxing's way, in its order.
Way = Sequence[tuple[str, ...]]


def plates(plate: FinishedPanel, way: Way, face_down: Way, shut: Closing | None) -> Plates:
    """Two equal plates, or a top plate and a bottom plate with a closure along its middle.

    Parameters
    ----------
    plate
        The pair as one panel.
    way, face_down
        Edges that the boxing meets on the top plate, and on the bottom one below them.
    """
    if shut is None or shut.place == BOXING:
        return Plates((plate,), (_above(plate, way), _below(plate, face_down)))
    top = replace(plate, name="top-plate", per_item=1, parts=())
    bottom = replace(top, name="bottom-plate")
    if not shut.zip:
        slitted = _slit_along(bottom, shut.length_mm)
        return Plates((top, slitted), (_above(top, way), _below(slitted, face_down)))
    halves = halved(bottom, HALVES)
    uses = tuple(
        tuple(use for edge in edges for use in _clockwise(bottom, halves, edge))
        for edges in face_down
    )
    rims = (_above(top, way), Rim(BOTTOM_PLATE, uses, "lower"))
    run = halves[0].edges["zip"].length_mm
    return Plates((top, *halves), rims, (zip_seam("zip", *HALVES, run, shut.length_mm),))


def _above(plate: FinishedPanel, way: Way) -> Rim:
    return Rim(TOP_PLATE, _uses(plate, way, "top-plate"), "upper")


def _below(plate: FinishedPanel, way: Way) -> Rim:
    return Rim(BOTTOM_PLATE, _uses(plate, way, "bottom-plate"), "lower")


def _uses(plate: FinishedPanel, way: Way, part: str) -> tuple[tuple[EdgeUse, ...], ...]:
    return tuple(tuple(EdgeUse(plate.name, edge, part=part) for edge in edges) for edges in way)


def _slit_along(bottom: FinishedPanel, opening_mm: float) -> FinishedPanel:
    x, y = _middle(bottom)
    return slit(bottom, (x - opening_mm / 2, y), (x + opening_mm / 2, y))


def _middle(panel: FinishedPanel) -> Point:
    """The point in the middle of a panel's length and width."""
    xs, ys = zip(*panel.ring, strict=True)
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def _clockwise(
    whole: FinishedPanel, halves: tuple[FinishedPanel, FinishedPanel], edge: str
) -> tuple[EdgeUse, ...]:
    """The halves that share an edge of the whole panel, in clockwise order."""
    lower, upper = halves
    _, middle = _middle(whole)
    begun = next(y for _, y in whole.edges[edge].points if abs(y - middle) > _ON_LINE)
    order = (upper, lower) if begun < middle else (lower, upper)
    return tuple(EdgeUse(half.name, edge) for half in order if edge in half.edges)


def boxing_strip(  # noqa: PLR0913 - each is named by its caller
    values: Values,
    sides: Sequence[Side],
    depth_mm: float,
    rims: Sequence[Rim],
    shut: Closing | None,
    *,
    usual: int,
    zip_side: int,
    doubled: int | None = None,
) -> Strip:
    """The boxing, in ``usual`` pieces if the plan chooses their number.

    With a zip in it, one side is a separate strip, so there are at least
    two pieces.
    """
    pieces, grain = number_or(values, "strips", usual), values["strip_grain"]
    if shut and shut.zip and shut.place == BOXING:
        return zipped_strip(
            "boxing", sides, zip_side, shut.length_mm, depth_mm, max(pieces, 2), grain, rims
        )
    return long_strip("boxing", sides, depth_mm, pieces, grain, rims, doubled=doubled)


def opening_faults(
    values: Values,
    plate: FinishedPanel,
    boxing_mm: float,
    bottom_mm: float,
    allowance_mm: float,
) -> tuple[Fault, ...]:
    """Slits outside the bottom, faults of the closure, and buttons in its way.

    ``boxing_mm`` and ``bottom_mm`` are the lengths available for an opening.
    """
    if word(values, "closure") == "slit" and values["closure_place"] == BOXING:
        rule = "a slit can lie in the bottom alone"
        return (Fault("closure_place", rule, BOXING, "remove it, or ask for a zip"),)
    room_mm = closure_rooms(values, boxing_mm, bottom_mm)
    found = closure_faults(values, room_mm)
    return found or _opened_button_faults(values, plate, room_mm, allowance_mm)


def _opened_button_faults(
    values: Values, plate: FinishedPanel, room_mm: Mapping[str, float], allowance_mm: float
) -> tuple[Fault, ...]:
    """Buttons on the zip or the slit along the middle of the bottom, or too near to it.

    They would go through the zip's allowances, which lie folded beside it. The
    openings themselves have no faults.
    """
    shut = closing(values, room_mm)
    if shut is None or shut.place == BOXING:
        return ()
    allowance = given_length(values, "zip_allowance", allowance_mm)
    clear, (x, y) = max(allowance, _BESIDE_MM), _middle(plate)
    half = math.inf if shut.zip else shut.length_mm / 2
    near = [
        (abs(mark.at[1] - y), mark.at)
        for mark in buttoned(plate, values).drills
        if abs(mark.at[1] - y) < clear and abs(mark.at[0] - x) < half + clear
    ]
    if not near:
        return ()
    away, at = min(near)
    x0, y0 = (min(each) for each in zip(*plate.ring, strict=True))
    words = (
        f"must keep at least {{}} from the {shut.kind} along the middle of the bottom; one would "
        "lie {} from it, at {} from the lower left"
    )
    place = point((round(at[0] - x0, 1), round(at[1] - y0, 1)))
    rule = Sentence(words, (at_least(clear), Length(round(away, 1)), place))
    elsewhere = 'closure_place = "boxing"' if shut.zip else 'a zip in the boxing (closure = "zip")'
    if word(values, "buttons") == "four":
        spacing = length(values, "button_spacing")
        remedy = Sentence(f"give at most {{}}, or {elsewhere}", (at_most(y - y0 - clear),))
        return (Fault("button_spacing", rule, Length(spacing), remedy),)
    return (Fault("buttons", rule, word(values, "buttons"), f"give {elsewhere}, or four buttons"),)


def closure_rooms(values: Values, boxing_mm: float, bottom_mm: float) -> dict[str, float]:
    """The places of a closure with the length of each: a slit lies in the bottom."""
    if word(values, "closure") == "slit":
        return {BOTTOM: bottom_mm}
    return {BOXING: boxing_mm, BOTTOM: bottom_mm}


def cushion_notions(
    values: Values, foam: Notion, litres: float, shut: Closing | None
) -> tuple[Notion, ...]:
    """The filling, which is ``foam`` if the order chooses it, and the closure's supplies."""
    foamed = word(values, "fill") == Fill.FOAM
    filling = (foam,) if foamed else loose_fill(values, litres)
    return (*filling, *(shut.notions if shut else ()))


def button_notions(panels: Sequence[FinishedPanel]) -> tuple[Notion, ...]:
    """Buttons, one for each drill mark of each panel."""
    count = sum(p.per_item * sum(d.name == "button" for d in p.drills) for p in panels)
    return (buttons(count),) if count else ()


def cushion_steps(
    values: Values, seams: Sequence[Seam], shut: Closing | None, way: str, welt: Welted
) -> tuple[Step, ...]:
    """The order of sewing: closure, welt, joins, both plates, filling, buttons.

    ``way`` says how the boxing goes round the corners, or round the rim.
    """
    joins, zips = seam_names(seams, SeamRole.JOIN), seam_names(seams, SeamRole.ZIP)
    on_top, below = (seam_names(seams, SeamRole.RIM, plate) for plate in (TOP_PLATE, BOTTOM_PLATE))
    opened = "open the zip; " if zips else ""
    kept = "" if shut else "; leave {opening} open"
    return (
        *_closure_steps(shut, zips),
        *welt.steps,
        Step("join the boxing end to end to a ring, right sides together", joins),
        Step(
            "sew the boxing to the top plate, right sides together, notch to "
            f"notch{welt.near}; {way}",
            on_top,
        ),
        Step(f"{opened}sew it to the bottom plate in the same way{kept}", below),
        *filling_steps(values, shut),
        *_buttoning(values),
    )


def _closure_steps(shut: Closing | None, zips: tuple[str, ...]) -> tuple[Step, ...]:
    if shut is None:
        return ()
    if not shut.zip:
        return (Step("cut the slit in the bottom plate open and bind its edges"),)
    where = "strips of the boxing" if shut.place == BOXING else "halves of the bottom plate"
    words = f"sew the zip between the two {where}, and close the seam beyond its ends"
    return (Step(words, zips),)


def _buttoning(values: Values) -> tuple[Step, ...]:
    if word(values, "buttons") == "none":
        return ()
    words = (
        "draw twine through filling and cover at each drill mark with a long needle, a button "
        "on either face, and tie it off"
    )
    return (Step(words, stitch=Stitch.HAND),)
