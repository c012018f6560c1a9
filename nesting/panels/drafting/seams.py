"""Audits the seams: edges that are sewn together must have equal lengths.

Both edges are measured at the stitch line, by the true length of their
curves, never at the cut edge.
"""

from collections.abc import Collection
from dataclasses import dataclass
from itertools import groupby

from nesting.panels.drafting import notches
from nesting.panels.drafting.draft import Draft, EdgeUse, Seam
from nesting.panels.drafting.sewing import Stitch
from nesting.tolerances import SEAM_MM


@dataclass(frozen=True, slots=True)
class SeamMeasure:
    """One measured seam, whose first run of edges is meant to be ``ease_percent`` longer.

    A run names its panels as the sewer knows them, and repeated edges once.

    The first run is also longer by ``overlap_mm`` if its end lies over its
    start. One item has ``times`` such seams of ``sewn_mm`` each, without
    openings; a ``zipped`` opening is closed by a zip. ``allowances_mm`` are those
    of its edges, smallest first; ``notches`` are the numbers of places with single
    and double notches between its ends.
    """

    seam: str
    first_run: tuple[EdgeUse, ...]
    second_run: tuple[EdgeUse, ...]
    first_mm: float
    second_mm: float
    ease_percent: float
    times: int = 1
    stitch: Stitch = Stitch.LOCKSTITCH
    opening_mm: float = 0.0
    allowances_mm: tuple[float, ...] = ()
    notches: tuple[int, int] = (0, 0)
    overlap_mm: float = 0.0
    zipped: bool = False

    @property
    def first(self) -> str:
        """The edges of the first run, in words."""
        return " + ".join(map(str, self.first_run))

    @property
    def second(self) -> str:
        """The edges of the second run, in words."""
        return " + ".join(map(str, self.second_run))

    @property
    def sewn_mm(self) -> float:
        """Length sewn in one seam, without its opening."""
        return self.second_mm - self.opening_mm

    @property
    def difference_mm(self) -> float:
        """How much longer the first is than the second."""
        return self.first_mm - self.second_mm

    @property
    def unexplained_mm(self) -> float:
        """The part of the difference that declared ease and overlap do not explain."""
        eased = self.second_mm * (1 + self.ease_percent / 100)
        return self.first_mm - self.overlap_mm - eased

    @property
    def meets(self) -> bool:
        """Whether the edges can be sewn together as they are meant to be."""
        return abs(self.unexplained_mm) <= SEAM_MM


def measure_seams(
    draft: Draft, allowance_mm: float = 0.0, shared_out: Collection[str] = ()
) -> tuple[SeamMeasure, ...]:
    """Every seam of a draft, both sides measured at the stitch line.

    ``allowance_mm`` is that of plain seams. ``shared_out`` names the panels whose
    parts are cut from several cloths: seams speak of those parts.
    """
    return tuple(_measure(draft, seam, allowance_mm, shared_out) for seam in draft.seams)


def _measure(
    draft: Draft, seam: Seam, allowance_mm: float, shared_out: Collection[str]
) -> SeamMeasure:
    uses = (*seam.first, *seam.second)
    return SeamMeasure(
        seam=seam.name,
        first_run=_as_sewn(seam.first, shared_out),
        second_run=_as_sewn(seam.second, shared_out),
        first_mm=draft.run_mm(seam.first),
        second_mm=draft.run_mm(seam.second),
        ease_percent=seam.ease_percent,
        times=seam.times,
        stitch=seam.stitch,
        opening_mm=seam.opening_mm,
        allowances_mm=tuple(sorted({draft.allowance_mm(use, allowance_mm) for use in uses})),
        notches=notches.count_notches(draft, seam, allowance_mm),
        overlap_mm=seam.overlap_mm,
        zipped=seam.zipped,
    )


def sewn_length(draft: Draft, seam: Seam) -> float:
    """Length of all stitching of a seam in one item, in millimetres.

    An opening is sewn shut after filling; if a zip closes it, both its edges are
    sewn to the zip.
    """
    return seam.times * (draft.run_mm(seam.second) + seam.zipped * seam.opening_mm)


def _as_sewn(run: tuple[EdgeUse, ...], shared_out: Collection[str]) -> tuple[EdgeUse, ...]:
    """The edges of one side; repeated edges are merged into one with their number."""
    grouped = groupby(run, key=lambda use: (use.panel, use.edge, use.part))
    return tuple(
        EdgeUse(
            part if part and panel in shared_out else panel, edge, sum(use.times for use in uses)
        )
        for (panel, edge, part), uses in grouped
    )
