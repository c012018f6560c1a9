"""The audit of an item's seams as rows of a table."""

from collections.abc import Iterator
from dataclasses import dataclass

from nesting.panels.drafting.seams import SeamMeasure
from nesting.panels.making import Made
from nesting.reports.wording import precise_length


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
            first_length=precise_length(seam.first_mm, units),
            second=seam.second,
            second_length=precise_length(seam.second_mm, units),
            ease=_ease(seam, units),
            difference=precise_length(abs(seam.unexplained_mm), units),
            meets=seam.meets,
        )


def _ease(seam: SeamMeasure, units: str) -> str:
    """How much longer the first edge is meant to be."""
    if seam.overlap_mm:
        return f"overlap {precise_length(seam.overlap_mm, units)}"
    return f"{seam.ease_percent:g} %" if seam.ease_percent else "none"
