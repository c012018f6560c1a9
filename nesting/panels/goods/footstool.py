"""A cube or a rectangular footstool, from six faces or from a wrap and two ends.

With ``faces`` four sides stand between a top and a bottom. With ``wrap`` one
long panel runs up the front, over the top, down the back and along the
bottom, between a right and a left end.
"""

from dataclasses import dataclass

from nesting.errors import Fault
from nesting.panels.allowances import allowance_faults
from nesting.panels.cautions import BEADS, BLADES, CHILDREN, FIRE, LABELS, LOCAL_RULES
from nesting.panels.drafting.draft import Draft, EdgeUse, Seam, SeamRole, seam_names
from nesting.panels.drafting.finished import FinishedPanel, rectangle
from nesting.panels.drafting.sewing import Notion, Step, foam
from nesting.panels.measurements import (
    Measurement,
    MeasurementKind,
    Values,
    given_length,
    length,
    number_or,
    word,
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
from nesting.panels.parts.rounded import ROUND, SIDES
from nesting.panels.parts.strips.long_strip import long_strip
from nesting.panels.parts.strips.strip import (
    STRIP_GRAIN,
    Rim,
    Side,
    Strip,
    rim_of,
    strips_measurement,
)
from nesting.panels.parts.strips.zipped import zipped_strip
from nesting.panels.product import register

#: Sides round the plates from the back on, and edges of a face-down plate below them.
_BELOW = {"left": "right", "front": "front", "right": "left", "back": "back"}

#: Round an end, from the back's lower corner: the first join lies there.
_WAY = ("bottom", "front", "top", "back")
_OTHER_WAY = ("bottom", "back", "top", "front")

_HALVES = ("bottom-front", "bottom-back")


@dataclass(frozen=True)
class _Size:
    length: float
    width: float
    height: float

    @property
    def litres(self) -> float:
        return self.length * self.width * self.height / 1e6


class Footstool:
    """Six faces, or a wrap and two ends."""

    name = "footstool"
    summary = "cube or rectangular footstool: six faces, or a wrap and two ends"
    measurements = (
        Measurement(
            "length",
            MeasurementKind.LENGTH,
            "finished length, left to right",
            required=True,
            least=100.0,
            greatest=3_000.0,
            example=450.0,
        ),
        Measurement(
            "width",
            MeasurementKind.LENGTH,
            "finished width, front to back; default: the length",
            least=100.0,
            greatest=3_000.0,
        ),
        Measurement(
            "height",
            MeasurementKind.LENGTH,
            "finished height; default: the length, for a cube",
            least=50.0,
            greatest=2_000.0,
        ),
        Measurement(
            "construction",
            MeasurementKind.CHOICE,
            "six faces, or a wrap over front, top, back and bottom with two ends",
            default="faces",
            choices=("faces", "wrap"),
        ),
        strips_measurement(4, what="the sides, or of the wrap"),
        STRIP_GRAIN,
        *closure_measurements("bottom", kinds=("none", "zip")),
        fill_measurement(Fill.FOAM, Fill.FIBRE, Fill.BEADS),
    )
    cautions = (BEADS, CHILDREN, FIRE, LABELS, BLADES, LOCAL_RULES)

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Openings too long for the bottom, allowances too wide for a panel."""
        return closure_faults(values, _rooms(values)) or allowance_faults(
            self.draft(values), allowance_mm
        )

    def draft(self, values: Values) -> Draft:
        """Panels and seams of one of the two constructions."""
        size, shut = _size(values), closing(values, _rooms(values))
        drafted = _wrapped if word(values, "construction") == "wrap" else _faced
        plates, strip, more, steps = drafted(values, size, shut)
        return Draft(
            (*plates, *strip.panels),
            (*strip.seams, *more),
            allowances_mm=zip_allowances(values),
            joinings=(strip.joining,),
            steps=(*steps, *filling_steps(values, shut)),
            notions=(*_fill(values, size), *(shut.notions if shut else ())),
            volume_litres=size.litres,
        )


_Parts = tuple[tuple[FinishedPanel, ...], Strip, tuple[Seam, ...], tuple[Step, ...]]


def _size(values: Values) -> _Size:
    long = length(values, "length")
    return _Size(long, given_length(values, "width", long), given_length(values, "height", long))


def _rooms(values: Values) -> dict[str, float]:
    """A zip lies along the bottom of six faces, and from front to back in that of a wrap."""
    size = _size(values)
    wrap = word(values, "construction") == "wrap"
    return {"bottom": size.width if wrap else size.length}


def _fill(values: Values, size: _Size) -> tuple[Notion, ...]:
    if Fill(word(values, "fill")) is Fill.FOAM:
        return (foam(size.length, size.width, size.height),)
    return loose_fill(values, size.litres)


def _faced(values: Values, size: _Size, shut: Closing | None) -> _Parts:
    """A top and a bottom with four sides between them, in one or more pieces."""
    plates, above, below, zips = _plates(size, shut)
    across = ("left", "right")
    sides = [Side(name, size.width if name in across else size.length) for name in ROUND]
    strip = long_strip(
        "side",
        sides,
        size.height,
        number_or(values, "strips", len(sides)),
        values["strip_grain"],
        [above, below],
        doubled=ROUND.index("back"),
    )
    joins = seam_names(strip.seams, SeamRole.JOIN)
    upper, lower = (seam_names(strip.seams, SeamRole.RIM, rim.place) for rim in (above, below))
    corners = "notch to notch; stop one allowance before each corner, clip the side, turn and go on"
    opened, kept = ("open the zip; ", "") if shut else ("", "; leave {opening} open")
    steps = (
        *([Step("sew the zip between the halves of the bottom", ("zip",))] if shut else ()),
        Step("join the sides to a ring, right sides together, upright edge to upright edge", joins),
        Step(f"sew the ring to the top, right sides together, {corners}", upper),
        Step(f"{opened}sew it to the bottom in the same way{kept}", lower),
    )
    return plates, strip, zips, steps


def _plates(
    size: _Size, shut: Closing | None
) -> tuple[tuple[FinishedPanel, ...], Rim, Rim, tuple[Seam, ...]]:
    """Top and bottom, their rims, and the seam of a zip."""
    x, y = size.length, size.width
    if shut is None:
        both = rectangle("face", 2, x, y, SIDES, parts=("top", "bottom"))
        above = rim_of("top plate", "face", ROUND, "upper", "top")
        underneath = [_BELOW[side] for side in ROUND]
        below = rim_of("bottom plate", "face", underneath, "lower", "bottom")
        return (both,), above, below, ()
    top = rectangle("top", 1, x, y, SIDES)
    front, back = halved(rectangle("bottom", 1, x, y, SIDES), _HALVES)
    use = EdgeUse
    uses = (
        (use(back.name, "right"), use(front.name, "right")),
        (use(front.name, "front"),),
        (use(front.name, "left"), use(back.name, "left")),
        (use(back.name, "back"),),
    )
    zips = (zip_seam("zip", *_HALVES, x, shut.length_mm),)
    above = rim_of("top plate", "top", ROUND, "upper")
    return (top, front, back), above, Rim("bottom plate", uses, "lower"), zips


def _wrapped(values: Values, size: _Size, shut: Closing | None) -> _Parts:
    """Two ends with a wrap round them, in any number of pieces."""
    end = rectangle("end", 2, size.width, size.height, _WAY, parts=("right-end", "left-end"))
    sides = [Side(n, size.width if n in ("bottom", "top") else size.height) for n in _WAY]
    rims = [
        rim_of("right end", "end", _WAY, "upper", "right-end"),
        rim_of("left end", "end", _OTHER_WAY, "lower", "left-end"),
    ]
    pieces, grain = number_or(values, "strips", len(sides)), values["strip_grain"]
    if shut:
        strip = zipped_strip("wrap", sides, 0, shut.length_mm, size.length, pieces, grain, rims)
    else:
        strip = long_strip("wrap", sides, size.length, pieces, grain, rims)
    joins, zips = seam_names(strip.seams, SeamRole.JOIN), seam_names(strip.seams, SeamRole.ZIP)
    right, left = (seam_names(strip.seams, SeamRole.RIM, rim.place) for rim in rims)
    opened, kept = ("open the zip; ", "") if shut else ("", "; leave {opening} open")
    corners = "notch to notch; clip the wrap at each corner, turn there with the needle down"
    steps = (
        *([Step("sew the zip between the halves of the wrap's bottom", zips)] if shut else ()),
        Step("join the wrap to a ring, right sides together", joins),
        Step(f"sew one edge of the ring to the right end, right sides together, {corners}", right),
        Step(f"{opened}sew the other edge to the left end in the same way{kept}", left),
    )
    return (end.turned(270),), strip, (), steps


register(Footstool())
