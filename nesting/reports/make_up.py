"""The making-up sheet, which the machinist gets with the cut panels.

One HTML page for a phone or for paper, with for each item: numbered panels
drawn to scale, the order of sewing with each seam, sundries with their
quantities, and cautions.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from nesting.panels import allowances
from nesting.panels.cautions import FOREMOST
from nesting.panels.making import Made
from nesting.panels.panel import GrainRule, Panel
from nesting.reports.notion_list import NotionRow, notion_rows, volume
from nesting.reports.page import page_template
from nesting.reports.panel_figures import PanelFigure, panel_figures
from nesting.reports.sewing_steps import StepRow, display_name, step_rows
from nesting.reports.wording import count_of, length_to_cut


@dataclass(frozen=True)
class Article:
    """One made item of an order, with the summary of its product."""

    made: Made
    summary: str


@dataclass(frozen=True)
class PanelPart:
    """One numbered panel, with its drawing and what the machinist must know about it."""

    number: int
    name: str
    panel: Panel
    figure: PanelFigure
    size: str
    allowance: str
    grain: str
    marks: str


@dataclass(frozen=True)
class ItemPart:
    """Everything about one item, in words and drawings; ``sundries`` are its notions."""

    id: str
    name: str
    summary: str
    quantity: int
    panels: tuple[PanelPart, ...]
    steps: tuple[StepRow, ...]
    sundries: tuple[NotionRow, ...]
    volume: str
    facts: tuple[str, ...]
    foremost: tuple[str, ...]
    cautions: tuple[str, ...]


def make_up_pages(order: str, units: str, articles: Iterable[Article]) -> bytes:
    """The making-up sheet of an order as HTML in the maker's units; each item starts a new page."""
    parts = [_item(i, article, units) for i, article in enumerate(articles, start=1)]
    return page_template("make_up.html").render(order=order, parts=parts).encode()


def _item(number: int, article: Article, units: str) -> ItemPart:
    made = article.made
    first = made.panels[0]
    litres = made.volume_litres
    return ItemPart(
        id=f"item-{number}",
        name=first.item,
        summary=article.summary,
        quantity=first.quantity,
        panels=tuple(_panels(made.panels, units, f"item-{number}-panel")),
        steps=step_rows(made, units),
        sundries=tuple(notion_rows(made.notions, first.quantity, units)),
        volume="" if litres is None else volume(litres, units),
        facts=tuple(fact.in_unit(units) for fact in made.facts),
        foremost=tuple(each for each in made.cautions if each in FOREMOST),
        cautions=tuple(each for each in made.cautions if each not in FOREMOST),
    )


def _panels(panels: tuple[Panel, ...], units: str, prefix: str) -> Iterable[PanelPart]:
    drawn = zip(panels, panel_figures(panels, prefix), strict=True)
    for number, (panel, figure) in enumerate(drawn, start=1):
        length, height = (length_to_cut(n, units) for n in (panel.cut.length, panel.cut.height))
        yield PanelPart(
            number=number,
            name=display_name(panel),
            panel=panel,
            figure=figure,
            size=f"{length} × {height}",
            allowance=allowances.allowance_text(panel, units) or "none: cut size",
            grain=_grain(panel),
            marks=_marks(panel),
        )


def _grain(panel: Panel) -> str:
    grain = "any way" if panel.grain_rule is GrainRule.ANY else "along the arrow"
    return f"{grain}, railroaded" if panel.railroaded else grain


def _marks(panel: Panel) -> str:
    """The marks of a panel other than notches: clips, drill marks, lines and inner cuts."""
    clips = sum(notch.clip for notch in panel.notches)
    drills: dict[str, int] = {}
    for drill in panel.drills:
        drills[drill.name] = drills.get(drill.name, 0) + 1
    marks = [count_of(clips, "clip") + " at inside corners"] if clips else []
    marks += [
        count_of(count, "drill mark") + (f" ({name})" if name else "")
        for name, count in drills.items()
    ]
    cut_outs = sum(run[0] == run[-1] for run in panel.inner_cuts)
    others = {"line": len(panel.lines), "slit": len(panel.inner_cuts) - cut_outs}
    others["cut-out"] = cut_outs
    marks += [count_of(count, name) for name, count in others.items() if count]
    return ", ".join(marks)
