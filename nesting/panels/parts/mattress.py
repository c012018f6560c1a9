"""The mattress style of a box cushion: rolled edges, and handles on its long sides.

A rolled edge is sewn with a wide allowance, which is the core of a roll that is
stitched by hand along the seam of the filled cover. Handles stand in equal numbers on both
long sides (on all four of a square), so that they are always paired.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from nesting.errors import Fault
from nesting.geometry.transforms import turned
from nesting.panels.drafting.draft import Fact, Seam, SeamRole
from nesting.panels.drafting.finished import Drill, EdgeSort, FinishedPanel
from nesting.panels.drafting.sewing import Notion, NotionKind, Step, Stitch
from nesting.panels.measurements import (
    Measurement,
    MeasurementKind,
    Values,
    given_length,
    length,
    number,
    number_or,
    word,
)
from nesting.panels.parts.straps import FOLDED, strap, strap_seam, strap_steps
from nesting.panels.parts.strips.strip import ALONG
from nesting.sentences import Length, Sentence, at_most, more_than

#: Millimetres of allowance that a rolled edge takes where the order gives none
#: (common practice: about 1 in for a roll as thick as a finger).
_ROLL: Final = 25.0

#: The ends of a handle are sewn on nearer to each other than it is long, so
#: that a hand goes under it (common practice: a tenth).
_TAUT: Final = 0.9

#: Millimetres that a handle keeps from the edges of its strip, and from its neighbour.
_CLEAR: Final = 10.0

MATTRESS: Final = (
    Measurement(
        "edge",
        MeasurementKind.CHOICE,
        "plain seams, or edges rolled by hand as those of a mattress",
        default="plain",
        choices=("plain", "rolled"),
        outside=True,
    ),
    Measurement(
        "rolled_allowance",
        MeasurementKind.LENGTH,
        "allowance of rolled edges; default: 25 mm",
        least=5.0,
        greatest=100.0,
        outside=True,
    ),
    Measurement(
        "handles",
        MeasurementKind.COUNT,
        "handles on each long side (on every side of a square)",
        default=0,
        least=0,
        greatest=6,
        outside=True,
    ),
    Measurement(
        "handle_length",
        MeasurementKind.LENGTH,
        "finished length of a handle",
        default=200.0,
        least=50.0,
        greatest=1_000.0,
        outside=True,
    ),
    Measurement(
        "handle_width",
        MeasurementKind.LENGTH,
        "finished width of a handle",
        default=30.0,
        least=10.0,
        greatest=200.0,
        outside=True,
    ),
)


def is_rolled(values: Values) -> bool:
    """Whether the edges are rolled."""
    return word(values, "edge") == "rolled"


def rolled_allowances(values: Values) -> dict[EdgeSort, float]:
    """For ``Draft.allowances_mm``."""
    if not is_rolled(values):
        return {}
    return {EdgeSort.ROLLED: given_length(values, "rolled_allowance", _ROLL)}


def roll_edges(
    panels: tuple[FinishedPanel, ...], seams: tuple[Seam, ...], between: tuple[str, ...]
) -> tuple[tuple[FinishedPanel, ...], tuple[Seam, ...]]:
    """Panels and seams with every edge along a plate rolled.

    ``between`` names the edges that are none: ends of strips, and those of a zip.
    """
    plates = tuple(
        replace(
            panel,
            sorts={**{e: EdgeSort.ROLLED for e in panel.edges if e not in between}, **panel.sorts},
        )
        for panel in panels
    )
    stitched = tuple(
        replace(seam, stitch=Stitch.ROLLED_EDGE) if seam.role is SeamRole.RIM else seam
        for seam in seams
    )
    return plates, stitched


def handled_sides(x: float, y: float) -> tuple[str, ...]:
    """The sides with handles: both long ones, all of a square."""
    if x == y:
        return ("front", "right", "back", "left")
    return ("front", "back") if x > y else ("right", "left")


@dataclass(frozen=True)
class Handles:
    """The panel for all handles, the seam of each, and facts about them."""

    panel: FinishedPanel
    seam: Seam
    facts: tuple[Fact, ...]
    notions: tuple[Notion, ...]
    steps: tuple[Step, ...]


def handles(values: Values, x: float, y: float) -> Handles | None:
    """The handles that the order asks for."""
    each = number(values, "handles")
    if not each:
        return None
    long, wide = length(values, "handle_length"), length(values, "handle_width")
    count = each * len(handled_sides(x, y))
    panel = strap("handle", count, long, wide)
    apart = _TAUT * long
    words = (
        f"{count} handles: drill marks half-way up the boxing, {{}} apart, take the ends of each"
    )
    sewn_on = Step(
        "turn the ends of each handle under and sew them to the face of the boxing at its drill "
        "marks, a crossed square on each; back it with tape",
        stitch=Stitch.TOPSTITCH,
    )
    made = strap_steps("handles", FOLDED, "handles")
    tape = Notion(NotionKind.OTHER, "squares of strong tape behind the ends of handles")
    tapes = replace(tape, pieces=2 * count)
    facts = (Fact(words, (apart,)),)
    return Handles(panel, strap_seam("handles", panel, FOLDED), facts, (tapes,), (*made, sewn_on))


def handle_marked(strip: FinishedPanel, values: Values, run: float) -> FinishedPanel:
    """A strip of boxing of that length with drill marks for its handles, in equal shares."""
    each = number(values, "handles")
    half, up = _TAUT * length(values, "handle_length") / 2, length(values, "thickness") / 2
    centres = [run * (i + 0.5) / each for i in range(each)]
    at = [(centre + end, up) for centre in centres for end in (-half, half)]
    drawn = at if values["strip_grain"] == ALONG else turned(at, 270)
    return replace(strip, drills=(*strip.drills, *(Drill(point, "handle") for point in drawn)))


def roll_steps(values: Values) -> tuple[Step, ...]:
    """The steps that roll the edges of the filled cover."""
    if not is_rolled(values):
        return ()
    words = (
        "pinch each edge into a firm roll, its wide allowance and some filling inside, and stitch "
        "through from the plate to the boxing with a curved needle, all round top and bottom"
    )
    return (Step(words, stitch=Stitch.ROLLED_EDGE),)


def mattress_faults(values: Values, sizes_mm: Mapping[str, float]) -> tuple[Fault, ...]:
    """Keys without effect, and handles that do not fit; sizes are by measurement name."""
    faults = []
    if values["rolled_allowance"] is not None and not is_rolled(values):
        rule, given = "has no effect without rolled edges", f"{values['rolled_allowance']}"
        faults.append(Fault("rolled_allowance", rule, given, 'add edge = "rolled"'))
    if number(values, "handles"):
        faults += _room(values, sizes_mm)
    return tuple(faults)


def _room(values: Values, sizes_mm: Mapping[str, float]) -> list[Fault]:
    each, thick = number(values, "handles"), sizes_mm["thickness"]
    long, wide = length(values, "handle_length"), length(values, "handle_width")
    share = max(sizes_mm["length"], sizes_mm["width"]) / each
    faults = []
    long_most, wide_most = share - 2 * _CLEAR, thick - 2 * _CLEAR
    if long > long_most:
        rule = Sentence(f"must be at most {{}} for {each} on a side", (at_most(long_most),))
        faults.append(Fault("handle_length", rule, Length(long), "take fewer or shorter ones"))
    if thick <= 2 * _CLEAR:
        rule = Sentence("need boxing of more than {}", (more_than(2 * _CLEAR),))
        faults.append(Fault("handles", rule, Length(thick), "remove them"))
    elif wide > wide_most:
        words = "must be at most {} for boxing of {}"
        rule = Sentence(words, (at_most(wide_most), Length(thick)))
        faults.append(Fault("handle_width", rule, Length(wide), "make them narrower"))
    if values["corner_radius"] is not None or number_or(values, "strips", 4) != 4:
        corners = "go on square-cornered boxing with one strip for each side"
        remedy = "remove corner_radius and give strips = 4"
        faults.append(Fault("handles", corners, f"{each}", remedy))
    square = sizes_mm["length"] == sizes_mm["width"]
    if square and word(values, "closure") == "zip" and values["closure_place"] in (None, "boxing"):
        around = "go on every side of a square, which leaves none for a zip"
        faults.append(Fault("handles", around, f"{each}", 'give closure_place = "bottom"'))
    return faults
