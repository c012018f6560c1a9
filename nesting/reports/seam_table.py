"""The audit of an item's seams as rows for people."""

from collections.abc import Iterator
from dataclasses import dataclass

from nesting.panels.drafting.seams import SeamMeasure
from nesting.panels.making import Made
from nesting.reports.wording import fine


@dataclass(frozen=True)
class SeamRow:
    """One seam: both edges at the stitch line and whether they can be sewn together."""

    item: str
    seam: str
    first: str
    first_length: str
    second: str
    second_length: str
    ease: str
    difference: str
    meets: bool


def seam_rows(made: Made, units: str) -> Iterator[SeamRow]:
    """Every seam of one item."""
    for seam in made.seams:
        yield SeamRow(
            item=made.panels[0].item,
            seam=seam.seam,
            first=seam.first,
            first_length=fine(seam.first_mm, units),
            second=seam.second,
            second_length=fine(seam.second_mm, units),
            ease=_longer(seam, units),
            difference=fine(abs(seam.unexplained_mm), units),
            meets=seam.meets,
        )


def _longer(seam: SeamMeasure, units: str) -> str:
    """What the first edge is meant to be longer by."""
    if seam.overlap_mm:
        return f"overlap {fine(seam.overlap_mm, units)}"
    return f"{seam.ease_percent:g} %" if seam.ease_percent else "none"
