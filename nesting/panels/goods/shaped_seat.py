"""A shaped seat cushion: two plates of any straight-sided shape, with boxing between them.

The maker gives the corners of the upper plate, seen from above: a T, an L, a
bay, a trapezoid. The lower plate lies face down, so it is the mirror image of
the upper one in the grain line; where the shape is its own mirror image one
panel is cut twice. Inside corners are clipped.
"""

import math
from dataclasses import replace
from itertools import pairwise
from typing import Final

from nesting.errors import Fault
from nesting.panels.allowances import allowance_faults
from nesting.panels.cautions import BLADES, CHILDREN, FIRE, LABELS, LOCAL_RULES
from nesting.panels.drafting.draft import Draft, Fact
from nesting.panels.drafting.finished import FinishedPanel, mirror_image, polygon
from nesting.panels.drafting.sewing import FOAM_OVER_MM, Notion, NotionKind, fibre
from nesting.panels.measurements import (
    AUTO,
    Measurement,
    MeasurementKind,
    Values,
    length,
    number,
    points,
    word,
)
from nesting.panels.parts.boxed import (
    BOXING,
    THICKNESS,
    Plates,
    boxing_strip,
    button_notions,
    cushion_steps,
)
from nesting.panels.parts.closures import (
    Closing,
    closing,
    closure_faults,
    closure_measurements,
    zip_allowances,
)
from nesting.panels.parts.filling import Fill, fill_measurement
from nesting.panels.parts.strips.strip import STRIP_GRAIN, Side, rim_of, strips_measurement
from nesting.panels.parts.tufting import BUTTONS, button_faults, buttoned
from nesting.panels.parts.welt.in_seams import welt_faults, welt_measurements, welted
from nesting.panels.product import register
from nesting.sentences import Length, Lengths, Sentence, at_least

#: Shortest side in millimetres that can be turned at the machine.
_SHORTEST: Final = 10.0

#: Distance in millimetres within which a corner and its mirror image coincide.
_SAME: Final = 0.01

#: Square millimetres by which a shape may change and still count as the same.
_SAME_AREA: Final = 1.0

#: A T, 600 mm wide at the back and 480 mm deep, with two ears at the front.
_T: Final = (
    (0.0, 60.0),
    (380.0, 60.0),
    (380.0, 0.0),
    (480.0, 0.0),
    (480.0, 600.0),
    (380.0, 600.0),
    (380.0, 540.0),
    (0.0, 540.0),
)

_WAY: Final = (
    "clip the boxing at each corner and turn there with the needle down; at an inside corner "
    "clip the plate, to a thread before the stitch line"
)


