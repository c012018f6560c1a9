"""The one way from an order to the panels that are cut from each of its cloths.

Everything that needs the panels of an order uses this module: the plan and the
panel files, after quick lays have chosen what the order leaves open, and
`verify`, with the numbers that the lay was made with. Nothing is packed here.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from nesting.cloth.cloth import Cloth
from nesting.errors import PanelTooLargeError
from nesting.layouts.lay import Choice
from nesting.orders.order import Order
from nesting.panels.drafting.draft import Fact
from nesting.panels.making import Made
from nesting.panels.panel import Panel
from nesting.planning.auto import with_choices
from nesting.planning.cloth_panels import ClothPanels, panels_by_cloth
from nesting.planning.items import make_item, make_items
from nesting.planning.remedies import misfit_fault


@dataclass(frozen=True)
class OrderPanels:
    """The panels of an order, item by item (``made``) and cloth by cloth (``cuts``).

    ``order`` has the numbers from ``choices`` in place of "auto".
    """

    order: Order
    choices: tuple[Choice, ...]
    made: tuple[Made, ...]
    cuts: tuple[ClothPanels, ...]

    @property
    def panels(self) -> tuple[Panel, ...]:
        """Every panel, in the order of the cloths."""
        return tuple(panel for cut in self.cuts for panel in cut.panels)


def make_order(
    order: Order,
    choices: Iterable[Choice] = (),
    facts: Mapping[str, tuple[Fact, ...]] = MappingProxyType({}),
) -> OrderPanels:
    """Make the panels of an order; check that all seams meet and each panel fits its cloth.

    Parameters
    ----------
    choices
        Numbers for what the order leaves open ("auto").
    facts
        Facts about the choices, by the names of the items.

    Raises
    ------
    SeamError
        With every seam whose two edges differ at the stitch line.
    PanelTooLargeError
        With every panel that does not fit its cloth in any allowed turn.
    """
    choices = tuple(choices)
    order = with_choices(order, choices)
    made = make_items(order, facts)
    cuts = panels_by_cloth(order.cloths, made)
    _must_fit(order, cuts)
    return OrderPanels(order, choices, made, cuts)


def cloths_used(order: Order) -> tuple[Cloth, ...]:
    """Cloths that something is cut from, in the order of the file."""
    made = map(make_item, order.items)
    return tuple(cut.cloth for cut in panels_by_cloth(order.cloths, made))


def _must_fit(order: Order, cuts: Iterable[ClothPanels]) -> None:
    items = {item.name: item for item in order.items}
    faults = [
        misfit_fault(panel, cut.cloth, items[panel.item], order)
        for cut in cuts
        for panel in cut.misfits
    ]
    if faults:
        raise PanelTooLargeError(faults)
