"""A lay: named panels on a cloth, as the cutting room will see it."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from nesting.cloth.cloth import Cloth
from nesting.geometry.outline import Outline
from nesting.geometry.transforms import outline_at, shifted, turned
from nesting.panels.panel import Panel


@dataclass(frozen=True)
class PlacedPanel:
    """One panel on the cloth.

    ``copy`` counts the item, ``part`` the same panel within one item, both
    from 1; (x, y) is the least corner of the cut outline on the cloth, grid
    units from the cut end and the lower edge, selvedge included.
    """

    panel: Panel
    copy: int
    part: int
    turn: int
    x: int
    y: int

    @property
    def label(self) -> str:
        """What is written on it: ``item / panel / copy.part``."""
        return f"{self.panel.item} / {self.panel.name} / {self.copy}.{self.part}"

    @cached_property
    def outline(self) -> Outline:
        """Cut outline where it lies."""
        return outline_at(self.panel.cut, self.turn, self.x, self.y)

    def on_cloth(self, points: Iterable[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
        """Points of the panel's own frame (marks, stitch line) where they lie."""
        corner = turned(self.panel.cut.points, self.turn)
        dx = self.x - min(p[0] for p in corner)
        dy = self.y - min(p[1] for p in corner)
        return shifted(turned(points, self.turn), dx, dy)


@dataclass(frozen=True)
class ClothLay:
    """Everything that is cut from one cloth, laid, with what is proved of it.

    ``lower_bound`` is a proven lower bound on ``used_length``; lengths are grid units.
    """

    cloth: Cloth
    panels: tuple[Panel, ...]
    placed: tuple[PlacedPanel, ...]
    lower_bound: int
    proved_optimal: bool

    @cached_property
    def used_length(self) -> int:
        """Greatest x of all cut outlines, from the end allowance on, where a lay begins."""
        return max(p.outline.bounds[2] for p in self.placed) - self.cloth.end_allowance

    @property
    def buy_length(self) -> int:
        """What the buyer must order."""
        return self.cloth.buy_length(self.used_length)

    @property
    def cost(self) -> Decimal | None:
        """Price of what is bought; None where no price is known."""
        return self.cloth.price.of(self.buy_length) if self.cloth.price else None

    @cached_property
    def panel_area_mm2(self) -> float:
        """Area of all cut panels."""
        return sum(p.panel.cut.area_mm2 for p in self.placed)


@dataclass(frozen=True)
class Choice:
    """The number of pieces chosen for a measurement of an item where its order says "auto"."""

    item: str
    measurement: str
    pieces: int


@dataclass(frozen=True)
class OrderLay:
    """The lays of one order, one for each cloth that is used.

    ``choices`` are the numbers that its panels were made with where the order
    says "auto".
    """

    order: str
    seed: int
    cloths: tuple[ClothLay, ...]
    choices: tuple[Choice, ...] = ()
