"""Panels given by their points, and a product that takes no measurements."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from nesting.errors import Fault, OrderError, written
from nesting.geometry.curves import Curve
from nesting.geometry.rings import read_ring
from nesting.panels.allowances import allowance_faults
from nesting.panels.cautions import BLADES, FIRE_IF_SEATING, LOCAL_RULES
from nesting.panels.drafting.draft import Draft, Seam
from nesting.panels.drafting.finished import CutLine, FinishedPanel
from nesting.panels.measurements import Measurement, Values
from nesting.panels.panel import GrainRule

#: Greatest and least extent of a panel along either axis (mm). Points outside
#: these limits are in another unit.
_GREATEST_MM: Final = 20_000.0
_LEAST_MM: Final = 1.0

_LONGEST_NAME: Final = 100


def panel_from_points(
    name: str,
    points: Iterable[Sequence[float]],
    *,
    per_item: int = 1,
    cut: bool = False,
    any_grain: bool = False,
) -> FinishedPanel:
    """A panel from the points of its finished outline or, with ``cut``, of its cut line.

    ``points`` are (x, y) in millimetres, in either direction; x runs along the
    grain. A finished outline is the stitch line, and the item's seam allowance
    is added to it; a cut line is cut as given. One item needs ``per_item``
    copies; with ``any_grain`` the panel may lie at any angle to the grain. Its
    only edge, which seams can name, is ``outline``.

    Raises
    ------
    OrderError
        When the name, the number or the points are not valid for a panel.
    """
    place = f"panel {written(name)}"
    ring = read_ring(points, place)
    faults = [*_name_faults(name, per_item, place), *_size_faults(ring, place)]
    if faults:
        raise OrderError(faults)
    closed = (*ring, ring[0])
    edge = Curve(closed, sum(map(math.dist, closed, closed[1:])))
    return FinishedPanel(
        name,
        per_item,
        {"outline": edge},
        grain_rule=GrainRule.ANY if any_grain else GrainRule.AS_DRAWN,
        given=CutLine(ring) if cut else None,
    )


def _name_faults(name: str, per_item: int, place: str) -> list[Fault]:
    faults = []
    if not (isinstance(name, str) and name == name.strip() and 0 < len(name) <= _LONGEST_NAME):
        rule = f"must have a name of 1 to {_LONGEST_NAME} characters, no blank at its ends"
        faults.append(Fault(place, rule, written(name), "give it a name"))
    elif not name.isprintable():
        rule = "must have a name of characters that can be seen"
        faults.append(Fault(place, rule, written(name), "give it another name"))
    if isinstance(per_item, bool) or not isinstance(per_item, int) or per_item < 1:
        rule = "must be needed once or more in one item"
        faults.append(Fault(place, rule, written(per_item), "give per_item as a whole number"))
    return faults


def _size_faults(ring: Sequence[tuple[float, float]], place: str) -> list[Fault]:
    xs, ys = zip(*ring, strict=True)
    size = max(xs) - min(xs), max(ys) - min(ys)
    if min(size) >= _LEAST_MM and max(size) <= _GREATEST_MM:
        return []
    rule = f"must measure {_LEAST_MM:g} mm to {_GREATEST_MM / 1000:g} m along and across"
    shown = f"{size[0]:g} × {size[1]:g} mm"
    return [Fault(place, rule, shown, "give its points in millimetres")]


@dataclass(frozen=True)
class FixedProduct:
    """A product of one size: every item has the same panels and there is nothing to measure.

    Items refer to the product by ``name``; ``seams`` say which edges of its
    panels are sewn together; ``summary`` and ``cautions`` are printed. Lengths
    of panels and seams are millimetres.

    Raises
    ------
    ValueError
        When two panels share a name, or a seam names a panel or an edge that
        does not exist.
    """

    name: str
    panels: tuple[FinishedPanel, ...]
    seams: tuple[Seam, ...] = ()
    summary: str = "panels of given shapes"
    cautions: tuple[str, ...] = (FIRE_IF_SEATING, BLADES, LOCAL_RULES)

    def __post_init__(self) -> None:
        draft = self.draft({})
        for use in (use for seam in draft.seams for use in (*seam.first, *seam.second)):
            if all(p.name != use.panel or use.edge not in p.edges for p in draft.panels):
                msg = f"product {self.name!r}: a seam names {use}, and there is no such edge"
                raise ValueError(msg)

    @property
    def measurements(self) -> tuple[Measurement, ...]:
        """No measurements."""
        return ()

    def faults(self, values: Values, allowance_mm: float) -> tuple[Fault, ...]:
        """Allowances that are too wide for the panels they are added to."""
        added = tuple(panel for panel in self.panels if panel.given is None)
        return allowance_faults(Draft(added, ()), allowance_mm)

    def draft(self, values: Values) -> Draft:
        """The panels and seams, the same for every item."""
        return Draft(tuple(self.panels), tuple(self.seams))
