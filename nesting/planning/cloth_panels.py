"""Which panels are cut from which cloth, and whether they fit it."""

from collections.abc import Iterable
from dataclasses import dataclass

from nesting.cloth.cloth import Cloth
from nesting.layouts.fit import fits, redrawn_to_fit
from nesting.panels.making import Made
from nesting.panels.panel import Panel


@dataclass(frozen=True)
class ClothPanels:
    """One cloth and all panels that are cut from it."""

    cloth: Cloth
    panels: tuple[Panel, ...]

    @property
    def area2(self) -> int:
        """Twice the area of all copies of all panels, in square grid units."""
        return sum(panel.copies * panel.cut.area2 for panel in self.panels)

    @property
    def misfits(self) -> tuple[Panel, ...]:
        """Panels that do not fit the cloth in any allowed turn."""
        return tuple(panel for panel in self.panels if not fits(panel, self.cloth))


def panels_from(cloth: Cloth, made: Iterable[Made]) -> ClothPanels:
    """The panels of some items that are cut from a cloth, drawn so that they fit it if possible."""
    panels = (panel for parts in made for panel in parts.panels if panel.cloth == cloth.name)
    return ClothPanels(cloth, tuple(redrawn_to_fit(panel, cloth) for panel in panels))


def panels_by_cloth(cloths: Iterable[Cloth], made: Iterable[Made]) -> tuple[ClothPanels, ...]:
    """The panels of some items for each cloth that something is cut from."""
    made = tuple(made)
    return tuple(cut for cloth in cloths if (cut := panels_from(cloth, made)).panels)
