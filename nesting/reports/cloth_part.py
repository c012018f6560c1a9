"""Everything that the report page shows about one cloth."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from nesting.layouts.lay import ClothLay
from nesting.layouts.sequence import in_marking_order, runs
from nesting.panels import allowances
from nesting.panels.panel import GrainRule, Panel
from nesting.reports.main_figures import (
    Figure,
    cost,
    for_the_buyer,
    for_the_cutter,
    longer,
    minimum,
)
from nesting.reports.picture import Picture, picture
from nesting.reports.remnants import LEAST, MOST, letter, remnants, room_for
from nesting.reports.rule_report import RuleReport
from nesting.reports.rules import rule_reports
from nesting.reports.vacancy import Box
from nesting.reports.verdict import verdict
from nesting.reports.waste import Account, Use, account, apportion
from nesting.reports.wording import (
    area,
    count_of,
    length_to_buy,
    length_to_cut,
    length_to_use,
    per_cent,
    the_whole,
)
from nesting.units import format_length

_GRAIN = {GrainRule.AS_DRAWN: "along the roll", GrainRule.ANY: "any way"}

_MEANING = {
    Use.PANELS: "cut out and sewn",
    Use.BETWEEN: "scraps between the panels of the lay plan",
    Use.GAPS: "kept clear round every panel",
    Use.FLAWS: "marked around; no panel lies there",
    Use.SELVEDGES: "both edges of the cloth, not used",
    Use.ENDS: "kept clear at each end of the length",
    Use.BUYING_STEP: "bought because cloth is sold in steps",
    Use.LEFT: "behind the lay plan, not used up",
    Use.OUTSIDE: "no cloth: beyond the edge, in holes, beyond the measured width",
}


@dataclass(frozen=True)
class UseRow:
    """One use of the cloth: its area, share in tenths of a per cent, and worth."""

    use: Use
    meaning: str
    area: str
    tenths: int
    worth: str


@dataclass(frozen=True)
class PanelRow:
    """One panel of the list: how often it lies here, and its numbers on the picture."""

    kind: int
    panel: Panel
    size: str
    area: str
    grain: str
    allowance: str
    count: str
    numbers: str


#: Most kinds of panels that are named beside a remnant.
_MOST_KINDS: Final = 3


@dataclass(frozen=True)
class RemnantRow:
    """One remnant: its letter on the picture, its size and place, and what still fits on it."""

    letter: str
    size: str
    area: str
    along: str
    across: str
    holds: str


@dataclass(frozen=True)
class ClothPart:
    """Everything about one lay: a cloth, or a piece of it.

    ``taken`` says how much is bought, or that it comes from stock; ``whole`` is what
    shares are shares of. ``bound_tenths`` is the proven least length in tenths of a
    per cent of the used length.
    """

    id: str
    name: str
    to_buy: str
    taken: str
    whole: str
    total: str
    width: str
    cost: str
    efficiency: str
    panels: str
    used: str
    for_the_buyer: tuple[Figure, ...]
    for_the_cutter: tuple[Figure, ...]
    verdict: str
    minimum: str
    bound_tenths: int
    bound: str
    search: str
    travel: str
    picture: Picture
    area: str
    uses: tuple[UseRow, ...]
    rules: tuple[RuleReport, ...]
    panel_rows: tuple[PanelRow, ...]
    remnants: tuple[RemnantRow, ...]
    remnants_summary: str


def cloth_part(
    number: int,
    lay: ClothLay,
    units: str,
    *,
    search: str,
    travel: str,
    lays: Sequence[ClothLay] = (),
) -> ClothPart:
    """Words and pictures for one lay, the ``number``-th on its page.

    ``lays`` are those of the same cloth, this one among them.
    """
    bought = lay.on.length is None
    to_buy = length_to_buy(lay.buy_length, units, lay.cloth.price)
    figures = account(lay)
    left_over = remnants(lay, units)
    bound = minimum(lay)
    return ClothPart(
        id=f"cloth-{number}",
        name=lay.title,
        to_buy=to_buy if bought else "from stock",
        taken=f"{to_buy} to buy" if bought else "from stock",
        whole=the_whole(lay.on),
        total="total bought" if bought else the_whole(lay.on).removeprefix("the "),
        width=format_length(lay.cloth.width, units),
        cost=cost(lay),
        efficiency=per_cent(figures.efficiency),
        panels=count_of(len(lay.placed), "panel"),
        used=format_length(lay.used_length, units),
        for_the_buyer=tuple(for_the_buyer(lay, figures, units)),
        for_the_cutter=tuple(for_the_cutter(lay, figures, units)),
        verdict=verdict(lay, figures, units),
        minimum=f"{format_length(bound, units)}; {longer(lay, bound)}",
        bound_tenths=1000 * bound // lay.used_length,
        bound=format_length(bound, units),
        search=search,
        travel=travel,
        picture=picture(lay, left_over, units, f"shape-{number}"),
        area=area(figures.whole2, units),
        uses=tuple(_use_rows(lay, figures, units)),
        rules=rule_reports(lay, figures, units, lays),
        panel_rows=tuple(_panel_rows(lay, units)),
        remnants=tuple(_remnant_rows(left_over, lay, units)),
        remnants_summary=_remnants_summary(left_over, figures, units, the_whole(lay.on)),
    )


def _use_rows(lay: ClothLay, figures: Account, units: str) -> Iterable[UseRow]:
    """The uses of the cloth; shares add up to 100 per cent and worths to the cost."""
    areas2 = list(figures.areas2.values())
    tenths = apportion(1000, areas2)
    cents = apportion(int(lay.cost * 100) if lay.cost else 0, areas2)
    for use, area2, tenth, cent in zip(figures.areas2, areas2, tenths, cents, strict=True):
        worth = f"{Decimal(cent).scaleb(-2):.2f}" if lay.cost is not None else ""
        yield UseRow(use, _MEANING[use], area(area2, units), tenth, worth)


def _panel_rows(lay: ClothLay, units: str) -> Iterable[PanelRow]:
    numbers: dict[tuple[str, str], list[int]] = {}
    for number, placed in enumerate(in_marking_order(lay), start=1):
        numbers.setdefault((placed.panel.item, placed.panel.name), []).append(number)
    for kind, panel in enumerate(lay.panels, start=1):
        found = numbers.get((panel.item, panel.name), [])
        if not found:
            continue
        length, height = panel.cut.length, panel.cut.height
        yield PanelRow(
            kind=kind,
            panel=panel,
            size=f"{length_to_cut(length, units)} × {length_to_cut(height, units)}",
            area=area(panel.cut.area2, units),
            grain=_grain(panel),
            allowance=allowances.allowance_text(panel, units) or "none",
            count=_count(panel, len(found)),
            numbers=runs(found),
        )


def _count(panel: Panel, here: int) -> str:
    """How many are cut, and of how many if others lie on another piece."""
    return f"{here}" if here == panel.copies else f"{here} of {panel.copies}"


def _grain(panel: Panel) -> str:
    turned = ", railroaded" if panel.railroaded else ""
    return f"{_GRAIN[panel.grain_rule]}{turned}"


def _remnant_rows(boxes: Sequence[Box], lay: ClothLay, units: str) -> Iterable[RemnantRow]:
    for number, box in enumerate(boxes, start=1):
        along, across = box.x1 - box.x0, box.y1 - box.y0
        yield RemnantRow(
            letter=letter(number),
            size=f"{length_to_use(along, units)} × {length_to_use(across, units)}",
            area=area(2 * box.area, units),
            along=format_length(box.x0, units),
            across=format_length(box.y0, units),
            holds="; or ".join(_held(box, lay)),
        )


def _held(box: Box, lay: ClothLay) -> Iterable[str]:
    """How many copies of which panels of the order still fit a remnant, those that fill it most."""
    counts = [(room_for(box, panel, lay.cloth), panel) for panel in lay.panels]
    fitting = [(count, panel) for count, panel in counts if count]
    fitting.sort(key=lambda each: -each[0] * each[1].cut.area2)
    for count, panel in fitting[:_MOST_KINDS]:
        yield f"{count} × {panel.item} / {panel.name}"


def _remnants_summary(boxes: Sequence[Box], figures: Account, units: str, whole: str) -> str:
    least = format_length(LEAST[units], units)
    if not boxes:
        return (
            f"None: after cutting, no rectangle of cloth that is at least {least} long and "
            f"{least} wide is left."
        )
    total = 2 * sum(box.area for box in boxes)
    share = per_cent(Fraction(total, figures.whole2))
    which = f"{MOST} rectangles" if len(boxes) == MOST else "Rectangles"
    return (
        f"{which} of cloth left after cutting, each at least {least} long and {least} wide, with "
        "what of this order would still fit on it, one kind at a time. "
        f"Total: {area(total, units)}, {share} of {whole}."
    )
