"""Cut panels, packing and proof: from finished sizes to verified lays on cloth.

The functions:

- orders: `read_order` from a file, `build_order` and `build_cloth` from Python;
- lays: `plan_order`, `compare_rolls`, and `pack` for bare outlines;
- proof and files: `check_file`, `check_record`, `lay_files`, `write_whole`;
- products of your own: `panel_from_points`, `polygon`, `rectangle`, a
  `FixedProduct` or any class that is a `Product`, `register`, `products`.

The other names are what these take, return or raise. Lengths in ``..._mm``
are millimetres; all other lengths of cloths, panels and lays are whole *grid
units* of 0.01 mm, with x along the roll and y across it.

The public names are loaded when they are first used, so that importing the
package costs nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from nesting.cloth.cloth import Cloth, Coating, Nap, Price
    from nesting.cloth.stock import ClothPiece, Flaw
    from nesting.errors import (
        AccessError,
        ClothwrightError,
        Fault,
        NotEnoughClothError,
        OrderError,
        PanelTooLargeError,
        RollTooShortError,
        SeamError,
        UnprovenLayError,
        WorkError,
    )
    from nesting.exporters.formats import Format
    from nesting.geometry.curves import Curve
    from nesting.geometry.outline import Outline
    from nesting.layouts.lay import Again, Choice, ClothLay, OrderLay, PlacedPanel
    from nesting.orders.building import build_cloth, build_order
    from nesting.orders.order import Item, Order
    from nesting.orders.reader import read_order
    from nesting.packing.running import Limits, Progress
    from nesting.panels.drafting.draft import Draft, EdgeUse, Fact, Joining, Mark, Seam, SeamRole
    from nesting.panels.drafting.finished import (
        CutLine,
        Drill,
        EdgeSort,
        FinishedPanel,
        polygon,
        rectangle,
    )
    from nesting.panels.drafting.seams import SeamMeasure
    from nesting.panels.drafting.sewing import Notion, NotionKind, Step, Stitch, Task
    from nesting.panels.given import FixedProduct, panel_from_points
    from nesting.panels.making import Made
    from nesting.panels.measurements import Measurement, MeasurementKind, Value, Values
    from nesting.panels.panel import DrillMark, GrainRule, Notch, Panel, PanelEdge
    from nesting.panels.product import Product, products, register
    from nesting.planning.cloth_panels import ClothPanels
    from nesting.planning.files import lay_files
    from nesting.planning.plan import Plan, plan_order
    from nesting.planning.run import Search
    from nesting.planning.strip import PackedOutline, Packing, pack
    from nesting.purchasing import Comparison, Offer, Yardstick, compare_rolls
    from nesting.sentences import Length, Lengths, Sentence, Wording
    from nesting.units import Limit
    from nesting.verification.checker import check_file, check_record
    from nesting.verification.findings import Finding
    from nesting.writing.folder import write_whole

    __version__: str

#: The module that each public name comes from.
_HOMES: Final = {
    name: module
    for module, names in {
        "nesting.cloth.cloth": ("Cloth", "Coating", "Nap", "Price"),
        "nesting.cloth.stock": ("ClothPiece", "Flaw"),
        "nesting.errors": (
            "AccessError",
            "ClothwrightError",
            "Fault",
            "NotEnoughClothError",
            "OrderError",
            "PanelTooLargeError",
            "RollTooShortError",
            "SeamError",
            "UnprovenLayError",
            "WorkError",
        ),
        "nesting.exporters.formats": ("Format",),
        "nesting.geometry.curves": ("Curve",),
        "nesting.geometry.outline": ("Outline",),
        "nesting.layouts.lay": ("Again", "Choice", "ClothLay", "OrderLay", "PlacedPanel"),
        "nesting.orders.building": ("build_cloth", "build_order"),
        "nesting.orders.order": ("Item", "Order"),
        "nesting.orders.reader": ("read_order",),
        "nesting.packing.running": ("Limits", "Progress"),
        "nesting.panels.drafting.draft": (
            "Draft",
            "EdgeUse",
            "Fact",
            "Joining",
            "Mark",
            "Seam",
            "SeamRole",
        ),
        "nesting.panels.drafting.finished": (
            "CutLine",
            "Drill",
            "EdgeSort",
            "FinishedPanel",
            "polygon",
            "rectangle",
        ),
        "nesting.panels.drafting.seams": ("SeamMeasure",),
        "nesting.panels.given": ("FixedProduct", "panel_from_points"),
        "nesting.panels.making": ("Made",),
        "nesting.panels.panel": ("DrillMark", "GrainRule", "Notch", "Panel", "PanelEdge"),
        "nesting.panels.drafting.sewing": ("Notion", "NotionKind", "Step", "Stitch", "Task"),
        "nesting.panels.measurements": ("Measurement", "MeasurementKind", "Value", "Values"),
        "nesting.panels.product": ("Product", "products", "register"),
        "nesting.planning.cloth_panels": ("ClothPanels",),
        "nesting.planning.files": ("lay_files",),
        "nesting.planning.plan": ("Plan", "plan_order"),
        "nesting.planning.run": ("Search",),
        "nesting.planning.strip": ("PackedOutline", "Packing", "pack"),
        "nesting.purchasing": ("Comparison", "Offer", "Yardstick", "compare_rolls"),
        "nesting.sentences": ("Length", "Lengths", "Sentence", "Wording"),
        "nesting.units": ("Limit",),
        "nesting.verification.checker": ("check_file", "check_record"),
        "nesting.verification.findings": ("Finding",),
        "nesting.writing.folder": ("write_whole",),
    }.items()
    for name in names
}

__all__ = [
    "AccessError",
    "Again",
    "Choice",
    "Cloth",
    "ClothLay",
    "ClothPanels",
    "ClothPiece",
    "ClothwrightError",
    "Coating",
    "Comparison",
    "Curve",
    "CutLine",
    "Draft",
    "Drill",
    "DrillMark",
    "EdgeSort",
    "EdgeUse",
    "Fact",
    "Fault",
    "Finding",
    "FinishedPanel",
    "FixedProduct",
    "Flaw",
    "Format",
    "GrainRule",
    "Item",
    "Joining",
    "Length",
    "Lengths",
    "Limit",
    "Limits",
    "Made",
    "Mark",
    "Measurement",
    "MeasurementKind",
    "Nap",
    "NotEnoughClothError",
    "Notch",
    "Notion",
    "NotionKind",
    "Offer",
    "Order",
    "OrderError",
    "OrderLay",
    "Outline",
    "PackedOutline",
    "Packing",
    "Panel",
    "PanelEdge",
    "PanelTooLargeError",
    "PlacedPanel",
    "Plan",
    "Price",
    "Product",
    "Progress",
    "RollTooShortError",
    "Seam",
    "SeamError",
    "SeamMeasure",
    "SeamRole",
    "Search",
    "Sentence",
    "Step",
    "Stitch",
    "Task",
    "UnprovenLayError",
    "Value",
    "Values",
    "Wording",
    "WorkError",
    "Yardstick",
    "__version__",
    "build_cloth",
    "build_order",
    "check_file",
    "check_record",
    "compare_rolls",
    "lay_files",
    "pack",
    "panel_from_points",
    "plan_order",
    "polygon",
    "products",
    "read_order",
    "rectangle",
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
