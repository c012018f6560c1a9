"""A box cushion: two rectangular plates with boxing between them.

The boxing is as long as the plate's stitch line, not as its cut edge.
"""

from itertools import accumulate

from nesting.errors import Fault
from nesting.panels.boxing import STRIP_GRAIN, strip
from nesting.panels.cautions import BLADES, FIRE, LOCAL_RULES
from nesting.panels.draft import Draft, EdgeUse, Fact, Mark, Seam, marks_along
from nesting.panels.finished import FinishedPanel, rectangle
from nesting.panels.product import (
    Measurement,
    MeasurementKind,
    Values,
    allowance_faults,
    length,
    number,
    register,
)
from nesting.units import to_grid

#: The plate's edges, anticlockwise as it lies face up.
_SIDES = ("front", "right", "back", "left")


class BoxCushion:
    """Two plates, and boxing in four strips or in one."""

    name = "box-cushion"
    summary = "cushion or floor pillow: two rectangular plates with boxing between them"
    measurements = (
        Measurement(
            "length",
            MeasurementKind.LENGTH,
            "finished length, along the grain",
            required=True,
            least=10.0,
            greatest=20_000.0,
            example=500.0,
        ),
        Measurement(
            "width",
            MeasurementKind.LENGTH,
            "finished width, across the grain",
            required=True,
            least=10.0,
            greatest=20_000.0,
            example=400.0,
        ),
        Measurement(
            "thickness",
            MeasurementKind.LENGTH,
            "finished thickness",
            required=True,
            least=5.0,
            greatest=2_000.0,
            example=80.0,
        ),
        Measurement(
            "strips",
            MeasurementKind.COUNT,
            "boxing in 4 strips, one for each side, or in 1 long strip",
            default=4,
            least=1,
            greatest=4,
        ),
        STRIP_GRAIN,
    )
    cautions = (FIRE, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """A number of strips that is neither 1 nor 4, and allowances too wide."""
        strips = number(values, "strips")
        if strips not in (1, 4):
            remedy = "take 4 (one for each side) or 1 (one long strip)"
            return (Fault("strips", "must be 1 or 4", str(strips), remedy),)
        return allowance_faults(self.draft(values), allowance_mm)

    def draft(self, values: Values) -> Draft:
        """Both plates sewn to the boxing all round."""
        x, y = length(values, "length"), length(values, "width")
        plate = rectangle("plate", 2, x, y, _SIDES)
        fact = Fact("boxing: {} round the plate at the stitch line", (2 * (x + y),))
        boxed = _one_strip if number(values, "strips") == 1 else _four_strips
        strips, seams = boxed(values, x, y)
        return Draft((plate, *strips), seams, (fact,))


def _one_strip(
    values: Values, x: float, y: float
) -> tuple[tuple[FinishedPanel, ...], tuple[Seam, ...]]:
    """One strip that begins and ends at a corner; its notches are the other corners and middles."""
    boxing = strip("boxing", 1, 2 * (x + y), length(values, "thickness"), values["strip_grain"])
    # The bottom plate lies face down: against the strip it begins at the strip's end.
    runs = {"top": ("upper", _SIDES), "bottom": ("lower", ("right", "back", "left", "front"))}
    seams = []
    for place, (edge, sides) in runs.items():
        first = tuple(EdgeUse("plate", side) for side in sides)
        lengths = [x if side in ("front", "back") else y for side in sides]
        marks = _corners_and_middles(lengths, doubled=sides.index("back"))
        seams.append(Seam(f"boxing to {place} plate", first, (EdgeUse("boxing", edge),), marks))
    join = Seam("boxing join", (EdgeUse("boxing", "end"),), (EdgeUse("boxing", "start"),))
    return (boxing,), (*seams, join)


def _corners_and_middles(lengths: list[float], doubled: int) -> tuple[Mark, ...]:
    """Marks at the three inner corners and within each side, the back's middle doubled."""
    ends = list(accumulate(lengths))
    marks = [Mark(end / ends[-1]) for end in ends[:-1]]
    for index, (end, side) in enumerate(zip(ends, lengths, strict=True)):
        marks += [
            Mark((end - side + mark.fraction * side) / ends[-1], mark.double)
            for mark in marks_along(side, parts=2, doubled=1 if index == doubled else None)
        ]
    return tuple(marks)


def _four_strips(
    values: Values, x: float, y: float
) -> tuple[tuple[FinishedPanel, ...], tuple[Seam, ...]]:
    """A strip for each side, joined at the corners."""
    depth, grain = length(values, "thickness"), values["strip_grain"]
    if to_grid(x) == to_grid(y):
        along_x = along_y = "boxing"
        strips = [strip("boxing", 4, x, depth, grain)]
    else:
        along_x, along_y = ("boxing-long", "boxing-short")[:: 1 if x > y else -1]
        strips = [strip(along_x, 2, x, depth, grain), strip(along_y, 2, y, depth, grain)]
        strips.sort(key=lambda panel: panel.name)
    seams = [
        Seam(
            f"boxing to {place} plate, {side}",
            (EdgeUse("plate", side),),
            (EdgeUse(name, edge),),
            marks_along(run, parts=2),
        )
        for place, edge in (("top", "upper"), ("bottom", "lower"))
        for side, name, run in zip(_SIDES, (along_x, along_y) * 2, (x, y) * 2, strict=True)
    ]
    joins = [
        Seam(f"{one} to {other}", (EdgeUse(one, "end"),), (EdgeUse(other, "start"),))
        for one, other in dict.fromkeys(((along_x, along_y), (along_y, along_x)))
    ]
    return tuple(strips), (*seams, *joins)


register(BoxCushion())
