"""The panel sheet: small drawings of every panel of an order, with what a cutter must know."""

from collections.abc import Iterable
from dataclasses import dataclass

from nesting.panels import allowances
from nesting.panels.making import Made
from nesting.panels.panel import GrainRule, Panel
from nesting.reports.page import about_items, page_template
from nesting.reports.shapes import Shape, shape
from nesting.reports.wording import length_to_cut
from nesting.units import to_mm

#: Blank around the drawing of a panel, as a share of its longer side.
_BLANK = 0.02


@dataclass(frozen=True)
class PanelRow:
    """One panel as the sheet shows it; ``box`` is the view of its drawing in millimetres."""

    number: int
    name: str
    copies: int
    cloth: str
    length: str
    width: str
    allowance: str
    grain: str
    shape: Shape
    box: str
    share: float


def panel_sheet(
    order: str,
    units: str,
    made: Iterable[Made],
    panels: Iterable[Panel],
    cautions: Iterable[str],
    at_the_machine: Iterable[str] = (),
) -> bytes:
    """The panel sheet of an order as HTML, for a screen or for paper, in the maker's units.

    ``panels`` are drawn as they will lie on their cloth, all to the same scale.
    ``at_the_machine`` are the cautions for whoever cuts them by machine.
    """
    drawn = tuple(panels)
    longest = max((max(panel.cut.length, panel.cut.height) for panel in drawn), default=1)
    rows = [_row(i, panel, units, longest) for i, panel in enumerate(drawn, start=1)]
    page = page_template("panel_sheet.html").render(
        order=order,
        items=[(name, [row for row in rows if row[0] == name]) for name in _names(drawn)],
        at_the_machine=list(at_the_machine),
        **about_items(made, units, cautions),
    )
    return page.encode()


def _names(panels: Iterable[Panel]) -> list[str]:
    return list(dict.fromkeys(panel.item for panel in panels))


def _row(number: int, panel: Panel, units: str, longest: int) -> tuple[str, PanelRow]:
    """The item of a panel and its row."""
    length, height = panel.cut.length, panel.cut.height
    blank = _BLANK * to_mm(max(length, height))
    view = (-blank, -to_mm(height) - blank, to_mm(length) + 2 * blank, to_mm(height) + 2 * blank)
    allowance = allowances.allowance_text(panel, units)
    row = PanelRow(
        number=number,
        name=panel.name,
        copies=panel.copies,
        cloth=panel.cloth,
        length=length_to_cut(length, units),
        width=length_to_cut(height, units),
        allowance=f"{allowance}, included" if allowance else "none: cut size",
        grain="any way" if panel.grain_rule is GrainRule.ANY else "along the arrow",
        shape=shape(panel, 0, f"panel-{number}"),
        box=" ".join(f"{value:.1f}" for value in view),
        share=round(100 * length / longest, 1),
    )
    return panel.item, row
