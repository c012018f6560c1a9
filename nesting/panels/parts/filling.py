"""Fillings, the openings that they go through, and the last sewing steps of a filled article."""

from collections.abc import Sequence
from dataclasses import replace
from enum import StrEnum
from typing import Final

from nesting.errors import Fault
from nesting.panels.drafting.draft import Draft, Seam, SeamRole
from nesting.panels.drafting.sewing import Notion, NotionKind, Step, Stitch, Task, beads, fibre
from nesting.panels.measurements import Measurement, MeasurementKind, Values, word
from nesting.panels.parts.closures import LEAST_BESIDE_MM, Closing, ClosureKind

#: Millimetres left open for turning and filling: 20 cm, 8 in, two hands' width (common practice).
_OPENING_MM: Final = 200.0


class Fill(StrEnum):
    """Fillings that take the shape of their cover, and foam, which has its own."""

    BEADS = "beads"
    FIBRE = "fibre"
    FOAM = "foam"


#: What an inner bag without panels of its own is cut from.
INNER_BAG: Final = Notion(
    NotionKind.OTHER, "close-woven cotton for the inner bag, a little more than the cover takes"
)


def fill_measurement(*fills: Fill) -> Measurement:
    """The key by which an order chooses the filling; the first is the default."""
    return Measurement(
        "fill",
        MeasurementKind.CHOICE,
        "what it is filled with" + "; beads need a zip" * (Fill.BEADS in fills),
        default=fills[0].value,
        choices=tuple(each.value for each in fills),
    )


def fill_of(values: Values) -> Fill:
    """What a filled article is filled with: fibre if it has no choice."""
    return Fill(word(values, "fill")) if "fill" in values else Fill.FIBRE


def bead_faults(values: Values) -> tuple[Fault, ...]:
    """Beads in a cover that is closed by hand, so that a child can get at them.

    Standards for bean bags ask for a fastener that locks on every opening that reaches
    the beads (ASTM F1912, secondary; Australia, Consumer Goods (Bean Bags) Safety
    Standard 2014).
    """
    if fill_of(values) is not Fill.BEADS or values.get("closure", ClosureKind.ZIP) == "zip":
        return ()
    left = {"none": "an opening", "slit": "a slit"}[word(values, "closure")]
    rule = (
        f"beads must not lie behind {left} that is closed by hand: children open it and suffocate"
    )
    remedy = 'write closure = "zip", for a child-resistant one, or fill = "fibre"'
    return (Fault("fill", rule, Fill.BEADS.value, remedy),)


def loose_fill(values: Values, litres: float) -> tuple[Notion, ...]:
    """Beads with their inner bag, or fibre, for a cover of that volume."""
    if fill_of(values) is Fill.FIBRE:
        return (fibre(litres),)
    return (beads(litres), INNER_BAG)


def is_filled(draft: Draft) -> bool:
    """Whether an article has a filling."""
    return any(notion.kind in (NotionKind.FILL, NotionKind.FOAM) for notion in draft.notions)


def with_openings(draft: Draft, values: Values) -> Draft:
    """The draft with an opening in a seam of each step that leaves one.

    It is in the longest of them; of equals in the last, which is the back of a cushion.
    """
    opened = {}
    for step in draft.steps:
        if step.leaves_an_opening:
            around = [seam for seam in draft.seams if seam.name in step.seams]
            longest = max(reversed(around), key=lambda seam: draft.run_mm(seam.second))
            size = _opening(draft, values, longest, around)
            opened[longest.name] = replace(longest, opening_mm=size)
    return replace(draft, seams=tuple(opened.get(seam.name, seam) for seam in draft.seams))


def _opening(draft: Draft, values: Values, longest: Seam, around: Sequence[Seam]) -> float:
    """Two hands' width, or for foam the whole seam, of a rim at most half."""
    run = draft.run_mm(longest.second)
    room = max(run - 2 * LEAST_BESIDE_MM, run / 2)
    if fill_of(values) is not Fill.FOAM:
        return min(room, _OPENING_MM)
    if longest.role is not SeamRole.RIM:
        return room
    return min(room, sum(draft.run_mm(seam.second) for seam in around) / 2)


def filling_steps(values: Values, shut: Closing | None) -> tuple[Step, ...]:
    """The steps from the sewn cover, wrong side out, to the filled article."""
    fill = fill_of(values)
    way = "opening" if shut is None else shut.kind.value
    words = f"turn the cover right side out through its {way}"
    turned = Step(words, stitch=Stitch.NONE, task=Task.TURN)
    filled = (
        _inner_bag_steps(way)
        if fill is Fill.BEADS
        else (
            _fill(
                f"fill the cover with the {fill}"
                if fill is Fill.FIBRE
                else f"put the {fill} into the cover"
            ),
        )
    )
    return (turned, *filled, _shutting(shut, fill))


def lined_steps(values: Values) -> tuple[Step, ...]:
    """The steps that fill an article through its liner, in place of those without one."""
    fill = fill_of(values)
    if fill is Fill.FOAM:
        return (
            _fill("put the foam into the liner"),
            Step(f"{_BY_HAND} of the liner", stitch=Stitch.HAND, task=Task.FILL),
            _fill("put the liner with its foam into the cover"),
        )
    placed = _fill("put the empty liner into the cover, with its opening where the cover opens")
    if fill is Fill.BEADS:
        return (placed, *_bead_steps("liner"))
    filled = _fill("fill the liner through its opening")
    return placed, filled, Step(f"{_BY_HAND} of the liner", stitch=Stitch.HAND, task=Task.FILL)


_BY_HAND: Final = "close the opening by hand, with small stitches,"


def _fill(words: str) -> Step:
    return Step(words, stitch=Stitch.NONE, task=Task.FILL)


def _inner_bag_steps(way: str) -> tuple[Step, ...]:
    """The steps of an inner bag that has no panels of its own in the order."""
    sewn = (
        "cut an inner bag from the cotton like the cover, a little larger, so that the cover takes "
        "the strain; sew it right sides together, every seam twice, with 20 cm (8 in) left open, "
        "and turn it right side out"
    )
    placed = f"put the empty inner bag into the cover, with its opening at the {way}"
    return _fill(sewn), _fill(placed), *_bead_steps("inner bag")


def _bead_steps(bag: str) -> tuple[Step, ...]:
    """Beads go into the bag inside the cover, and the bag is sewn shut for good."""
    poured = (
        f"with no child near, fill the {bag} with beads through a funnel in its opening; sweep up "
        "spilt beads at once"
    )
    shut = (
        f"draw the opening of the {bag} out of the cover, fold its edges in and sew it shut by "
        "machine, two rows: never by hand"
    )
    return _fill(poured), Step(shut, stitch=Stitch.TWO_ROWS, task=Task.FILL)


def _shutting(shut: Closing | None, fill: Fill) -> Step:
    if shut is None:
        words = "close the opening of the cover by hand, with small stitches"
        return Step(words, stitch=Stitch.HAND, task=Task.CLOSE)
    if not shut.zip:
        words = "close the slit with its tape or hooks, or by hand"
        return Step(words, stitch=Stitch.HAND, task=Task.CLOSE)
    if fill is Fill.BEADS:
        words = (
            "close the zip of the cover, and check that it locks and cannot be opened without its "
            "special tool, which does not stay with the article"
        )
        return Step(words, stitch=Stitch.NONE, task=Task.CLOSE)
    return Step("close the zip", stitch=Stitch.NONE, task=Task.CLOSE)
