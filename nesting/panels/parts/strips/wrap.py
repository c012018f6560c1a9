"""Wraps: a long panel round two ends; one side may be a separate panel.

That panel is whole, or halved by a zip that runs across the wrap.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from nesting.panels.drafting.draft import (
    EdgeUse,
    Joining,
    Mark,
    Seam,
    SeamRole,
    marks_along,
    seam_names,
)
from nesting.panels.drafting.finished import FinishedPanel
from nesting.panels.drafting.sewing import Step
from nesting.panels.measurements import Values
from nesting.panels.parts.closures import Closing, halved, zip_seam
from nesting.panels.parts.filling import filling_steps
from nesting.panels.parts.strips.long_strip import long_strip
from nesting.panels.parts.strips.strip import ALONG, STRIP_GRAIN, Rim, Side, Strip, strip_panel

WRAP_GRAIN: Final = replace(
    STRIP_GRAIN,
    meaning="how the run of the wrap lies on the roll: across it, along it, or any way",
    default=ALONG,
)


@dataclass(frozen=True)
class SeparateSide:
    """The side of a wrap that is a separate panel, and the names of its halves.

    The first half is the one that the way round the wrap meets first.
    """

    side: int
    name: str
    halves: tuple[str, str]


def wrap_with_separate_side(
    sides: Sequence[Side],
    apart: SeparateSide,
    width_mm: float,
    pieces: int,
    grain: object,
    rims: Sequence[Rim],
    shut: Closing | None,
) -> Strip:
    """A wrap in ``pieces`` along all sides but one, and the separate side with its zip, if any.

    Parameters are those of `nesting.panels.parts.strips.long_strip.long_strip`.
    """
    order = [*range(apart.side + 1, len(sides)), *range(apart.side)]
    rest = long_strip(
        "wrap",
        [sides[i] for i in order],
        width_mm,
        pieces,
        grain,
        [replace(rim, uses=tuple(rim.uses[i] for i in order)) for rim in rims],
        closed=False,
    )
    run = sides[apart.side].length_mm
    own = _separate_panel(apart, run, width_mm, grain, shut)
    names = [panel.name for panel in own]
    zips = (zip_seam("zip", names[0], names[1], width_mm, shut.length_mm),) if shut else ()
    seams = (
        *rest.seams,
        *_separate_seams(apart, run, names, rims),
        *_joins(apart, rest, names),
        *zips,
    )
    corners = (f"corners at both ends of the {apart.name}", *rest.joining.joins)
    joining = Joining("strips", "wrap", pieces, len(order), corners)
    return Strip((*rest.panels, *own), seams, joining, rest.ends)


def _separate_panel(
    apart: SeparateSide, run: float, width: float, grain: object, shut: Closing | None
) -> tuple[FinishedPanel, ...]:
    """The separate panel, or its halves in the order in which the wrap meets them."""
    whole = strip_panel(apart.name, 1, run, width, grain)
    if shut is None:
        return (whole,)
    if grain == ALONG:  # drawn from left to right; the lesser x comes first
        return halved(whole, apart.halves, across=True)
    later, first = halved(whole, apart.halves[::-1])  # drawn from head to foot
    return first, later


def _separate_seams(
    apart: SeparateSide, run: float, names: Sequence[str], rims: Sequence[Rim]
) -> list[Seam]:
    """Seams of the separate panel along each end; its middle, at the back, has a double mark."""
    marks = tuple(Mark(mark.fraction, double=True) for mark in marks_along(run, 2))
    return [
        Seam(
            f"{apart.name} to {rim.place}",
            rim.uses[apart.side] if rim.edge == "upper" else rim.uses[apart.side][::-1],
            tuple(
                EdgeUse(each, rim.edge)
                for each in (names if rim.edge == "upper" else reversed(names))
            ),
            marks,
            role=SeamRole.RIM,
            rim=rim.place,
        )
        for rim in rims
    ]


def _joins(apart: SeparateSide, rest: Strip, names: Sequence[str]) -> tuple[Seam, Seam]:
    first, last = rest.ends
    end, start = (EdgeUse(last, "end"),), (EdgeUse(first, "start"),)
    begun, ended = (EdgeUse(names[0], "start"),), (EdgeUse(names[-1], "end"),)
    return (
        Seam(f"{last} to {apart.name}", end, begun, role=SeamRole.JOIN),
        Seam(f"{apart.name} to {first}", ended, start, role=SeamRole.JOIN),
    )


def wrap_steps(
    values: Values, seams: Sequence[Seam], shut: Closing | None, place: str, way: str
) -> tuple[Step, ...]:
    """The order of sewing: zip, ring, both ends (``right side``, ``left side``), filling.

    ``place`` is where the zip lies, ``way`` how the wrap goes round the ends.
    """
    joins, zips = seam_names(seams, SeamRole.JOIN), seam_names(seams, SeamRole.ZIP)
    right, left = (seam_names(seams, SeamRole.RIM, f"{side} side") for side in ("right", "left"))
    zipped = f"sew the zip between the halves of the {place}, and close the seam beyond its ends"
    opened = "open the zip; " if shut else ""
    kept = "" if shut else "; leave {opening} open"
    return (
        *([Step(zipped, zips)] if shut else ()),
        Step("join the wrap end to end to a ring, right sides together", joins),
        Step(
            "sew one edge of the ring to the right side panel, right sides together, notch to "
            f"notch; {way}",
            right,
        ),
        Step(f"{opened}sew the other edge to the left side panel in the same way{kept}", left),
        *filling_steps(values, shut),
    )
