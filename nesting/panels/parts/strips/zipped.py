"""Boxing with a zip: one side's strip, split lengthways."""

from collections.abc import Sequence
from dataclasses import replace

from nesting.panels.drafting.draft import EdgeUse, Joining, Mark, Seam, SeamRole, marks_along
from nesting.panels.drafting.finished import FinishedPanel
from nesting.panels.parts.closures import halved, zip_seam
from nesting.panels.parts.strips.long_strip import long_strip
from nesting.panels.parts.strips.strip import ALONG, Rim, Side, Strip, strip_panel


def zip_halves(
    name: str, run_mm: float, depth_mm: float, grain: object
) -> tuple[FinishedPanel, FinishedPanel]:
    """The lower and the upper half of a strip, ``NAME-lower`` and ``NAME-upper``.

    Each is half as deep, and has the edges of a strip; that in the middle is
    ``zip`` in both.
    """
    whole = strip_panel(name, 1, run_mm, depth_mm, grain)
    return halved(whole, (f"{name}-lower", f"{name}-upper"), across=grain != ALONG)


def zipped_strip(  # noqa: PLR0913, PLR0917 - a strip is that many things
    name: str,
    sides: Sequence[Side],
    zip_side: int,
    opening_mm: float,
    depth_mm: float,
    pieces: int,
    grain: object,
    rims: Sequence[Rim],
    *,
    measurement: str = "strips",
) -> Strip:
    """A closed strip with one side as a separate strip with a zip.

    The other sides are covered by ``pieces - 1`` pieces, at least one, as by
    `long_strip`. The strip's panels are followed by the two halves
    ``NAME-zip-lower`` and ``NAME-zip-upper``.
    """
    order = [*range(zip_side + 1, len(sides)), *range(zip_side)]
    rest = long_strip(
        name,
        [sides[i] for i in order],
        depth_mm,
        max(pieces - 1, 1),
        grain,
        [replace(rim, uses=tuple(rim.uses[i] for i in order)) for rim in rims],
        measurement=measurement,
        closed=False,
    )
    run = sides[zip_side].length_mm
    lower, upper = zip_halves(f"{name}-zip", run, depth_mm, grain)
    half = {"lower": lower, "upper": upper}
    along = [
        Seam(
            f"{name}-zip to {rim.place}, {sides[zip_side].name}",
            rim.uses[zip_side] if rim.edge == "upper" else rim.uses[zip_side][::-1],
            (EdgeUse(half[rim.edge].name, rim.edge),),
            tuple(Mark(mark.fraction, double=len(sides) > 1) for mark in marks_along(run, 2)),
            role=SeamRole.RIM,
            rim=rim.place,
        )
        for rim in rims
    ]
    seams = (*rest.seams, *along, *_joins(rest, name, lower.name, upper.name))
    closed_by = zip_seam(f"{name}-zip", lower.name, upper.name, run, opening_mm)
    corners = (f"both ends of {sides[zip_side].name}", *rest.joining.joins)
    joining = Joining(measurement, name, pieces, len(sides), corners)
    begun = sum(side.length_mm for side in sides[: zip_side + 1])
    joins_mm = tuple(begun + at for at in (-run, 0.0, *rest.joins_mm))
    panels = (*rest.panels, lower, upper)
    return Strip(panels, (*seams, closed_by), joining, joins_mm=joins_mm)


def _joins(rest: Strip, name: str, lower: str, upper: str) -> tuple[Seam, Seam]:
    """The zip's strip sewn to the last and the first piece of the others."""
    first, last = rest.ends
    start = (EdgeUse(lower, "start"), EdgeUse(upper, "start"))
    end = (EdgeUse(lower, "end"), EdgeUse(upper, "end"))
    return (
        Seam(f"{last} to {name}-zip", (EdgeUse(last, "end"),), start, role=SeamRole.JOIN),
        Seam(f"{name}-zip to {first}", end, (EdgeUse(first, "start"),), role=SeamRole.JOIN),
    )
