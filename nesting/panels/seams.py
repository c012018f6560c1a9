"""The audit of the seams: edges that are sewn together must be equally long.

Both edges are measured at the stitch line, by the true length of their
curves, never at the cut edge.
"""

from dataclasses import dataclass

from nesting.panels.draft import Draft, EdgeUse, Seam
from nesting.tolerances import SEAM_MM


@dataclass(frozen=True, slots=True)
class SeamMeasure:
    """One seam measured; ``first`` is meant to be the longer by ``ease_percent``."""

    seam: str
    first: str
    second: str
    first_mm: float
    second_mm: float
    ease_percent: float

    @property
    def difference_mm(self) -> float:
        """How much longer the first is than the second."""
        return self.first_mm - self.second_mm

    @property
    def unexplained_mm(self) -> float:
        """What the declared ease leaves of the difference."""
        return self.first_mm - self.second_mm * (1 + self.ease_percent / 100)

    @property
    def meets(self) -> bool:
        """Whether the edges can be sewn together as they are meant to be."""
        return abs(self.unexplained_mm) <= SEAM_MM


def measured(draft: Draft) -> tuple[SeamMeasure, ...]:
    """Every seam of a draft, both sides measured at the stitch line."""
    return tuple(_measure(draft, seam) for seam in draft.seams)


def _measure(draft: Draft, seam: Seam) -> SeamMeasure:
    return SeamMeasure(
        seam=seam.name,
        first=_names(seam.first),
        second=_names(seam.second),
        first_mm=run_length(draft, seam.first),
        second_mm=run_length(draft, seam.second),
        ease_percent=seam.ease_percent,
    )


def run_length(draft: Draft, run: tuple[EdgeUse, ...]) -> float:
    """Length of one side of a seam, in millimetres."""
    return sum(use.times * draft.edge(use).length_mm for use in run)


def _names(run: tuple[EdgeUse, ...]) -> str:
    return " + ".join(map(str, run))
