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
from nesting.reports.verdict import verdict
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

_NAP = {
    Nap.ONE_WAY: "one way: no panel turned round",
    Nap.UP_AND_DOWN: "up and down: the panels of one item alike",
    Nap.EITHER_WAY: "either way: panels turned as drawn",
}

_MEANING = {
    Use.PANELS: "cut out and sewn",
    Use.BETWEEN: "scraps between the panels of the lay plan",
    Use.GAPS: "kept clear round every panel",
    Use.SELVEDGES: "both edges of the cloth, not used",
    Use.ENDS: "kept clear at each end of the length",
    Use.BUYING_STEP: "bought because cloth is sold in steps",
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
    """One of the main figures, with its name."""

    name: str
    value: str


@dataclass(frozen=True)
class ClothPart:
    """Everything about one cloth.

    ``bound_tenths`` is the proven least length in tenths of a per cent of the
    used length.
    """

    id: str
    name: str
    to_buy: str
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
    bound = _minimum(lay)
    return ClothPart(
        id=f"cloth-{number}",
        name=lay.cloth.name,
        to_buy=length_to_buy(lay.buy_length, units, lay.cloth.price),
        width=format_length(lay.cloth.width, units),
        cost=_cost(lay),
        efficiency=per_cent(figures.efficiency),
        panels=count_of(len(lay.placed), "panel"),
        used=format_length(lay.used_length, units),
        for_the_buyer=tuple(_for_the_buyer(lay, figures, units)),
        for_the_cutter=tuple(_for_the_cutter(lay, figures, units)),
        verdict=verdict(lay, figures, units),
        minimum=f"{format_length(bound, units)}; {_longer(lay, bound)}",
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


def _for_the_buyer(lay: ClothLay, figures: Account, units: str) -> Iterable[Figure]:
    to_buy = length_to_buy(lay.buy_length, units, lay.cloth.price)
    other = the_other_length(lay.buy_length, units, lay.cloth.price)
    yield Figure("Length to buy", f"{to_buy} ({other})")
    yield Figure("Width of the cloth", format_length(lay.cloth.width, units))
    if _cost(lay):
        yield Figure("Cost of the length to buy", _cost(lay))
    yield Figure("Bought cloth that becomes panels", per_cent(figures.utilisation))


def _for_the_cutter(lay: ClothLay, figures: Account, units: str) -> Iterable[Figure]:
    cloth, kinds = lay.cloth, count_of(len(lay.panels), "kind")
    yield Figure("Panels to cut", f"{len(lay.placed)}, of {kinds}")
    yield Figure("Length of the lay plan", format_length(lay.used_length, units))
    yield from _proof(lay, units)
    yield Figure("Begins after the cut end", format_length(cloth.end_allowance, units))
    yield Figure("Usable width", format_length(cloth.usable_width, units))
    yield Figure("Fabric utilisation", per_cent(figures.efficiency))
    yield Figure("Spacing between panels", _spacing(cloth, units))
    yield Figure("Nap", _NAP[cloth.nap])


def _proof(lay: ClothLay, units: str) -> Iterable[Figure]:
    """The proved minimum, and how much longer the lay plan is."""
    bound = _minimum(lay)
    yield Figure("Minimum length (proved)", format_length(bound, units))
    yield Figure("This plan compared with it", _longer(lay, bound))


def _minimum(lay: ClothLay) -> int:
    """The length below which no lay plan can be, as far as that is proved."""
    return lay.used_length if lay.proved_optimal else min(lay.lower_bound, lay.used_length)


def _longer(lay: ClothLay, bound: int) -> str:
    if bound == lay.used_length:
        return "no plan is shorter"
    return f"{per_cent(Fraction(lay.used_length, bound) - 1)} longer"


def _spacing(cloth: Cloth, units: str) -> str:
    if not cloth.gap:
        return "none: panels may touch"
    return f"at least {format_length(cloth.gap, units)}"


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
        return (
            f"None: after cutting, no rectangle of cloth that is at least {least} long and "
            f"{least} wide is left."
        )
    total = 2 * sum(box.area for box in boxes)
    share = per_cent(Fraction(total, figures.bought2))
    which = f"The {MOST} largest rectangles" if len(boxes) == MOST else "Rectangles"
    return (
        f"{which} of cloth left after cutting, each at least {least} long and {least} wide. "
        f"Total: {area(total, units)}, {share} of the bought cloth."
    )
