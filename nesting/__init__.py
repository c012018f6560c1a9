"""Cut panels, packing and proof: from finished sizes to verified lays on cloth.

The public names are loaded when they are first used, so that importing the
package costs nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from nesting.errors import (
        AccessError,
        ClothwrightError,
        Fault,
        OrderError,
        PanelTooLargeError,
        RollTooShortError,
        SeamError,
        UnprovenLayError,
        WorkError,
    )
    from nesting.layouts.lay import ClothLay, OrderLay, PlacedPanel
    from nesting.orders.order import Item, Order
    from nesting.orders.reader import read_order
    from nesting.packing.running import Limits, Progress
    from nesting.panels.product import products, register
    from nesting.planning.files import lay_files
    from nesting.planning.plan import Plan, plan_order
    from nesting.purchasing import Comparison, compare_rolls
    from nesting.verification.checker import check_file
    from nesting.verification.findings import Finding
    from nesting.writing.folder import write_whole

    __version__: str

_HOMES: Final = {
    "AccessError": "nesting.errors",
    "ClothLay": "nesting.layouts.lay",
    "ClothwrightError": "nesting.errors",
    "Comparison": "nesting.purchasing",
    "Fault": "nesting.errors",
    "Finding": "nesting.verification.findings",
    "Item": "nesting.orders.order",
    "Limits": "nesting.packing.running",
    "Order": "nesting.orders.order",
    "OrderError": "nesting.errors",
    "OrderLay": "nesting.layouts.lay",
    "PanelTooLargeError": "nesting.errors",
    "PlacedPanel": "nesting.layouts.lay",
    "Plan": "nesting.planning.plan",
    "Progress": "nesting.packing.running",
    "RollTooShortError": "nesting.errors",
    "SeamError": "nesting.errors",
    "UnprovenLayError": "nesting.errors",
    "WorkError": "nesting.errors",
    "check_file": "nesting.verification.checker",
    "compare_rolls": "nesting.purchasing",
    "lay_files": "nesting.planning.files",
    "plan_order": "nesting.planning.plan",
    "products": "nesting.panels.product",
    "read_order": "nesting.orders.reader",
    "register": "nesting.panels.product",
    "write_whole": "nesting.writing.folder",
}

__all__ = [
    "AccessError",
    "ClothLay",
    "ClothwrightError",
    "Comparison",
    "Fault",
    "Finding",
    "Item",
    "Limits",
    "Order",
    "OrderError",
    "OrderLay",
    "PanelTooLargeError",
    "PlacedPanel",
    "Plan",
    "Progress",
    "RollTooShortError",
    "SeamError",
    "UnprovenLayError",
    "WorkError",
    "__version__",
    "check_file",
    "compare_rolls",
    "lay_files",
    "plan_order",
    "products",
    "read_order",
    "register",
    "write_whole",
]


def __getattr__(name: str) -> Any:
    """Load a public name when it is first asked for."""
    if name == "__version__":
        return import_module("importlib.metadata").version("clothwright")
    if name not in _HOMES:
        msg = f"module {__name__!r} has no attribute {name!r}"
        raise AttributeError(msg)
    value = getattr(import_module(_HOMES[name]), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
