"""Everything that the report page shows about one cloth."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from nesting.cloth.cloth import Cloth, Nap
from nesting.layouts.lay import ClothLay
from nesting.layouts.sequence import in_marking_order, runs
from nesting.panels import allowances
from nesting.panels.panel import GrainRule, Panel
from nesting.reports.picture import Picture, picture
from nesting.reports.remnants import LEAST, MOST, letter, remnants
from nesting.reports.rules import RuleReport, rule_reports
from nesting.reports.vacancy import Box
from nesting.reports.verdict import saving, verdict
from nesting.reports.waste import Account, Use, account, apportion
from nesting.reports.wording import (
    area,
    count_of,
    length_to_buy,
    length_to_cut,
    length_to_use,
    money,
    per_cent,
    the_other_length,
)
from nesting.units import format_length

_GRAIN = {GrainRule.AS_DRAWN: "along the roll", GrainRule.ANY: "any way"}

_POINTING = {
    Nap.ONE_WAY: ("one way", "as drawn, never turned round"),
    Nap.UP_AND_DOWN: ("up and down", "all panels of an item alike"),
    Nap.EITHER_WAY: ("either way", "turned as shown"),
}

_MEANING = {
    Use.PANELS: "what is cut out and sewn",
    Use.BETWEEN: "inside the lay, not covered by panels",
    Use.GAPS: "kept clear around every panel",
    Use.SELVEDGES: "both edges, not usable",
    Use.ENDS: "kept free where the cloth is cut off",
    Use.BUYING_STEP: "because of the steps in which cloth is sold",
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
    """One panel of the list; ``numbers`` are its numbers on the picture."""

    kind: int
    panel: Panel
    size: str
    area: str
    grain: str
    allowance: str
    numbers: str


@dataclass(frozen=True)
class RemnantRow:
    """One remnant: its letter on the picture, its size, and where its least corner lies."""

    letter: str
    size: str
    area: str
    along: str
    across: str


@dataclass(frozen=True)
class Figure:
    """One of the main figures, with its name and a note."""

    name: str
    value: str
    note: str


@dataclass(frozen=True)
class ClothPart:
    """Everything about one cloth.

    ``bound_tenths`` is the proven least length in tenths of a per cent of the
    used length.
    """

    id: str
    name: str
    to_buy: str
    other_length: str
    width: str
    cost: str
    efficiency: str
    panels: str
    used: str
    for_the_buyer: tuple[Figure, ...]
    for_the_cutter: tuple[Figure, ...]
    verdict: str
    saving: str
    bound_tenths: int
    bound: str
    search: str
    travel: str
    picture: Picture
    bought: str
    uses: tuple[UseRow, ...]
    rules: tuple[RuleReport, ...]
    panel_rows: tuple[PanelRow, ...]
    remnants: tuple[RemnantRow, ...]
    remnants_summary: str


def cloth_part(number: int, lay: ClothLay, units: str, *, search: str, travel: str) -> ClothPart:
    """Words and pictures for one lay, the ``number``-th on its page."""
    figures = account(lay)
    left_over = remnants(lay, units)
    bound = min(lay.lower_bound, lay.used_length)
    return ClothPart(
        id=f"cloth-{number}",
        name=lay.cloth.name,
        to_buy=length_to_buy(lay.buy_length, units, lay.cloth.price),
        other_length=the_other_length(lay.buy_length, units, lay.cloth.price),
        width=format_length(lay.cloth.width, units),
        cost=_cost(lay),
        efficiency=per_cent(figures.efficiency),
        panels=count_of(len(lay.placed), "panel"),
        used=format_length(lay.used_length, units),
        for_the_buyer=tuple(_for_the_buyer(lay, figures)),
        for_the_cutter=tuple(_for_the_cutter(lay, figures, units)),
        verdict=verdict(lay, figures, units),
        saving=": ".join(saving(lay, figures)),
        bound_tenths=1000 * bound // lay.used_length,
        bound=format_length(bound, units),
        search=search,
        travel=travel,
        picture=picture(lay, left_over, units, f"shape-{number}"),
        bought=area(figures.bought2, units),
        uses=tuple(_use_rows(lay, figures, units)),
        rules=rule_reports(lay, figures, units),
        panel_rows=tuple(_panel_rows(lay, units)),
        remnants=tuple(_remnant_rows(left_over, units)),
        remnants_summary=_remnants_summary(left_over, figures, units),
    )


def _for_the_buyer(lay: ClothLay, figures: Account) -> Iterable[Figure]:
    if _cost(lay):
        yield Figure("Cost", _cost(lay), "of the length to buy")
    yield Figure("Use of what is bought", per_cent(figures.utilisation), "becomes panels")
    could, because = saving(lay, figures)
    yield Figure("Could still be saved", could, because)


def _for_the_cutter(lay: ClothLay, figures: Account, units: str) -> Iterable[Figure]:
    cloth, kinds = lay.cloth, count_of(len(lay.panels), "kind")
    start = format_length(cloth.end_allowance, units)
    used, usable = (format_length(x, units) for x in (lay.used_length, cloth.usable_width))
    yield Figure("Panels to cut", str(len(lay.placed)), f"of {kinds}")
    yield Figure("Length of the lay", used, f"starts {start} after the cut end")
    yield Figure("Efficiency", per_cent(figures.efficiency), f"of {usable} usable width")
    yield Figure("Clear between panels", *_clearance(cloth, units))
    yield Figure("Nap", *_POINTING[cloth.nap])


def _clearance(cloth: Cloth, units: str) -> tuple[str, str]:
    if not cloth.gap:
        return "none", "panels may share a cut"
    return format_length(cloth.gap, units), "at least"


def _cost(lay: ClothLay) -> str:
    if lay.cost is None or lay.cloth.price is None:
        return ""
    return money(lay.cost, lay.cloth.price.currency)


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
        length, height = panel.cut.length, panel.cut.height
        yield PanelRow(
            kind=kind,
            panel=panel,
            size=f"{length_to_cut(length, units)} × {length_to_cut(height, units)}",
            area=area(panel.cut.area2, units),
            grain=_grain(panel),
            allowance=allowances.allowance_text(panel, units) or "none",
            numbers=runs(numbers.get((panel.item, panel.name), [])),
        )


def _grain(panel: Panel) -> str:
    turned = ", railroaded" if panel.railroaded else ""
    return f"{_GRAIN[panel.grain_rule]}{turned}"


def _remnant_rows(boxes: Sequence[Box], units: str) -> Iterable[RemnantRow]:
    for number, box in enumerate(boxes, start=1):
        along, across = box.x1 - box.x0, box.y1 - box.y0
        yield RemnantRow(
            letter=letter(number),
            size=f"{length_to_use(along, units)} × {length_to_use(across, units)}",
            area=area(2 * box.area, units),
            along=format_length(box.x0, units),
            across=format_length(box.y0, units),
        )


def _remnants_summary(boxes: Sequence[Box], figures: Account, units: str) -> str:
    least = format_length(LEAST[units], units)
    if not boxes:
        return f"No rectangle of at least {least} each way stays whole when all panels are cut."
    together = 2 * sum(box.area for box in boxes)
    share = per_cent(Fraction(together, figures.bought2))
    which = f"The {MOST} largest rectangles" if len(boxes) == MOST else "Rectangles"
    return (
        f"{which} along the grain, of at least {least} each way, that stay whole when all panels "
        f"are cut: {area(together, units)} in all, {share} of what is bought."
    )
