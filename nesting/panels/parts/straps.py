"""Straps: handles and ties, each one panel folded lengthways.

A strap is drawn twice as wide as it will be. Its long edges are sewn together:
turned in and topstitched (with an allowance as wide as the strap the cloth is
cut four times its width, common practice for a handle), or right sides together, and then
turned out. Its ends are hems.
"""

from typing import Final

from nesting.panels.drafting.draft import EdgeUse, Seam, SeamRole, marks_along
from nesting.panels.drafting.finished import EdgeSort, FinishedPanel, rectangle
from nesting.panels.drafting.sewing import Step, Stitch
from nesting.panels.measurements import Measurement, MeasurementKind

FOLDED: Final = "folded"
TURNED: Final = "turned"

#: The key by which an order chooses how straps are made.
STRAP_STYLE: Final = Measurement(
    "style",
    MeasurementKind.CHOICE,
    "long edges turned in and topstitched, or sewn right sides together and turned right side out",
    default=FOLDED,
    choices=(FOLDED, TURNED),
)

HEM_ALLOWANCE: Final = Measurement(
    "hem_allowance",
    MeasurementKind.LENGTH,
    "allowance turned in, or sewn under, at each end; default: the seam allowance",
    least=0.0,
    greatest=200.0,
)


def strap(name: str, per_item: int, long_mm: float, wide_mm: float) -> FinishedPanel:
    """A strap laid open, lengthways along the grain; the line along its middle is the fold."""
    edges = ("near", "end", "far", "start")
    hems = {"end": EdgeSort.HEM, "start": EdgeSort.HEM}
    fold = ((0.0, wide_mm), (long_mm, wide_mm))
    return rectangle(name, per_item, long_mm, 2 * wide_mm, edges, sorts=hems, lines=(fold,))


def strap_seam(name: str, panel: FinishedPanel, style: str) -> Seam:
    """The seam that joins the two long edges of every strap."""
    stitch = Stitch.TOPSTITCH if style == FOLDED else Stitch.LOCKSTITCH
    near, far = (EdgeUse(panel.name, "near"),), (EdgeUse(panel.name, "far"),)
    marks = marks_along(panel.edges["near"].length_mm, 1)
    return Seam(name, near, far, marks, times=panel.per_item, stitch=stitch, role=SeamRole.STRAP)


def strap_steps(seam: str, style: str, what: str) -> tuple[Step, ...]:
    """The steps that make the straps; ``what`` names them in the plural."""
    if style == FOLDED:
        words = f"{what}: press the long edges in, fold along the middle, topstitch them together"
        return (Step(words, (seam,), Stitch.TOPSTITCH),)
    words = (
        f"{what}: fold along the middle, right sides together, sew the long edges, turn right "
        "side out, press"
    )
    return (Step(words, (seam,)),)
