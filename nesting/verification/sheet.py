"""Checks a sheet with one copy of every panel again from the order.

It is read as a lay of these panels on a cloth without rules, where each is laid
once and turned as it likes.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

import shapely

from nesting.cloth.cloth import Cloth, Nap
from nesting.drawings.ascii_names import ascii_names
from nesting.drawings.drawing import Drawing, Pen, Text, one_line
from nesting.drawings.tool import Tool
from nesting.panels.panel import GrainRule, Panel
from nesting.units import to_grid
from nesting.verification.drawn import check_drawing
from nesting.verification.drawn_panels import is_cut_line
from nesting.verification.findings import Finding, Rule
from nesting.verification.knife import check_knife_drawing

#: What holds for a lay alone.
_OF_A_LAY: Final = (Rule.CUT_END.number,)


def check_sheet(
    sheet: Drawing, panels: Sequence[Panel], width: float, tool: Tool = Tool.PEN
) -> tuple[Finding, ...]:
    """Every way in which a sheet, ``width`` mm wide, differs from the panels of an order.

    Every outline, mark, grain arrow and label must be that of its panel, and no
    panel may overlap another. Names may be spelled in plain letters.
    """
    singles = [_single(panel, number) for number, panel in enumerate(panels, start=1)]
    cloth = Cloth("panels", to_grid(width), nap=Nap.EITHER_WAY, cross_grain=True)
    if tool is Tool.KNIFE:
        found = check_knife_drawing(sheet, cloth, singles)
    else:
        texts = (*_as_laid(sheet, panels, singles), *_others(sheet))
        laid = replace(sheet, texts=texts, left_out=sheet.left_out | {Pen.SELVEDGE, Pen.FLAW})
        found = check_drawing(laid, cloth, tuple(singles))
    return tuple(each for each in found if each.number not in _OF_A_LAY)


def _single(panel: Panel, number: int) -> Panel:
    """A panel with a name of its own, to be laid once."""
    return replace(
        panel,
        item=f"panel {number}",
        name=one_line(panel.name).replace(" / ", ", "),
        quantity=1,
        per_item=1,
        grain_rule=GrainRule.ANY,
    )


def _as_laid(sheet: Drawing, panels: Sequence[Panel], singles: Sequence[Panel]) -> Iterator[Text]:
    """The labels as those of a lay; one that no panel has stays as it is."""
    items = ascii_names(panel.item for panel in panels)
    names = ascii_names(panel.name for panel in panels)
    waiting: dict[str, list[Panel]] = {}
    for panel, single in zip(panels, singles, strict=True):
        own = _content(panel.item, panel.name, panel)
        plain = _content(items[panel.item], names[panel.name], panel)
        for content in dict.fromkeys((own, plain)):
            waiting.setdefault(content, []).append(single)
    rings = [shapely.Polygon(path.points) for path in sheet.paths if is_cut_line(path)]
    for text in sheet.texts:
        if text.pen is Pen.LABEL:
            named = waiting.get(text.content, [])
            area = _area_around(text, rings)
            nearest = min(named, key=lambda one: abs(one.cut.area_mm2 - area), default=None)
            if nearest is None:
                yield text
            else:
                yield replace(text, content=f"{nearest.item} / {nearest.name} / 1.1")


def _content(item: str, name: str, panel: Panel) -> str:
    """What the label of a panel must say."""
    return one_line(
        f"{item} / {name}, cut {panel.copies}" if item else f"{name}, cut {panel.copies}"
    )


def _area_around(text: Text, rings: Sequence[shapely.Polygon]) -> float:
    """The area (mm²) of the least outline around a text; 0 if there is none."""
    place = shapely.Point(text.at)
    return min((ring.area for ring in rings if ring.contains(place)), default=0.0)


def _others(sheet: Drawing) -> tuple[Text, ...]:
    return tuple(text for text in sheet.texts if text.pen is not Pen.LABEL)
