"""The panels of a cloth as lots, its pieces as grounds: what `assignment` decides about.

A lot is what must come from one shade: the panels of one copy of an item, or
single panels where an item may be of several shades.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from math import ceil
from typing import Final

from nesting.cloth.cloth import Cloth
from nesting.cloth.stock import ClothPiece
from nesting.layouts.cutting_list import PanelCopy, cutting_list
from nesting.layouts.fit import fits_piece
from nesting.layouts.measures import area2_for_panels
from nesting.packing.cpsat.assignment import Assignment, Ground, Lot
from nesting.panels.panel import Panel
from nesting.planning.cloth_panels import ClothPanels
from nesting.units import MM, M

#: Length of roll that a ground without an end is described by.
_SAMPLE: Final = 10 * M

#: Prices are counted in cents.
_CENTS: Final = 100


@dataclass(frozen=True)
class _Member:
    """What the copies of one lot are cut from: some panels, or copies of one panel."""

    panels: tuple[Panel, ...]
    single: bool

    @property
    def lot_count(self) -> int:
        """How many equal lots there are."""
        (first, *_) = self.panels
        return first.copies if self.single else first.quantity

    @property
    def area_mm2(self) -> int:
        """Area of one lot, rounded up."""
        copies = ((p, 1 if self.single else p.per_item) for p in self.panels)
        return ceil(sum(panel.cut.area_mm2 * count for panel, count in copies))

    def number(self, cut: PanelCopy) -> int:
        """The lot, counted from 0, that a panel copy belongs to."""
        if not self.single:
            return cut.copy - 1
        return (cut.copy - 1) * cut.panel.per_item + cut.part - 1


class PanelLots:
    """The panels of one cloth as lots; ``lots`` and ``grounds`` are input of `assign`."""

    def __init__(self, cut: ClothPanels) -> None:
        self.cut = cut
        self._members = tuple(_members(cut.panels))
        self._owner = {id(p): i for i, each in enumerate(self._members) for p in each.panels}
        numbers = {id(panel): index for index, panel in enumerate(cut.panels)}
        self.lots = tuple(
            Lot(each.lot_count, each.area_mm2, frozenset(numbers[id(p)] for p in each.panels))
            for each in self._members
        )

    @cached_property
    def copies(self) -> tuple[PanelCopy, ...]:
        """Every panel copy to be cut."""
        return cutting_list(self.cut.panels)

    def grounds(self, pieces: Sequence[ClothPiece], filled: float) -> tuple[Ground, ...]:
        """Pieces as grounds, of which panels fill such a share."""
        return tuple(self._ground(piece, filled) for piece in pieces)

    def cut_from(self, assignment: Assignment) -> Mapping[str, tuple[PanelCopy, ...]]:
        """The panel copies that an assignment gives to each shade."""
        shades = [
            [shade for shade, counts in assignment.counts.items() for _ in range(counts[index])]
            for index in range(len(self.lots))
        ]
        found: dict[str, list[PanelCopy]] = {}
        for copy in self.copies:
            owner = self._owner[id(copy.panel)]
            shade = shades[owner][self._members[owner].number(copy)]
            found.setdefault(shade, []).append(copy)
        return {shade: tuple(copies) for shade, copies in found.items()}

    def _ground(self, piece: ClothPiece, filled: float) -> Ground:
        cloth = self.cut.cloth
        own = cloth.on(piece)
        length = _SAMPLE if piece.length is None else piece.length - 2 * own.end_allowance
        fitting = (i for i, p in enumerate(self.cut.panels) if fits_piece(p, cloth, piece))
        return Ground(
            piece.shade,
            room=max(1, int(filled * area2_for_panels(own, piece, length) / (2 * MM * MM))),
            cost=_cents(cloth, piece),
            fits=frozenset(fitting),
            endless=piece.length is None,
        )


def _members(panels: Iterable[Panel]) -> Iterable[_Member]:
    whole: dict[str, list[Panel]] = {}
    for panel in panels:
        if panel.one_shade:
            whole.setdefault(panel.item, []).append(panel)
        else:
            yield _Member((panel,), single=True)
    for together in whole.values():
        yield _Member(tuple(together), single=False)


def _cents(cloth: Cloth, piece: ClothPiece) -> int:
    """What a piece costs; its length stands for that if not all prices are known."""
    length = _SAMPLE if piece.length is None else piece.length
    if cloth.price is None:
        known = Decimal(0) if piece.price == 0 else Decimal(length) / M
    else:
        known = cloth.price.of(length) if piece.price is None else piece.price
    return round(known * _CENTS)