class ShapedSeat:
    """Two plates from given corners, and boxing in any number of strips."""

    name = "shaped-seat"
    summary = "seat cushion of any straight-sided shape: T, L, bay, trapezoid"
    measurements = (
        Measurement(
            "corners",
            MeasurementKind.POINTS,
            "corners of the finished upper plate in their order, along and across the grain",
            required=True,
            least=3,
            greatest=40,
            example=_T,
        ),
        THICKNESS,
        strips_measurement(AUTO),
        STRIP_GRAIN,
        *closure_measurements(BOXING, kinds=("none", "zip")),
        Measurement(
            "zip_side",
            MeasurementKind.COUNT,
            "side that takes the zip, 1 from the first corner to the second; default: the longest",
            least=1,
            greatest=40,
            outside=True,
        ),
        *BUTTONS,
        fill_measurement(Fill.FOAM, Fill.FIBRE),
        *welt_measurements("the seams of both plates"),
    )
    cautions = (CHILDREN, FIRE, LABELS, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Shapes that cannot be sewn, a zip or buttons that do not fit, allowances too wide."""
        found = _corner_faults(values) or (
            *_zip_faults(values),
            *button_faults(_plate(values), values),
            *welt_faults(values, _sides(_plate(values)), allowance_mm),
        )
        return (
            found
            or _bay_faults(values, allowance_mm)
            or allowance_faults(self.draft(values), allowance_mm)
        )

    def draft(self, values: Values) -> Draft:
        """Both plates sewn to the boxing all round."""
        plate, depth = _plate(values), length(values, "thickness")
        sides = _sides(plate)
        shut = closing(values, {BOXING: sides[_zip_index(values)].length_mm})
        both = _plates(buttoned(plate, values))
        strip = boxing_strip(
            values, sides, depth, both.rims, shut, usual=len(sides), zip_side=_zip_index(values)
        )
        welt = welted(values, sides, both.rims, _zip_index(values), strip.joins_mm)
        around = sum(side.length_mm for side in sides)
        litres = plate.area_mm2 * depth / 1e6
        draft = Draft(
            (*both.panels, *strip.panels),
            strip.seams,
            (Fact("boxing: {} round the plate at the stitch line", (around,)), *_pair(both)),
            allowances_mm=zip_allowances(values),
            joinings=(strip.joining,),
            notions=(*_notions(values, litres, shut), *button_notions(both.panels)),
            volume_litres=litres,
        )
        draft = welt.added_to(draft)
        return replace(draft, steps=cushion_steps(values, draft.seams, shut, _WAY, welt))


def _sides(plate: FinishedPanel) -> list[Side]:
    return [Side(name, edge.length_mm) for name, edge in plate.edges.items()]


def _plate(values: Values) -> FinishedPanel:
    """The upper plate; side 1 always runs from corner 1 to corner 2.

    Corners given clockwise are reversed and keep their numbers. The longest
    side comes last: boxing without a zip begins and ends beside it.
    """
    from shapely import Polygon  # noqa: PLC0415 - products are listed without loading it

    corners = list(enumerate(points(values, "corners"), start=1))
    if Polygon([at for _, at in corners]).exterior.is_ccw is False:
        corners.reverse()
    sides = [
        (_side_number(one, other, len(corners)), start, math.dist(start, end))
        for (one, start), (other, end) in pairwise([*corners, corners[0]])
    ]
    longest = sides.index(max(sides, key=lambda side: (side[2], -side[0])))
    named = {
        f"side {number}": at for number, at, _ in (*sides[longest + 1 :], *sides[: longest + 1])
    }
    return polygon("plate", 2, named, parts=("top-plate", "bottom-plate"))


def _side_number(one: int, other: int, count: int) -> int:
    """The number of the side between two neighbouring corners, in either order."""
    return one if other == one % count + 1 else other


def _plates(plate: FinishedPanel) -> Plates:
    """An equal pair if the mirror image has the same shape, else the plate and its image."""
    below = mirror_image(plate, "bottom-plate")
    alike = _same_place(plate, below)
    top, bottom = plate, plate
    if alike is None:
        top = replace(plate, name="top-plate", per_item=1, parts=())
        bottom = replace(below, per_item=1)
        alike = list(plate.edges)
    above = rim_of("top plate", top.name, list(plate.edges), "upper", "top-plate")
    rims = (above, rim_of("bottom plate", bottom.name, alike, "lower", "bottom-plate"))
    return Plates((top,) if bottom is top else (top, bottom), rims)


def _same_place(plate: FinishedPanel, image: FinishedPanel) -> list[str] | None:
    """For each side, the side of the plate that its mirror image covers; None if one is not."""
    shift = min(y for _, y in plate.ring) + max(y for _, y in plate.ring)
    starts = {edge: curve.points[0] for edge, curve in plate.edges.items()}
    found = []
    for edge in plate.edges:
        x, y = image.edges[edge].points[0]
        near = [e for e, (a, b) in starts.items() if abs(a - x) + abs(b - y - shift) < _SAME]
        found += near[:1]
    return found if len(found) == len(starts) else None


def _pair(both: Plates) -> tuple[Fact, ...]:
    if len(both.panels) == 1:
        return ()
    return (Fact("the bottom plate is the mirror image of the top plate: keep them apart", ()),)


def _sides_mm(values: Values) -> list[float]:
    """Lengths of the sides in the maker's numbering."""
    edges = _plate(values).edges
    return [edges[f"side {i}"].length_mm for i in range(1, len(edges) + 1)]


def _zip_index(values: Values) -> int:
    """The index of the zip's side among the edges of the plate, whose longest edge is last."""
    edges = list(_plate(values).edges)
    asked = values["zip_side"]
    return len(edges) - 1 if asked is None else edges.index(f"side {asked}")


def _corner_faults(values: Values) -> tuple[Fault, ...]:
    """Sides that cross or touch, and sides that cannot be sewn."""
    from shapely import Polygon  # noqa: PLC0415 - products are listed without loading it
    from shapely.validation import explain_validity  # noqa: PLC0415 - see above

    corners = points(values, "corners")
    closed = (*corners, corners[0])
    short = [
        Fault(
            "corners",
            Sentence(
                f"corners {i} and {i % len(corners) + 1} must lie at least {{}} apart",
                (at_least(_SHORTEST),),
            ),
            Lengths("({}, {}) and ({}, {})", (x0, y0, x1, y1)),
            "leave one of them out; the last corner is joined to the first by itself",
        )
        for i, ((x0, y0), (x1, y1)) in enumerate(pairwise(closed), start=1)
        if (x1 - x0) ** 2 + (y1 - y0) ** 2 < _SHORTEST**2
    ]
    shape = Polygon(corners)
    if shape.is_valid and shape.area >= _SHORTEST**2:
        return tuple(short)
    where = explain_validity(shape) if not shape.is_valid else "no area"
    rule = "the sides must not cross or touch each other"
    return (
        *short,
        Fault("corners", rule, where, "give the corners in their order round the plate"),
    )


def _zip_faults(values: Values) -> tuple[Fault, ...]:
    sides, asked = _sides_mm(values), values["zip_side"]
    if asked is not None and word(values, "closure") == "none":
        return (
            Fault("zip_side", "has no effect without a zip", f"{asked}", 'add closure = "zip"'),
        )
    if asked is not None and number(values, "zip_side") > len(sides):
        rule = f"the plate has {len(sides)} sides"
        return (Fault("zip_side", rule, f"{asked}", f"write 1 to {len(sides)}"),)
    chosen = max(sides) if asked is None else sides[number(values, "zip_side") - 1]
    return closure_faults(values, {BOXING: chosen})


def _bay_faults(values: Values, allowance_mm: float) -> tuple[Fault, ...]:
    """Bays so narrow that the allowances of their sides would overlap."""
    from shapely import Polygon  # noqa: PLC0415 - products are listed without loading it

    shape = Polygon(points(values, "corners"))
    sharp = {"join_style": "mitre", "mitre_limit": 100}
    closed = shape.buffer(allowance_mm, **sharp).buffer(-allowance_mm, **sharp)
    if closed.area - shape.area < _SAME_AREA:
        return ()
    rule = "the allowances of sides that face each other across a bay must not overlap"
    remedy = "make the allowance smaller or the bay wider"
    return (Fault("seam_allowance", rule, Length(allowance_mm), remedy),)


def _notions(values: Values, litres: float, shut: Closing | None) -> tuple[Notion, ...]:
    """Foam is cut to the shape of the plate but larger all round, so that the cover is taut."""
    words = "foam {} thick, cut to the stitch line of the top plate and {} beyond it all round"
    sizes = (length(values, "thickness"), FOAM_OVER_MM / 2)
    shaped = Notion(NotionKind.FOAM, words, sizes)
    filling = shaped if word(values, "fill") == Fill.FOAM else fibre(litres)
    return (filling, *(shut.notions if shut else ()))


register(ShapedSeat())
