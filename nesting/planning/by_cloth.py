"""Which panels are cut from which cloth, and whether they fit it."""

from collections.abc import Iterable
from dataclasses import dataclass

from nesting.cloth.cloth import Cloth
from nesting.errors import PanelTooLargeError
from nesting.layouts.fit import fits, redrawn_to_fit
from nesting.orders.order import Order
from nesting.panels.making import Made
from nesting.panels.panel import Panel
from nesting.planning.remedies import too_large


@dataclass(frozen=True)
class ClothPanels:
    """One cloth and all panels that are cut from it."""

    cloth: Cloth
    panels: tuple[Panel, ...]

    @property
    def area2(self) -> int:
        """Twice the area of all panels with their copies, square grid units."""
        return sum(panel.copies * panel.cut.area2 for panel in self.panels)


def panels_by_cloth(order: Order, made: Iterable[Made]) -> tuple[ClothPanels, ...]:
    """Panels of each cloth that is used, drawn so that they fit it.

    Raises
    ------
    PanelTooLargeError
        With every panel that fits its cloth in no allowed turn.
    """
    panels = [panel for parts in made for panel in parts.panels]
    cuts = [
        ClothPanels(cloth, tuple(redrawn_to_fit(p, cloth) for p in panels if p.cloth == cloth.name))
        for cloth in order.cloths
    ]
    items = {item.name: item for item in order.items}
    faults = [
        too_large(panel, cut.cloth, items[panel.item], order.units)
        for cut in cuts
        for panel in cut.panels
        if not fits(panel, cut.cloth)
    ]
    if faults:
        raise PanelTooLargeError(faults)
    return tuple(cut for cut in cuts if cut.panels)
