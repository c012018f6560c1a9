"""The report: one page of HTML that needs nothing else, on a screen or on paper."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

import jinja2

from nesting.layouts.lay import ClothLay, OrderLay
from nesting.layouts.sequence import in_marking_order
from nesting.panels.making import Made
from nesting.panels.panel import GrainRule, Panel
from nesting.reports.picture import Picture, picture
from nesting.reports.rules import RuleReport, rule_reports
from nesting.reports.seam_table import SeamRow, seam_rows
from nesting.reports.waste import Account, Use, account, apportioned
from nesting.reports.wording import area, by_the_shop, counted, length_to_buy, money, per_cent
from nesting.units import format_length

_TEMPLATES = jinja2.Environment(
    loader=jinja2.PackageLoader("nesting.reports"),
    autoescape=True,
    undefined=jinja2.StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)

_GRAIN = {GrainRule.AS_DRAWN: "along the roll", GrainRule.ANY: "any way"}


@dataclass(frozen=True)
class UseRow:
    """One use of the cloth: its area, share in tenths of a per cent, and worth."""

    use: Use
    area: str
    tenths: int
    worth: str


@dataclass(frozen=True)
class PanelRow:
    """One panel of the list; ``numbers`` are those on the picture."""

    panel: Panel
    size: str
    area: str
    grain: str
    allowance: str
    numbers: str


@dataclass(frozen=True)
class ClothPart:
    """What the page tells of one cloth, in words."""

    id: str
    name: str
    to_buy: str
    by_the_shop: str
    width: str
    cost: str
    efficiency: str
    utilisation: str
    panels: str
    used: str
    verdict: str
    saving: str
    search: str
    picture: Picture
    bought: str
    uses: tuple[UseRow, ...]
    rules: tuple[RuleReport, ...]
    panel_rows: tuple[PanelRow, ...]


def report_page(
    lay: OrderLay,
    units: str,
    *,
    made: Iterable[Made] = (),
    cautions: Iterable[str] = (),
    warnings: Iterable[str] = (),
    search: Mapping[str, str] | None = None,
) -> bytes:
    """The report of an order's lays as HTML, in the maker's ``units``.

    Parameters
    ----------
    lay, units
        What was laid, and whether to speak in mm, cm or in.
    made
        The items' panels with their seams and facts, for the seam audit.
    cautions
        Warnings that belong to the products; equal ones are printed once.
    warnings
        What the maker must know about this run before anything else.
    search
        By name of cloth, one sentence on how its lay was searched for.
    """
    items = tuple(made)
    page = _TEMPLATES.get_template("page.html").render(
        order=lay.order,
        parts=[_part(i, one, units, search or {}) for i, one in enumerate(lay.cloths, start=1)],
        seams=_seams(items, units),
        facts=[
            (one.panels[0].item, [fact.told(units) for fact in one.facts])
            for one in items
            if one.facts
        ],
        cautions=list(dict.fromkeys(cautions)),
        warnings=list(warnings),
    )
    return page.encode()


def _seams(items: tuple[Made, ...], units: str) -> list[SeamRow]:
    return [row for made in items for row in seam_rows(made, units)]


def _part(number: int, lay: ClothLay, units: str, search: Mapping[str, str]) -> ClothPart:
    figures = account(lay)
    return ClothPart(
        id=f"cloth-{number}",
        name=lay.cloth.name,
        to_buy=length_to_buy(lay.buy_length, units),
        by_the_shop=by_the_shop(lay.buy_length, units),
        width=format_length(lay.cloth.width, units),
        cost=_cost(lay),
        efficiency=per_cent(figures.efficiency),
        utilisation=per_cent(figures.utilisation),
        panels=counted(len(lay.placed), "panel"),
        used=format_length(lay.used_length, units),
        verdict=_verdict(lay, figures, units),
        saving=_saving(lay, figures),
        search=search.get(lay.cloth.name, ""),
        picture=picture(lay, units, f"shape-{number}"),
        bought=area(figures.bought2, units),
        uses=tuple(_use_rows(lay, figures, units)),
        rules=rule_reports(lay, figures, units),
        panel_rows=tuple(_panel_rows(lay, units)),
    )


def _cost(lay: ClothLay) -> str:
    if lay.cost is None or lay.cloth.price is None:
        return ""
    return money(lay.cost, lay.cloth.price.currency)


def _proved(lay: ClothLay, figures: Account) -> bool:
    return lay.proved_optimal or not figures.possible_saving


def _saving(lay: ClothLay, figures: Account) -> str:
    if _proved(lay, figures):
        return "nothing: proved shortest"
    return f"at most {per_cent(figures.possible_saving)}"


def _verdict(lay: ClothLay, figures: Account, units: str) -> str:
    """What is proved about the length, in plain words."""
    if _proved(lay, figures):
        return "Proved shortest: no layout of these panels on this cloth needs less length."
    bound = format_length(lay.lower_bound, units)
    proved = (
        f"No layout of these panels on this cloth can be shorter than {bound}, "
        f"so {_saving(lay, figures)} could still be saved."
    )
    if figures.least_buy_length == lay.buy_length:
        return f"{proved} Even the shortest would be bought at the same length."
    least = length_to_buy(figures.least_buy_length, units)
    return f"{proved} A lay as short as that would be bought as {least}."


def _use_rows(lay: ClothLay, figures: Account, units: str) -> Iterable[UseRow]:
    """Shares and worths that add up to 100 per cent and to the cost."""
    areas2 = list(figures.areas2.values())
    tenths = apportioned(1000, areas2)
    cents = apportioned(int(lay.cost * 100) if lay.cost else 0, areas2)
    for use, area2, tenth, cent in zip(figures.areas2, areas2, tenths, cents, strict=True):
        worth = f"{Decimal(cent).scaleb(-2):.2f}" if lay.cost is not None else ""
        yield UseRow(use, area(area2, units), tenth, worth)


def _panel_rows(lay: ClothLay, units: str) -> Iterable[PanelRow]:
    numbers: dict[tuple[str, str], list[int]] = {}
    for number, placed in enumerate(in_marking_order(lay), start=1):
        numbers.setdefault((placed.panel.item, placed.panel.name), []).append(number)
    for panel in lay.panels:
        length, height = panel.cut.length, panel.cut.height
        yield PanelRow(
            panel=panel,
            size=f"{format_length(length, units)} × {format_length(height, units)}",
            area=area(panel.cut.area2, units),
            grain=_grain(panel),
            allowance=format_length(panel.allowance, units),
            numbers=_runs(numbers.get((panel.item, panel.name), [])),
        )


def _grain(panel: Panel) -> str:
    turned = ", railroaded" if panel.railroaded else ""
    return f"{_GRAIN[panel.grain_rule]}{turned}"


def _runs(numbers: list[int]) -> str:
    """Sorted numbers with runs drawn together: ``1–4, 7``."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(f"{a}" if a == b else f"{a}–{b}" for a, b in runs)
