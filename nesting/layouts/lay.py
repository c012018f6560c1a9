"""A lay: named panels on a cloth, as the cutting room sees it."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property
from itertools import groupby

from nesting.cloth.cloth import Cloth
from nesting.cloth.stock import ClothPiece, Flaw
from nesting.geometry.outline import Outline
from nesting.geometry.transforms import outline_at, shifted, turned
from nesting.panels.panel import Panel


@dataclass(frozen=True)
class PlacedPanel:
    """One panel on the cloth.

    ``copy`` numbers the copies of the item, ``part`` the equal panels within
    one item, both from 1; (x, y) is the least corner of the cut outline on the
    cloth, in grid units from the cut end and the lower edge, selvedge included.
    Where a lay is cut in part and planned again, a panel ``is_cut`` already, or
    ``is_new`` where it lies now.
    """

    panel: Panel
    copy: int
    part: int
    turn: int
    x: int
    y: int
    is_cut: bool = False
    is_new: bool = False

    @property
    def label(self) -> str:
        """The text written on the panel: ``item / panel / copy.part``."""
        return f"{self.panel.item} / {self.panel.name} / {self.copy}.{self.part}"

    @cached_property
    def outline(self) -> Outline:
        """The cut outline where it lies on the cloth."""
        return outline_at(self.panel.cut, self.turn, self.x, self.y)

    def on_cloth(self, points: Iterable[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
        """Points in the panel's own coordinates (marks, stitch line) moved to the cloth."""
        corner = turned(self.panel.cut.points, self.turn)
        dx = self.x - min(p[0] for p in corner)
        dy = self.y - min(p[1] for p in corner)
        return shifted(turned(points, self.turn), dx, dy)


@dataclass(frozen=True)
class ClothLay:
    """The panels of one cloth that lie on one piece of it, and what is proved about the lay.

    ``cloth`` is as wide as the piece (`Cloth.on`); ``piece`` is None for a roll
    that is bought. ``panels`` are all panels of the cloth, ``placed`` those on this
    piece. ``lower_bound`` is a proven lower bound on ``used_length``; lengths are
    grid units.
    """

    cloth: Cloth
    panels: tuple[Panel, ...]
    placed: tuple[PlacedPanel, ...]
    lower_bound: int
    proved_optimal: bool
    piece: ClothPiece | None = None

    @property
    def on(self) -> ClothPiece:
        """The piece of cloth that the panels lie on."""
        return self.piece or self.cloth.roll

    @property
    def title(self) -> str:
        """The name of the cloth, and of the piece if the cloth has several."""
        has_pieces = bool(self.cloth.as_sold.stock)
        return f"{self.cloth.name}, {self.on.name}" if has_pieces else self.cloth.name

    @cached_property
    def used_length(self) -> int:
        """Greatest x of all cut outlines, from the end allowance on, where a lay begins."""
        return max(p.outline.bounds[2] for p in self.placed) - self.cloth.end_allowance

    @property
    def buy_length(self) -> int:
        """The length of cloth that must be bought; none if the piece is there already."""
        return self.cloth.buy_length(self.used_length) if self.on.length is None else 0

    @property
    def cloth_length(self) -> int:
        """The length of the cloth that the panels lie on: what is bought, or the whole piece."""
        return self.buy_length if self.on.length is None else self.on.length

    @property
    def cost(self) -> Decimal | None:
        """Price of the cloth bought or of the whole piece; None if no price is known."""
        if self.on.price is not None:
            return self.on.price
        return self.cloth.price.of(self.cloth_length) if self.cloth.price else None

    @property
    def to_cut(self) -> "ClothLay":
        """The lay of what is not cut yet; what is cut is missing in the cloth, like a flaw."""
        left = tuple(placed for placed in self.placed if not placed.is_cut)
        if len(left) == len(self.placed):
            return self
        gone = tuple(Flaw(placed.outline, "cut already") for placed in self.placed if placed.is_cut)
        piece = replace(self.on, flaws=(*self.on.flaws, *gone))
        return replace(self, placed=left, piece=piece)

    @cached_property
    def panel_area_mm2(self) -> float:
        """Area of all cut panels."""
        return sum(p.panel.cut.area_mm2 for p in self.placed)


@dataclass(frozen=True)
class Choice:
    """The number of pieces chosen for a measurement for which the order says "auto"."""

    item: str
    measurement: str
    pieces: int


@dataclass(frozen=True)
class Again:
    """What was planned again, by the labels of panels: ``ITEM / PANEL / COPY.PART``.

    ``spoiled`` ones are cut a second time; ``moved`` ones were not cut yet and lie
    elsewhere now.
    """

    spoiled: tuple[str, ...]
    moved: tuple[str, ...]


@dataclass(frozen=True)
class OrderLay:
    """The lays of one order, one for each piece of each cloth that is used.

    Lays of one cloth follow each other.

    ``choices`` are the numbers of pieces that its panels were made with
    wherever the order says "auto". ``again`` tells what was planned again if the
    order is cut in part.
    """

    order: str
    seed: int
    cloths: tuple[ClothLay, ...]
    choices: tuple[Choice, ...] = ()
    again: "Again | None" = None

    @property
    def by_cloth(self) -> tuple[tuple[ClothLay, ...], ...]:
        """The lays of each cloth."""
        groups = groupby(self.cloths, key=lambda lay: lay.cloth.name)
        return tuple(tuple(lays) for _, lays in groups)
